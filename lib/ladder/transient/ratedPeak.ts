/**
 * The largest load that a placement carries for a while: once after a steady load, or again and again.
 *
 * u(P), the largest utilisation of any limit while the peak lasts, rises with P; secant steps on log u over log P inside a
 * bracket find u = 1. Repeated peaks are followed to the state that repeats itself: cycles from the steady state of the
 * mean square of the load, with jumps along the slowest mode, until a cycle changes no temperature any more.
 */
import type { Scenario } from '../../draw/scenario.js';
import type { Rack } from '../../rack/model.js';
import { type Binding, LIMIT_WORDS } from '../limitCheck.js';
import type { OperatingState } from '../operatingState.js';
import { operatingStates } from '../operatingState.js';
import { RatingError } from '../ratedPower.js';
import { TransientLadder } from './transientLadder.js';

export interface PeakQuestion {
  /** W, steady load beforehand; 0: none. */
  readonly before: number;
  /** s that the peak lasts. */
  readonly duration: number;
  /** What lies between peaks that come again and again, W and s; without it the peak comes once. */
  readonly rest?: { readonly duration: number; readonly power: number };
}

export interface RatedPeak {
  /** W, the largest peak at which every limit holds in every operating state. */
  readonly power: number;
  readonly binding: Binding;
  readonly state: OperatingState;
}

/** The load beside the peak already breaks a limit, so that no peak can be carried. */
export class NoRoomForPeak extends Error {
  constructor(readonly power: number, readonly binding: Binding) {
    super(`the load of ${(power / 1e3).toFixed(3)} kW beside the peak breaks a limit itself: ${LIMIT_WORDS[binding.limit]}`);
    this.name = 'NoRoomForPeak';
  }
}

const POWER_TOLERANCE = 1e-5;
const MOST_TRIALS = 100;
/** K that a cycle may still change any temperature by. */
const CYCLE_SETTLED = 2e-3;
const MOST_CYCLES = 300;
/** W; nothing limits a rack that carries so much. */
const UNLIMITED = 1e12;

interface Use {
  readonly utilisation: number;
  readonly binding: Binding;
}

const COLLAPSED: Use = {
  utilisation: Number.POSITIVE_INFINITY, binding: { limit: 'no-steady-state', slot: 0, pole: 'both' },
};

/**
 * @param tolerance K, of a step in time
 * @throws NoRoomForPeak; NoFeedError, RangeError, RatingError as a rating
 */
export function ratedPeak(rack: Rack, scenario: Scenario, question: PeakQuestion, tolerance = 0.01): RatedPeak {
  check(question);
  const transient = new TransientLadder(rack, tolerance);
  const answers: RatedPeak[] = [];
  for (const state of operatingStates(rack, scenario)) {
    transient.mount(scenario, state);
    const use = (power: number) => usedBy(transient, question, power);
    const before = answers.at(-1);
    const above = before === undefined ? null : { power: before.power, use: use(before.power) };
    // A state that carries what the others do is passed over.
    if (above !== null && above.use.utilisation <= 1) continue;
    answers.push({ ...search(use, question, transient.estimate(), above), state });
  }
  const lowest = answers.at(-1);
  if (lowest === undefined) throw new RatingError('no operating state to rate', 0);
  return lowest;
}

/**
 * @param estimate W, of the steady rating
 * @param above a power known not to be carried
 */
function search(
  use: (power: number) => Use, question: PeakQuestion, estimate: number, above: { readonly power: number; readonly use: Use } | null,
): { power: number; binding: Binding } {
  const beside = Math.max(question.before, question.rest?.power ?? 0);
  let low = beside;
  let lowUse: Use | null = null;
  if (beside > 0) {
    lowUse = use(beside);
    if (!(lowUse.utilisation <= 1)) throw new NoRoomForPeak(beside, lowUse.binding);
  }
  let high = above?.power ?? Number.POSITIVE_INFINITY;
  let beyond = above?.use ?? null;
  let power = above === null ? Math.max(1.5 * beside, 1.2 * estimate) : secant(above.power, above.use.utilisation, null);
  let last: { power: number; use: number } | null = lowUse === null ? null : { power: low, use: lowUse.utilisation };
  for (let trial = 0; trial < MOST_TRIALS; trial++) {
    if (!(power > low && power < high)) power = Number.isFinite(high) ? (low > 0 ? Math.sqrt(low * high) : high / 4) : 4 * low;
    if (power > UNLIMITED) throw new RatingError('nothing limits the peak load of this rack', power);
    const found = use(power);
    if (found.utilisation <= 1) low = power;
    else {
      high = power;
      beyond = found;
    }
    if (beyond !== null && high - low <= POWER_TOLERANCE * high) return { power: low, binding: beyond.binding };
    if (high < 1e-3) return { power: 0, binding: found.binding };
    const next = secant(power, found.utilisation, last);
    last = Number.isFinite(found.utilisation) ? { power, use: found.utilisation } : null;
    // A little to the other side of where the root seems to be closes the bracket.
    power = next * (next > power ? 1 + 0.4 * POWER_TOLERANCE : 1 - 0.4 * POWER_TOLERANCE);
    if (trial % 6 === 5) power = Number.NaN;
  }
  throw new RatingError('the search for the rated peak did not close', power);
}

