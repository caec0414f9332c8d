/**
 * Rated power of a mounted placement: the largest total load at which every limit holds in every operating state.
 *
 * Joint search: each sweep linearises the temperatures at the present power P (Newton step and dT/dP together), finds
 * the power change at which the first limit would be met, and moves temperatures and power at once; three sweeps as a
 * rule. Where it does not close, or meets a collapse, a bracketed search takes over: u(P), the largest utilisation over
 * all limits (0 unloaded, 1 at the limit), rises with P except for odd racks; secant steps on log u over log P inside a
 * bracket [carried, not carried] that only shrinks. A solve that ends in voltage collapse or without a steady state counts
 * as not carried.
 *
 * The kernel searches one operating state after the other (kernel/assembly/states.ts); what it cannot, it hands back.
 */
import type { Ladder, SolveStatus } from './ladder.js';
import { OUTCOME } from './kernel/layout.js';
import { type Binding, LIMIT_NAMES } from './limitCheck.js';
import type { OperatingState } from './operatingState.js';

/** Rated power with what binds. */
export interface RatedPower extends Binding {
  /** W; 0 where the rack cannot carry even the smallest load. */
  readonly power: number;
  readonly state: OperatingState;
  /** How it was found; `unloaded`: a limit is broken with next to no load. */
  readonly search: 'joint' | 'bracketed' | 'unloaded';
  /** Sweeps (currents and one linearisation of all temperatures) until it was found, in all states together. */
  readonly sweeps: number;
}

/** A rating that ended without an answer: a defect of the solver, or a rack that nothing limits. */
export class RatingError extends Error {
  constructor(message: string, readonly power: number) {
    super(message);
    this.name = 'RatingError';
  }
}

/** How the kernel's joint search ended, besides not at all: with a rated power, or with the power carried that it was to stay below. */
const FOUND = 1;
const CARRIED = 2;
/** How its rating of all states ended, besides with all rated: with one that this must rate, or before the first. */
const NEEDS_HOST = 1;
const MAY_BE_WARM = 2;
/** |u − 1| at the power accepted by the bracketed search. */
const UTILISATION_TOLERANCE = 1e-8;
/** Relative width of the bracket that ends a search for a collapse. */
const BRACKET_TOLERANCE = 1e-9;
/**
 * Relative widths around the loss of the last solution in which solves need not settle: the sweeps they take grow with the
 * inverse root of the distance from it, so that this much is left of them.
 */
const UNSETTLED_WIDTHS = [1e-6, 1e-5];
/** A search that falls below this part of its start has found that nothing can be carried. */
const NOTHING = 1e-9;
/** W; a rack that carries this much has no limit. */
const UNLIMITED = 1e15;

const [BAR_RISE, BAR_TEMPERATURE, CONTACT_TEMPERATURE, SOURCE_CURRENT, SOURCE_POWER, LOAD_CURRENT, LOAD_VOLTAGE] =
  LIMIT_NAMES.keys();
const BOTH_POLES = 2;
const POLES = ['supply', 'return', 'both'] as const;

/** Rates placements on one ladder; preallocated. */
export class Rating {
  // Largest utilisation of the last evaluation and where it occurs.
  private use = 0;
  private limit = 0;
  private node = 0;
  private pole = BOTH_POLES;

  constructor(private readonly ladder: Ladder) {}

  /**
   * @throws RatingError where a solve does not converge or nothing limits the load
   */
  ratedPower(): RatedPower {
    const answer = this.ratedBelow(Number.POSITIVE_INFINITY);
    if (answer === null) throw new RatingError('the search ended without a power', 0);
    return answer;
  }

