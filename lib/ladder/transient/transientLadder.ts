/**
 * Temperatures of both poles over time: C·dT/dt = what enters − what leaves, the same assembled system as in the steady
 * state, with the heat capacity of the metal at each node.
 *
 * Two implicit stages a step (SDIRK of second order, γ = 1 − 1/√2, L-stable: Alexander 1977, SIAM J. Numer. Anal. 14,
 * 1006); each stage is a solve of the ladder in which every node is held at a known temperature through C/(γ·Δt). The
 * difference from the embedded method of first order chooses the step. Currents, voltages, films and the temperatures
 * of contact spots and of hot spots beneath contacts follow at once, which puts short peaks on the warm side.
 */
import type { Scenario } from '../../draw/scenario.js';
import type { Rack } from '../../rack/model.js';
import { Ladder, type SolveStatus } from '../ladder.js';
import type { Binding } from '../limitCheck.js';
import type { OperatingState } from '../operatingState.js';
import { Rating, RatingError } from '../ratedPower.js';
import { heatCapacities } from './heatCapacity.js';
import { slowestTimeConstant } from './timeConstant.js';

const GAMMA = 1 - Math.SQRT1_2;
/** W that stand for no load: nothing is warmed by them. */
const NO_LOAD = 1e-6;
/** First step as part of a stretch of constant load; smallest step, s. */
const FIRST_PART = 1e-3;
const SMALLEST_STEP = 1e-6;
const MOST_STEPS = 100_000;

/** How a stretch of constant load went. */
export interface Advance {
  /** `solved`, or why no step could be taken any more. */
  readonly status: SolveStatus;
  /** s, up to which temperatures are known; the whole stretch where solved. */
  readonly reached: number;
}

export class TransientLadder {
  readonly ladder: Ladder;
  private readonly rating: Rating;
  private capacities: Float64Array = new Float64Array(0);
  private readonly storage: Float64Array;
  private readonly held: Float64Array;
  private state: OperatingState | null = null;

  /** @param tolerance K, what the two methods may differ by in one step */
  constructor(readonly rack: Rack, private readonly tolerance = 0.01) {
    if (!(tolerance > 0 && Number.isFinite(tolerance))) throw new RangeError(`tolerance ${tolerance} K: must be above 0`);
    this.ladder = new Ladder(rack);
    this.rating = new Rating(this.ladder);
    this.storage = this.ladder.kernel.numbers('storage');
    this.held = this.ladder.kernel.numbers('heldTemperature');
  }

  /** K, mean over the depth, `[slot × pole]`; may be set between stretches. */
  get temperature(): Float64Array {
    return this.ladder.thermal.temperature;
  }

  /** @throws NoFeedError, RangeError as a rating */
  mount(scenario: Scenario, state: OperatingState): void {
    this.ladder.mount(scenario);
    this.capacities = heatCapacities(this.rack, scenario.build.areaFactor);
    this.select(state);
  }

  /** Another operating state at the present temperatures: which sources carry the load. */
  select(state: OperatingState): void {
    this.state = state;
    this.ladder.setState(state);
  }

  /**
   * The steady state under a load (W); 0: none, the bar as its air and its units leave it.
   * @throws RatingError where the solve does not converge
   */
  beginSteady(power: number): SolveStatus {
    this.checkPower(power);
    const { kernel } = this.ladder;
    this.select(this.mounted());
    kernel.call.store(false);
    kernel.call.solveStart();
    kernel.call.beginAt(Math.max(power, NO_LOAD));
    return this.solve(Math.max(power, NO_LOAD));
  }

  /** Rough estimate of what the present state carries for good, W. */
  estimate(): number {
    this.mounted();
    return this.ladder.kernel.call.solveStart();
  }

  /** Slowest time constant about a steady state, s; call it after beginSteady. */
  timeConstant(): number {
    return slowestTimeConstant(this.ladder.kernel, this.capacities, this.ladder.rack.pitch);
  }