/** W where log u over log P meets 0; heat rises about as the square of the load. */
function secant(power: number, use: number, last: { power: number; use: number } | null): number {
  if (!Number.isFinite(use)) return Number.NaN;
  let order = last === null ? Number.NaN : Math.log(use / last.use) / Math.log(power / last.power);
  if (!(order > 0.3 && order < 20)) order = 1.6;
  // One look tells little of what lies far away.
  return power * Math.min(10, Math.max(0.1, use ** (-1 / order)));
}

/** The largest utilisation while peaks of this power last. */
function usedBy(transient: TransientLadder, { before, duration, rest }: PeakQuestion, power: number): Use {
  if (transient.beginSteady(before) !== 'solved') return COLLAPSED;
  const once = duringPeak(transient, power, duration);
  if (rest === undefined || once.utilisation === Number.POSITIVE_INFINITY) return once;
  const share = duration / (duration + rest.duration);
  if (transient.beginSteady(Math.sqrt(share * power ** 2 + (1 - share) * rest.power ** 2)) !== 'solved') return COLLAPSED;
  const repeated = repeatedly(transient, power, duration, rest);
  return repeated.utilisation > once.utilisation ? repeated : once;
}

function duringPeak(transient: TransientLadder, power: number, duration: number): Use {
  let worst: Use = { utilisation: 0, binding: COLLAPSED.binding };
  const { status } = transient.advance(power, duration, () => {
    const use = transient.utilisation(power);
    if (use.utilisation > worst.utilisation) worst = use;
  });
  if (status === 'solved') return worst;
  return { ...COLLAPSED, binding: { ...COLLAPSED.binding, limit: status === 'voltage-collapse' ? status : 'no-steady-state' } };
}

/** From the state that repeats itself. */
function repeatedly(
  transient: TransientLadder, power: number, duration: number, rest: { readonly duration: number; readonly power: number },
): Use {
  const { temperature } = transient;
  let start = temperature.slice();
  let lastChange: Float64Array | null = null;
  for (let cycle = 0; cycle < MOST_CYCLES; cycle++) {
    const use = duringPeak(transient, power, duration);
    if (use.utilisation === Number.POSITIVE_INFINITY) return use;
    if (transient.advance(rest.power, rest.duration).status !== 'solved') return COLLAPSED;
    const change = temperature.map((end, e) => end - start[e]);
    const ratio: number = lastChange === null ? Number.NaN : dot(change, lastChange) / dot(lastChange, lastChange);
    const left = ratio > 0 && ratio < 1 ? ratio / (1 - ratio) : 1;
    const largest = change.reduce((most, k) => Math.max(most, Math.abs(k)), 0);
    if (largest === 0 || (lastChange !== null && largest * Math.max(1, left) <= CYCLE_SETTLED)) return use;
    // Two plain cycles show how the slowest mode shrinks; then what is left of it is jumped over.
    const jumps = cycle % 3 === 2 && ratio > 0 && ratio < 1;
    if (jumps) for (let e = 0; e < change.length; e++) temperature[e] += left * change[e];
    lastChange = jumps ? null : change;
    start = temperature.slice();
  }
  throw new RatingError('repeated peaks do not settle', power);
}

function dot(a: Float64Array, b: Float64Array): number {
  return a.reduce((sum, value, k) => sum + value * b[k], 0);
}

function check({ before, duration, rest }: PeakQuestion): void {
  const times = [duration, ...(rest === undefined ? [] : [rest.duration])];
  const powers = [before, ...(rest === undefined ? [] : [rest.power])];
  for (const time of times) if (!(time > 0 && Number.isFinite(time))) throw new RangeError(`duration ${time} s: must be above 0`);
  for (const power of powers) if (!(power >= 0 && Number.isFinite(power))) throw new RangeError(`power ${power} W: must not be negative`);
}