  /**
   * The rated power if it is below `below`, W; null where the placement carries that much in every state.
   * @throws RatingError as ratedPower
   */
  ratedBelow(below: number): RatedPower | null {
    const { ladder } = this;
    const { call, outcome } = ladder.kernel;
    if (call.countStates() === 0) throw new RatingError('no operating state to rate', 0);
    let ended = call.rateStates(below, false);
    if (ended === MAY_BE_WARM) {
      const unloaded = this.brokenUnloaded();
      if (unloaded !== null) {
        return { power: 0, ...unloaded, state: ladder.mounting.state(0), search: 'unloaded', sweeps: ladder.sweeps };
      }
      ended = call.rateStates(below, true);
    }
    let alone: RatedPower | null = null;
    while (ended === NEEDS_HOST) {
      const state = ladder.mounting.state(outcome[OUTCOME.alone]);
      const least = outcome[OUTCOME.least];
      ladder.setState(state);
      const found = this.searchBracketed(state, least);
      alone = found ?? alone;
      ended = call.goOn(found?.power ?? least);
    }
    return outcome[OUTCOME.lowestState] < 0 ? alone : this.lowestOfKernel();
  }

  /** The lowest rated power that the kernel has found. */
  private lowestOfKernel(): RatedPower {
    const { kernel, mounting } = this.ladder;
    const { outcome } = kernel;
    const pole = outcome[OUTCOME.lowestPole];
    return {
      power: outcome[OUTCOME.lowestPower],
      limit: LIMIT_NAMES[outcome[OUTCOME.lowestLimit]], slot: outcome[OUTCOME.lowestNode] + 1, pole: POLES[pole],
      state: mounting.state(outcome[OUTCOME.lowestState]), search: 'joint', sweeps: outcome[OUTCOME.lowestSweeps],
    };
  }

  /**
   * Largest utilisation of any limit at a power (W) in one state, Infinity where the load cannot be carried at all,
   * with what it belongs to. Independent of earlier solves.
   * @throws RatingError where the solve does not converge
   */
  utilisationAt(power: number, state: OperatingState): { utilisation: number; binding: Binding } {
    const { ladder } = this;
    ladder.setState(state);
    this.ladder.kernel.call.solveStart();
    this.ladder.kernel.call.beginAt(power);
    const status = ladder.solve(power);
    if (status === 'not-converged') throw new RatingError('the ladder did not converge', power);
    if (status !== 'solved') return { utilisation: Number.POSITIVE_INFINITY, binding: failureBinding(status) };
    return this.utilisationNow(power);
  }

  /** As utilisationAt for the solution just computed, or temperatures given and currents solved, at a power, W. */
  utilisationNow(power: number): { utilisation: number; binding: Binding } {
    this.evaluate(power);
    return { utilisation: this.use, binding: this.binding() };
  }

  /**
   * The rated power in this state if it is below `upper`; null if it is not; undefined where the search does not close.
   * The state must be set on the ladder.
   */
  searchJoint(state: OperatingState, upper: number): RatedPower | null | undefined {
    const { call, outcome } = this.ladder.kernel;
    const ended = call.joint(call.solveStart(), upper, call.countStates() > 1);
    if (ended === CARRIED) return null;
    if (ended !== FOUND) return undefined;
    this.limit = outcome[OUTCOME.limit];
    this.node = outcome[OUTCOME.limitNode];
    this.pole = outcome[OUTCOME.limitPole];
    const { limit, slot, pole } = this.binding();
    return { power: outcome[OUTCOME.ratedPower], limit, slot, pole, state, search: 'joint', sweeps: outcome[OUTCOME.sweeps] };
  }

  /**
   * A limit that the rack breaks with next to no load: units, surroundings or air that warm the bar by themselves. More
   * load may then even help (exhaust warms the air that the rise is counted from), but a rack that only holds its
   * limits when loaded carries nothing. Nor does one whose loads ask for more than the set voltage, which beside sources
   * that share equally a loaded bar may well have.
   */
  private brokenUnloaded(): Binding | null {
    const { ladder } = this;
    const { call } = ladder.kernel;
    const [state] = ladder.states;
    ladder.setState(state);
    const start = call.solveStart();
    const power = NOTHING * start;
    this.ladder.kernel.call.beginAt(power);
    if (ladder.solve(power) !== 'solved') return null;
    this.evaluate(power);
    return this.use >= 1 ? this.binding() : null;
  }

  /** The rated power in this state if it is below `upper`, which the states before carry; else null. */
  searchBracketed(state: OperatingState, upper: number): RatedPower | null {
    return this.bracketed(state, this.ladder.kernel.call.solveStart(), upper);
  }

