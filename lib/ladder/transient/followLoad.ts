import type { Scenario } from '../../draw/scenario.js';
import type { LoadHistory } from '../../rack/loadHistory.js';
import type { SolveStatus } from '../ladder.js';
import type { Binding } from '../limitCheck.js';
import type { OperatingState } from '../operatingState.js';
import type { TransientLadder } from './transientLadder.js';

/** The bar at one moment. */
export interface HistoryPoint {
  /** s since the first step began; 0 is the steady state before it. */
  readonly time: number;
  /** W. */
  readonly power: number;
  /** K and where, the hottest point of both poles; slot from 1. */
  readonly hottest: number;
  readonly slot: number;
  readonly pole: 'supply' | 'return';
  /** Largest utilisation of any limit, and of which. */
  readonly utilisation: number;
  readonly binding: Binding;
}

/** Load over time as one placement takes it in one operating state. */
export interface FollowedLoad {
  readonly state: OperatingState;
  /** Why it ended: `solved` at the end of the load, or what made an end of it before. */
  readonly status: SolveStatus;
  /** s, up to which it was followed. */
  readonly reached: number;
  readonly points: readonly HistoryPoint[];
  /** The first point with the largest utilisation. */
  readonly worst: HistoryPoint | null;
  /** Slowest time constant about the steady state before, s; null where there is none. */
  readonly timeConstant: number | null;
  /** K, means over the depth at the end, `[slot × pole]`. */
  readonly temperature: Float64Array;
}

/**
 * Follows a load over time.
 * @throws NoFeedError, RangeError as a rating; RatingError where a step does not converge
 */
export function followLoad(
  transient: TransientLadder, scenario: Scenario, history: LoadHistory, state: OperatingState,
): FollowedLoad {
  transient.mount(scenario, state);
  const points: HistoryPoint[] = [];
  let status = transient.beginSteady(history.before);
  const begins = status === 'solved';
  const timeConstant = begins ? transient.timeConstant() : null;
  let passed = 0;
  if (begins) points.push(pointAt(transient, 0, history.before));
  for (let cycle = 0; cycle < history.cycles && status === 'solved'; cycle++) {
    for (const { duration, power } of history.steps) {
      const from = passed;
      const advance = transient.advance(power, duration, (time) => points.push(pointAt(transient, from + time, power)));
      passed += advance.reached;
      status = advance.status;
      if (status !== 'solved') break;
    }
  }
  const worst = points.reduce<HistoryPoint | null>(
    (most, point) => (most === null || point.utilisation > most.utilisation ? point : most), null);
  return { state, status, reached: passed, points, worst, timeConstant, temperature: transient.temperature.slice() };
}

function pointAt(transient: TransientLadder, time: number, power: number): HistoryPoint {
  const { utilisation, binding } = transient.utilisation(power);
  const hottest = transient.hottest();
  let entry = 0;
  hottest.forEach((temperature, e) => {
    // Poles built alike are equally warm but for rounding; the supply pole is then named.
    if (temperature > hottest[entry] + 1e-9) entry = e;
  });
  return {
    time, power, hottest: hottest[entry], slot: (entry >> 1) + 1, pole: entry % 2 === 0 ? 'supply' : 'return', utilisation, binding,
  };
}
