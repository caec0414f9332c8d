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
import { CoarseStart } from './coarseStart.js';
import { HIGHEST_TEMPERATURE, type Ladder, LARGEST_STEP, type SolveStatus } from './ladder.js';
import { type Binding, LIMIT_NAMES } from './limitCheck.js';
import type { OperatingState } from './operatingState.js';

/** Rated power with what binds. */
export interface RatedPower extends Binding {
  /** W; 0 where the rack cannot carry even the smallest load. */
  readonly power: number;
  readonly state: OperatingState;
}

/** A rating that ended without an answer: a defect of the solver, or a rack that nothing limits. */
export class RatingError extends Error {
  constructor(message: string, readonly power: number) {
    super(message);
    this.name = 'RatingError';
  }
}

/**
 * Joint search: the last steps, small enough that their ratio says how the search converges, and what may be left after
 * them; powers relative, temperatures in K.
 */
const SMALL_STEP = { power: 1e-4, temperature: 0.02 };
const LEFT = { power: 1e-7, temperature: { equal: 1e-5, droop: 1e-6 } };
/** Steps are not taken to shrink faster than this: currents follow temperatures a sweep late. */
const LEAST_RATIO = { equal: 0.02, droop: 0.1 };
/** Part of the step before last that may be left as well: contact voltages follow the currents yet another sweep late. */
const MEMORY = 3e-5;
/** How nearly the currents close, relative: in a first sweep that only begins, and where a sweep can decide. */
const FIRST_CLOSURE = 1e-5;
const FINE_SEARCH_CLOSURE = 1e-9;
const LOOK_CLOSURE = 1e-5;
/** Relative power by which a state must be clear of another, from the part of the rise that still moves. */
const MARGIN = { square: 0.5, late: { equal: 0.005, droop: 0.02 }, least: 1e-4 };
/** Part of the rise: where temperatures move by less, a state is decided together with its power. */
const UNDECIDED = 3e-4;
const JOINT_SWEEPS = 20;
/** |u − 1| at the power accepted by the bracketed search. */
const UTILISATION_TOLERANCE = 1e-8;
/** Relative width of the bracket that ends a search for a collapse. */
const BRACKET_TOLERANCE = 1e-9;
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

  private readonly coarse: CoarseStart;
  /** Where the temperatures were last linearised with their films: K, `[slot × pole]`, and W, 0 for nowhere. */
  private readonly lastSweep: { readonly temperature: Float64Array; power: number };
  /** Largest Newton step of the temperatures in the last linearisation, as part of the largest rise. */
  private newtonStep = 0;

  constructor(private readonly ladder: Ladder) {
    this.coarse = new CoarseStart(ladder);
    this.lastSweep = { temperature: new Float64Array(2 * ladder.rack.slotCount), power: 0 };
  }

  /**
   * @throws RatingError where a solve does not converge or nothing limits the load
   */
  ratedPower(): RatedPower {
    const answer = this.ratedBelow(Number.POSITIVE_INFINITY);
    if (answer === null) throw new RatingError('no operating state to rate', 0);
    return answer;
  }

  /**
   * The rated power if it is below `below`, W; null where the placement carries that much in every state.
   * @throws RatingError as ratedPower
   */
  ratedBelow(below: number): RatedPower | null {
    const { ladder } = this;
    const { states } = ladder;
    const unloaded = this.brokenUnloaded();
    if (unloaded !== null) return { power: 0, ...unloaded, state: states[0] };
    this.lastSweep.power = 0;
    const first = states.length > 1 ? this.coarse.heaviest(states) : 0;
    let answer = this.rateNext(states[first], below);
    // The others by what they seem to carry; most are clear of the first or of the lowest.
    const others: { readonly state: OperatingState; readonly seems: number; readonly surely: number }[] = [];
    for (let s = 0; s < states.length; s++) {
      if (s === first) continue;
      const seems = states.length > 2 ? this.lookAt(states[s]) : 0;
      others.push({ state: states[s], seems, surely: this.surelyCarried(seems) });
    }
    if (others.length > 1) others.sort((a, b) => a.seems - b.seems);
    for (const { state, surely } of others) {
      const upper: number = answer?.power ?? below;
      if (upper === 0) break;
      if (surely >= upper) continue;
      const found = this.rateNext(state, upper);
      if (found !== null) answer = found;
    }
    return answer;
  }

  /** The rated power in one of several states if it is below `upper`, which the states before carry; else null. */
  private rateNext(state: OperatingState, upper: number): RatedPower | null {
    const { ladder, lastSweep } = this;
    let found: RatedPower | null | undefined;
    if (lastSweep.power > 0) {
      ladder.setNextState(state);
      found = this.joint(state, null, upper);
    } else {
      ladder.setState(state);
      found = this.joint(state, this.coarse.solve(state), upper);
    }
    if (found !== undefined) return found;
    lastSweep.power = 0;
    ladder.setState(state);
    return this.bracketed(state, this.coarse.solve(state), upper);
  }

  /** What a state seems to carry, W, as linearised where the last sweep of another state was; 0 where that cannot be told. */
  private lookAt(state: OperatingState): number {
    const { ladder, lastSweep } = this;
    const { power } = lastSweep;
    this.newtonStep = Number.POSITIVE_INFINITY;
    if (power === 0) return 0;
    ladder.setNextState(state);
    ladder.thermal.temperature.set(lastSweep.temperature);
    if (ladder.sweepAgain(power, LOOK_CLOSURE) !== 'solved') return 0;
    const step = this.linearisedStep(power);
    this.measureNewtonStep();
    return Number.isNaN(step) ? 0 : power + step;
  }

  /**
   * Largest utilisation of any limit at a power (W) in one state, Infinity where the load cannot be carried at all,
   * with what it belongs to. Independent of earlier solves.
   * @throws RatingError where the solve does not converge
   */
  utilisationAt(power: number, state: OperatingState): { utilisation: number; binding: Binding } {
    const { ladder } = this;
    ladder.setState(state);
    this.coarse.solve(state);
    this.coarse.begin(power);
    const status = ladder.solve(power);
    if (status === 'not-converged') throw new RatingError('the ladder did not converge', power);
    if (status !== 'solved') return { utilisation: Number.POSITIVE_INFINITY, binding: failureBinding(status) };
    this.evaluate(power);
    return { utilisation: this.use, binding: this.binding() };
  }

  /**
   * The rated power in this state if it is below `upper`; null if it is not; undefined where the search does not close.
   * The state must be set on the ladder.
   */
  searchJoint(state: OperatingState, upper: number): RatedPower | null | undefined {
    return this.joint(state, this.coarse.solve(state), upper);
  }

  /** As searchJoint, from the start just solved, which estimates so much (W), or, with null, from another state's last sweep. */
  private joint(state: OperatingState, start: number | null, upper: number): RatedPower | null | undefined {
    const { ladder, lastSweep } = this;
    const { temperature } = ladder.thermal;
    const compared = Number.isFinite(upper);
    let power = lastSweep.power;
    if (start === null) {
      temperature.set(lastSweep.temperature);
    } else {
      power = compared ? upper : start;
      this.coarse.begin(power);
    }
    let lastStep = Number.NaN;
    let lastLargest = Number.NaN;
    for (let sweep = 0; sweep < JOINT_SWEEPS; sweep++) {
      const closure = sweep > 0 ? closureAfter(lastStep / power) : compared ? FINE_SEARCH_CLOSURE : FIRST_CLOSURE;
      if (start === null && sweep === 0) {
        if (ladder.sweepAgain(power, closure) !== 'solved') return undefined;
      } else {
        if (ladder.sweep(power, closure) !== 'solved') return undefined;
        // Kept for the other states, where there are any.
        if (ladder.states.length > 1) {
          lastSweep.temperature.set(temperature);
          lastSweep.power = power;
        }
      }
      const wanted = this.linearisedStep(power);
      if (!Number.isFinite(wanted)) return undefined;
      let step = Math.max(-0.5 * power, Math.min(power, wanted));
      if (compared) {
        this.measureNewtonStep();
        if (Math.abs(upper - power) <= 0.05 * power && this.surelyCarried(power + step) >= upper) return null;
        // Too close to call: the temperatures at the upper power first, and only then another power.
        if (this.newtonStep > UNDECIDED && step + power >= upper) step = upper - power;
      }
      const largest = ladder.kernel.call.moveTemperatures(step, 1 + step / power);
      if (!(largest < LARGEST_STEP)) return undefined;
      power += step;
      if (this.settled(power, step, lastStep, largest, lastLargest)) {
        for (let e = 0; e < temperature.length; e++) if (!(temperature[e] <= HIGHEST_TEMPERATURE)) return undefined;
        return power < upper ? { power, ...this.binding(), state } : null;
      }
      lastStep = step;
      lastLargest = largest;
    }
    return undefined;
  }

  /** How much the last linearisation still moves the temperatures, as part of the largest rise. */
  private measureNewtonStep(): void {
    this.newtonStep = this.ladder.kernel.call.relativeNewtonStep();
  }

  /**
   * Of the power (W) that the last linearisation asks for, what leaves no doubt. What a Newton step of the temperatures
   * leaves is of second order, a tenth of the step's square at most in the demonstration's studies; five times that is
   * taken off, with a part for currents that follow the temperatures late.
   */
  private surelyCarried(seems: number): number {
    const { newtonStep, ladder } = this;
    // Far off, a straight line tells little.
    if (!(newtonStep <= 0.3)) return 0;
    const late = MARGIN.late[ladder.rack.sharing.model];
    return seems * (1 - MARGIN.square * newtonStep * newtonStep - late * newtonStep - MARGIN.least);
  }

  /** Whether what is left to move is small: the steps shrink by the ratio of the last two. */
  private settled(power: number, step: number, lastStep: number, largest: number, lastLargest: number): boolean {
    if (Math.abs(step) > SMALL_STEP.power * power || largest > SMALL_STEP.temperature) return false;
    const { model } = this.ladder.rack.sharing;
    const least = LEAST_RATIO[model];
    return remainder(Math.abs(step), Math.abs(lastStep), least) <= LEFT.power * power
      && remainder(largest, lastLargest, least) <= LEFT.temperature[model];
  }

  /** The power change (W) at which, to first order, the first limit is met; remembers which. See kernel/assembly/limits.ts. */
  private linearisedStep(power: number): number {
    const { ladder } = this;
    const { mounting, rack, kernel } = ladder;
    const { barRise, barTemperature, contactTemperature, loadContactCurrent, lowestLoadVoltage } = rack.limits;
    const step = kernel.call.linearisedStep(
      power, ladder.currentOrder(power), mounting.loads.count, mounting.sources.count, barRise, barTemperature,
      contactTemperature, loadContactCurrent, lowestLoadVoltage, rack.setVoltage);
    const { limit, limitNode, limitPole } = kernel.call;
    this.limit = limit.value;
    this.node = limitNode.value;
    this.pole = limitPole.value;
    return step;
  }

  /**
   * A limit that the rack breaks with next to no load: units, surroundings or air that warm the bar by themselves. More
   * load may then even help (exhaust warms the air that the rise is counted from), but a rack that only holds its
   * limits when loaded carries nothing.
   */
  private brokenUnloaded(): Binding | null {
    const { ladder } = this;
    const { mounting, rack, around } = ladder;
    const { airBase, unitConductance, unitRise } = mounting;
    const { limits } = rack;
    let coldest = Number.POSITIVE_INFINITY;
    let warmest = around.radiant;
    for (let i = 0; i < rack.slotCount; i++) {
      coldest = Math.min(coldest, airBase[i]);
      warmest = Math.max(warmest, airBase[i] + (unitConductance[i] > 0 ? Math.max(0, unitRise[i]) : 0));
    }
    // Without load the bar lies between the coldest and the warmest thing that touches it.
    if (warmest - coldest < limits.barRise && warmest < limits.barTemperature && warmest < limits.contactTemperature) {
      return null;
    }
    const [state] = ladder.states;
    ladder.setState(state);
    const start = this.coarse.solve(state);
    const power = NOTHING * start;
    this.coarse.begin(power);
    if (ladder.solve(power) !== 'solved') return null;
    this.evaluate(power);
    return this.use >= 1 ? this.binding() : null;
  }

  /** The rated power in this state if it is below `upper`, which the states before carry; else null. */
  searchBracketed(state: OperatingState, upper: number): RatedPower | null {
    return this.bracketed(state, this.coarse.solve(state), upper);
  }

  private bracketed(state: OperatingState, start: number, upper: number): RatedPower | null {
    const { ladder } = this;
    let power = Number.isFinite(upper) ? upper : start;
    let low = 0;
    let high = Number.POSITIVE_INFINITY;
    let beyond: Binding | null = null;
    let lastLogPower = Number.NaN;
    let lastLogUse = Number.NaN;
    let widthBefore = Number.POSITIVE_INFINITY;
    this.coarse.begin(power);
    for (let trial = 0; trial < 300; trial++) {
      const status = ladder.solve(power);
      let next = Number.NaN;
      if (status === 'solved') {
        this.evaluate(power);
        if (power === upper && this.use <= 1 + UTILISATION_TOLERANCE) return null;
        if (Math.abs(this.use - 1) <= UTILISATION_TOLERANCE) return { power, ...this.binding(), state };
        if (this.use < 1) low = power;
        else {
          high = power;
          beyond = this.binding();
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
        high = power;
        beyond = failureBinding(status);
        lastLogPower = Number.NaN;
      }
      if (beyond !== null && high - low <= BRACKET_TOLERANCE * high) return { power: low, ...beyond, state };
      if (beyond !== null && high <= NOTHING * start) {
        if (status === 'not-converged') throw new RatingError('the ladder did not converge at any power', power);
        return { power: 0, ...beyond, state };
      }
      // Secant steps that leave the bracket, or hardly narrow it, give way to halving.
      const slow = trial % 4 === 3 && high - low > 0.5 * widthBefore;
      if (trial % 4 === 3) widthBefore = high - low;
      if (slow || !(next > low && next < high)) {
        next = high === Number.POSITIVE_INFINITY ? 4 * power : low === 0 ? high / 4 : 0.5 * (low + high);
      }
      if (next > UNLIMITED) throw new RatingError('nothing limits the load of this rack', power);
      // The last temperatures are the best start unless they belong to a far or a failed trial.
      if (status !== 'solved' || Math.abs(next - power) > 0.5 * power) this.coarse.begin(next);
      power = next;
    }
    throw new RatingError('the search for the rated power did not close', power);
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
    const { air } = ladder.around;
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
        const square = contacts.current[k] * contacts.current[k] * contacts.thermalResistance[k];
        for (let p = 0; p < 2; p++) {
          const spot = temperature[2 * node + p] + edge.hotSpotAt(2 * node + p)
            + square * contacts.resistance[2 * k + p];
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

/**
 * A solve that does not settle counts as without steady state: that happens within rounding of the power at which the
 * last steady state is lost, where temperatures answer to power without bound.
 */
function failureBinding(status: Exclude<SolveStatus, 'solved'>): Binding {
  return { limit: status === 'voltage-collapse' ? status : 'no-steady-state', slot: 0, pole: 'both' };
}

/** What is left of steps of which the last two are given; they shrink by their ratio, but not by less than `least`. */
function remainder(step: number, lastStep: number, least: number): number {
  // A first step tells nothing of the next.
  if (!(lastStep > 0)) return Number.POSITIVE_INFINITY;
  const ratio = Math.min(0.99, Math.max(least, step / lastStep));
  return Math.max((step * ratio) / (1 - ratio), MEMORY * lastStep);
}

/** Currents close far within the step that the power still takes: an error in them is one in the power. */
function closureAfter(step: number): number {
  return Math.min(FIRST_CLOSURE, Math.max(FINE_SEARCH_CLOSURE, 1e-6 * Math.abs(step)));
}