  private bracketed(state: OperatingState, start: number, upper: number): RatedPower | null {
    const { ladder } = this;
    let power = Number.isFinite(upper) ? upper : start;
    let low = 0;
    let high = Number.POSITIVE_INFINITY;
    let beyond: Binding | null = null;
    // Whether the solve at `high` did not settle.
    let isUnsettled = false;
    // Whether any trial found no solution.
    let isLost = false;
    let lastLogPower = Number.NaN;
    let lastLogUse = Number.NaN;
    let widthBefore = Number.POSITIVE_INFINITY;
    const found = () => ({ search: 'bracketed', sweeps: ladder.sweeps }) as const;
    this.ladder.kernel.call.beginAt(power);
    for (let trial = 0; trial < 300; trial++) {
      const status = ladder.solve(power);
      let next = Number.NaN;
      if (status === 'solved') {
        this.evaluate(power);
        if (power === upper && this.use <= 1 + UTILISATION_TOLERANCE) return null;
        if (Math.abs(this.use - 1) <= UTILISATION_TOLERANCE) return { power, ...this.binding(), state, ...found() };
        if (this.use < 1) low = power;
        else {
          high = power;
          beyond = this.binding();
          isUnsettled = false;
        }
        const logPower = Math.log(power);
        const logUse = Math.log(this.use);
        // Heat limits rise about as P^1.6, currents as P; the second trial knows better.
        let order = (logUse - lastLogUse) / (logPower - lastLogPower);
        if (!(order > 0.3 && order < 20)) order = this.limit <= CONTACT_TEMPERATURE ? 1.6 : 1;
        lastLogPower = logPower;
        lastLogUse = logUse;
        next = power * Math.exp(-logUse / order);
      } else {
        // Near the loss of the last solution one start finds what another misses: from here on all start alike, as utilisationAt.
        if (!isLost) low = 0;
        isLost = true;
        high = power;
        beyond = failureBinding(status);
        isUnsettled = status === 'not-converged';
        lastLogPower = Number.NaN;
      }
      if (beyond !== null && high - low <= BRACKET_TOLERANCE * high) {
        return { power: low, ...(isUnsettled ? this.failureBeyond(high) : beyond), state, ...found() };
      }
      if (beyond !== null && high <= NOTHING * start) {
        if (status === 'not-converged') throw new RatingError('the ladder did not converge at any power', power);
        return { power: 0, ...beyond, state, ...found() };
      }
      // Secant steps that leave the bracket, or hardly narrow it, give way to halving.
      const slow = trial % 4 === 3 && high - low > 0.5 * widthBefore;
      if (trial % 4 === 3) widthBefore = high - low;
      if (slow || !(next > low && next < high)) {
        next = high === Number.POSITIVE_INFINITY ? 4 * power : low === 0 ? high / 4 : 0.5 * (low + high);
      }
      if (next > UNLIMITED) throw new RatingError('nothing limits the load of this rack', power);
      // The last temperatures are the best start unless they belong to a far or a failed trial.
      if (isLost || Math.abs(next - power) > 0.5 * power) this.ladder.kernel.call.beginAt(next);
      power = next;
    }
    throw new RatingError('the search for the rated power did not close', power);
  }

  /**
   * What ends the carried powers where a solve at `power` (W) did not settle. Within rounding of the power at which the
   * last solution is lost, temperatures and currents answer without bound: a little above there is none at all.
   * @throws RatingError where there is: then the solver is at fault
   */
  private failureBeyond(power: number): Binding {
    for (const width of UNSETTLED_WIDTHS) {
      const above = power * (1 + width);
      this.ladder.kernel.call.beginAt(above);
      const status = this.ladder.solve(above);
      if (status === 'voltage-collapse' || status === 'no-steady-state') return failureBinding(status);
    }
    throw new RatingError('the ladder did not converge near a power that it may carry', power);
  }

  private consider(use: number, limit: number, node: number, pole: number): void {
    if (use > this.use || Number.isNaN(use)) {
      this.use = Number.isNaN(use) ? Number.POSITIVE_INFINITY : use;
      this.limit = limit;
      this.node = node;
      this.pole = pole;
    }
  }

