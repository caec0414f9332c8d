/**
 * Rated power of a mounted placement: the largest total load at which every limit holds in every operating state.
 *
 * Joint search: each sweep linearises the temperatures at the present power P (Newton step and dT/dP together), finds
 * the power change at which the first limit would be met, and moves temperatures and power at once; three sweeps as a
 * rule. Where it does not close, or meets a collapse, a bracketed search takes over: u(P), the largest utilisation over
 * all limits (0 unloaded, 1 at the limit), rises with P except for odd racks; secant steps on log u over log P inside a
 * bracket [carried, not carried] that only shrinks. A solve that ends in voltage collapse or without a steady state counts
 * as not carried.
 */
import type { Ladder, SolveStatus } from './ladder.js';
import { OUTCOME, STATES_AT_ONCE } from './kernel/layout.js';
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

/** Rates placements on one ladder; preallocated. */
export class Rating {
  // Largest utilisation of the last evaluation and where it occurs.
  private use = 0;
  private limit = 0;
  private node = 0;
  private pole = BOTH_POLES;
  /** Operating states but the one rated first, the one that seems to carry least first; `[state]`, W: see lookAtOthers. */
  private readonly bySeeming: number[] = [];
  private readonly seems: number[] = [];
  private readonly surely: number[] = [];

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
    const { states } = ladder;
    if (states.length === 0) throw new RatingError('no operating state to rate', 0);
    const unloaded = this.brokenUnloaded();
    if (unloaded !== null) return { power: 0, ...unloaded, state: states[0], search: 'unloaded', sweeps: ladder.sweeps };
    if (states.length === 1) return this.rateFirst(states[0], below);
    ladder.kernel.call.forgetLastSweep();
    const first = this.heaviest(states);
    let answer = this.rateFirst(states[first], below);
    // The others by what they seem to carry; most are clear of the first or of the lowest.
    this.lookAtOthers(states, first);
    for (const other of this.bySeeming) {
      const upper: number = answer?.power ?? below;
      if (upper === 0) break;
      if (this.surely[other] >= upper) continue;
      const found = this.rateNext(states[other], upper);
      if (found !== null) answer = found;
    }
    return answer;
  }

  /**
   * The state in which the bar carries most, as the sum of the squares of its currents has it: often the one with the
   * lowest rated power, and then the others are passed over soonest.
   */
  private heaviest(states: readonly OperatingState[]): number {
    const { electrical } = this.ladder;
    let heaviest = 0;
    let most = -1;
    for (let from = 0; from < states.length; from += STATES_AT_ONCE) {
      const sums = electrical.squaredCurrents(states, from);
      for (let s = from; s < states.length && s < from + STATES_AT_ONCE; s++) {
        if (sums[s - from] > most) {
          most = sums[s - from];
          heaviest = s;
        }
      }
    }
    return heaviest;
  }

  /** The rated power in one state if it is below `upper`; else null. */
  private rateFirst(state: OperatingState, upper: number): RatedPower | null {
    this.ladder.setState(state);
    const found = this.searchJoint(state, upper);
    return found === undefined ? this.rateAlone(state, upper) : found;
  }

  /** The same for another state, of which those before carry `upper`. */
  private rateNext(state: OperatingState, upper: number): RatedPower | null {
    const { ladder } = this;
    if (ladder.kernel.call.hasLastSweep() === 0) return this.rateFirst(state, upper);
    ladder.setNextState(state);
    const found = this.joint(state, 0, upper);
    return found === undefined ? this.rateAlone(state, upper) : found;
  }

  /** By the bracketed search, from the start; the joint one has failed. */
  private rateAlone(state: OperatingState, upper: number): RatedPower | null {
    const { ladder } = this;
    ladder.kernel.call.forgetLastSweep();
    ladder.setState(state);
    return this.searchBracketed(state, upper);
  }

  /**
   * Finds what every other state seems to carry and what it surely does, W, as linearised where the last sweep of `first`
   * was (0 where that cannot be told), and puts the states in order of the former. A single other state is not looked at.
   */
  private lookAtOthers(states: readonly OperatingState[], first: number): void {
    const { bySeeming, seems, surely, ladder } = this;
    const { call, outcome } = ladder.kernel;
    const looks = states.length > 2 && call.hasLastSweep() !== 0;
    const isTold = looks && ladder.electrical.lookAround(states, first, seems, surely);
    bySeeming.length = 0;
    for (let s = 0; s < states.length; s++) {
      if (s === first) continue;
      if (!isTold) {
        seems[s] = 0;
        surely[s] = 0;
      }
      if (looks && !isTold) {
        ladder.setNextState(states[s]);
        surely[s] = call.lookAt();
        seems[s] = outcome[OUTCOME.seems];
      }
      let at = bySeeming.length;
      bySeeming.push(s);
      for (; at > 0 && seems[bySeeming[at - 1]] > seems[s]; at--) bySeeming[at] = bySeeming[at - 1];
      bySeeming[at] = s;
    }
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
    return this.joint(state, this.ladder.kernel.call.solveStart(), upper);
  }

  /** As searchJoint, from the start just solved, which estimates so much (W), or, with 0, from another state's last sweep. */
  private joint(state: OperatingState, start: number, upper: number): RatedPower | null | undefined {
    const { call, outcome: answer } = this.ladder.kernel;
    const outcome = call.joint(start, upper, this.ladder.states.length > 1);
    if (outcome === CARRIED) return null;
    if (outcome !== FOUND) return undefined;
    this.limit = answer[OUTCOME.limit];
    this.node = answer[OUTCOME.limitNode];
    this.pole = answer[OUTCOME.limitPole];
    const { limit, slot, pole } = this.binding();
    return { power: answer[OUTCOME.ratedPower], limit, slot, pole, state, search: 'joint', sweeps: answer[OUTCOME.sweeps] };
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
    const { limits, setVoltage } = ladder.rack;
    if (call.staysCool() !== 0 && limits.lowestLoadVoltage < setVoltage) return null;
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