  /**
   * Follows the temperatures under a constant load.
   * @param power W
   * @param duration s
   * @param observe called after each step with the time since the start of the stretch, s
   * @param prepare called before each stage with the time for which it is solved, s: for what varies with time besides load
   * @throws RatingError where a stage does not converge however short the step
   */
  advance(
    power: number, duration: number, observe: (time: number) => void = () => {}, prepare: (time: number) => void = () => {},
  ): Advance {
    this.checkPower(power);
    if (!(duration > 0 && Number.isFinite(duration))) throw new RangeError(`duration ${duration} s: must be above 0`);
    this.mounted();
    const { kernel } = this.ladder;
    const watts = Math.max(power, NO_LOAD);
    const from = new Float64Array(this.temperature.length);
    let time = 0;
    let step = FIRST_PART * duration;
    kernel.call.store(true);
    try {
      for (let count = 0; time < duration; count++) {
        if (count > MOST_STEPS) throw new RatingError(`the load needs more than ${MOST_STEPS} steps in time`, power);
        // The last two steps share what is left, so that none is a sliver.
        const left = duration - time;
        const taken = step >= left ? left : Math.min(step, 0.5 * left);
        from.set(this.temperature);
        const { status, error } = this.tryStep(watts, taken, time, from, prepare);
        if (status === 'solved' && error <= this.tolerance) {
          time = taken === left ? duration : time + taken;
          observe(time);
        } else {
          this.temperature.set(from);
          if (taken <= SMALLEST_STEP) {
            if (status === 'not-converged') throw new RatingError('a step in time did not converge', power);
            if (status !== 'solved') return { status, reached: time };
          }
        }
        const factor = status === 'solved' ? 0.9 * Math.sqrt(this.tolerance / Math.max(error, 1e-12)) : 0.25;
        step = Math.max(SMALLEST_STEP, taken * Math.min(4, Math.max(0.2, factor)));
      }
    } finally {
      kernel.call.store(false);
    }
    return { status: 'solved', reached: duration };
  }

  /** Largest utilisation of any limit at the present temperatures and the currents of a load, W, with what it belongs to. */
  utilisation(power: number): { utilisation: number; binding: Binding } {
    return this.rating.utilisationNow(Math.max(power, NO_LOAD));
  }

  /** K, hottest point of the depth at each entry `[slot × pole]`; after {@link utilisation}. */
  hottest(): Float64Array {
    return this.temperature.map((mean, entry) => mean + this.ladder.edge.hotSpotAt(entry));
  }

  private tryStep(
    power: number, step: number, time: number, from: Float64Array, prepare: (time: number) => void,
  ): { status: SolveStatus; error: number } {
    const { storage, held, temperature, capacities } = this;
    const perStage = 1 / (GAMMA * step);
    for (let e = 0; e < storage.length; e++) storage[e] = capacities[e] * perStage;
    held.set(from);
    prepare(time + GAMMA * step);
    const first = this.ladder.solve(power);
    if (first !== 'solved') return { status: first, error: Number.POSITIVE_INFINITY };
    const change = temperature.map((stage, e) => stage - from[e]);
    for (let e = 0; e < held.length; e++) held[e] = from[e] + ((1 - GAMMA) / GAMMA) * change[e];
    prepare(time + step);
    const second = this.ladder.solve(power);
    if (second !== 'solved') return { status: second, error: Number.POSITIVE_INFINITY };
    // Both stages' rates of change times the step; the embedded method weighs them alike.
    let error = 0;
    for (let e = 0; e < held.length; e++) {
      const rates = (temperature[e] - held[e] - change[e]) / GAMMA;
      error = Math.max(error, (0.5 - GAMMA) * Math.abs(rates));
    }
    return { status: second, error };
  }

  private solve(power: number): SolveStatus {
    const status = this.ladder.solve(power);
    if (status === 'not-converged') throw new RatingError('the ladder did not converge', power);
    return status;
  }

  private mounted(): OperatingState {
    if (this.state === null) throw new Error('mount a scenario first');
    return this.state;
  }

  private checkPower(power: number): void {
    if (!(power >= 0 && Number.isFinite(power))) throw new RangeError(`power ${power} W: must not be negative`);
  }
}