  /** Finds the largest utilisation at the solution just computed. */
  private evaluate(power: number): void {
    const { ladder } = this;
    const { mounting, rack } = ladder;
    const { air } = ladder;
    const { temperature } = ladder.thermal;
    const { edge } = ladder;
    const { loads, sources, share, airBase } = mounting;
    ladder.settleHotSpots();
    const { limits } = rack;
    this.use = Number.NEGATIVE_INFINITY;
    for (let e = 0; e < temperature.length; e++) {
      const node = e >> 1;
      const hottest = temperature[e] + edge.hotSpotAt(e);
      this.consider((hottest - air[node]) / limits.barRise, BAR_RISE, node, e & 1);
      this.consider(utilisation(hottest, airBase[node], limits.barTemperature), BAR_TEMPERATURE, node, e & 1);
    }
    for (const contacts of [loads, sources]) {
      for (let k = 0; k < contacts.count; k++) {
        const node = contacts.node[k];
        for (let p = 0; p < 2; p++) {
          const spot = temperature[2 * node + p] + edge.hotSpotAt(2 * node + p)
            + ladder.contactCurrent(contacts, k, p) ** 2 * contacts.thermalResistance[k] * contacts.resistance[2 * k + p];
          this.consider(utilisation(spot, airBase[node], limits.contactTemperature), CONTACT_TEMPERATURE, node, p);
        }
      }
    }
    for (let k = 0; k < sources.count; k++) {
      const current = sources.current[k];
      if (current === 0) continue;
      this.consider(Math.abs(current) / mounting.maxCurrent[k], SOURCE_CURRENT, sources.node[k], BOTH_POLES);
      this.consider((current * ladder.sourceVoltage(k)) / mounting.maxPower[k], SOURCE_POWER, sources.node[k],
        BOTH_POLES);
    }
    for (let l = 0; l < loads.count; l++) {
      if (share[l] === 0) continue;
      this.consider(loads.current[l] / limits.loadContactCurrent, LOAD_CURRENT, loads.node[l], BOTH_POLES);
      if (limits.lowestLoadVoltage > 0) {
        const room = rack.setVoltage - limits.lowestLoadVoltage;
        const use = room > 0 ? (rack.setVoltage - ladder.loadVoltage(l)) / room : Number.POSITIVE_INFINITY;
        this.consider(use, LOAD_VOLTAGE, loads.node[l], BOTH_POLES);
      }
    }
    ladder.frame?.eachLimit((current, most, limit, node) => {
      this.consider(Math.abs(current) / most, limit, node, BOTH_POLES);
    });
    if (this.use === Number.NEGATIVE_INFINITY) {
      // No limit is set: only collapse or loss of the steady state can end the search.
      this.use = Number.MIN_VALUE * (power > 0 ? 1 : 0);
      this.limit = LIMIT_NAMES.indexOf('voltage-collapse');
    }
  }

  private binding(): Binding {
    const { temperature } = this.ladder.thermal;
    const e = 2 * this.node;
    // Poles that are built alike are equally warm but for rounding; the supply pole is then named.
    const alike = this.pole === 1 && this.limit !== CONTACT_TEMPERATURE && temperature[e + 1] - temperature[e] < 1e-6;
    const pole = this.pole === BOTH_POLES ? 'both' : this.pole === 0 || alike ? 'supply' : 'return';
    return { limit: LIMIT_NAMES[this.limit], slot: this.node + 1, pole };
  }
}

/** 0 at the air without load, 1 at the limit; where the air alone exceeds the limit, 0 if met all the same, else Infinity. */
function utilisation(temperature: number, base: number, limit: number): number {
  if (limit > base) return (temperature - base) / (limit - base);
  return temperature <= limit ? 0 : Number.POSITIVE_INFINITY;
}

/** What binds where a solve ended so; one that did not settle counts as without steady state until it is looked at. */
function failureBinding(status: Exclude<SolveStatus, 'solved'>): Binding {
  return { limit: status === 'voltage-collapse' ? status : 'no-steady-state', slot: 0, pole: 'both' };
}
