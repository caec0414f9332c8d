/** Least copper that carries a power: one dimension of the bar varied without steps, on the same scenarios throughout. */
import { type BarChange, changedRack, InputError, type LeastRequest, type Rack } from '../../rack/index.js';
import type { Study } from '../../rack/studyModel.js';
import { bracketedRoot, smallestSampleForQuantile } from '../../statistics/index.js';
import { percentileOf, type RatedPercentile } from './percentileOf.js';
import { rateDesign } from './rateDesign.js';
import { ScenarioSet } from './scenarioSet.js';

export interface LeastOptions {
  /** Fraction 0..1; for the basis `percentile`. */
  readonly percentile: number;
  readonly scenarios?: number;
  /** For the basis `floor`: W proven for a study, sought up to `wanted`. */
  readonly floorUpTo?: (study: Study, wanted: number) => number;
  readonly onTrial?: (trial: LeastTrial) => void;
}

/** One value of the dimension (m, or a factor) and what it carries, W; a floor is sought no higher than what is wanted. */
export interface LeastTrial {
  readonly at: number;
  readonly power: number;
}

/** A bar with the interval of its own percentile, W; null for a floor, and where the sample is too small. */
export interface LeastAnswer extends LeastTrial {
  readonly rack: Rack;
  readonly lower: number | null;
  readonly upper: number | null;
}

export interface LeastCopper {
  readonly request: LeastRequest;
  /**
   * found: carried from `answer` on; none carries: no value looked at does; smallest carries: already the lower end does;
   * window: carried from `answer` on but no longer at the upper end.
   */
  readonly outcome: 'found' | 'none carries' | 'smallest carries' | 'window';
  /** A value that carries what is wanted, with one within the tolerance below it that does not; null for `none carries`. */
  readonly answer: LeastAnswer | null;
  /** Values spread over the whole range, ascending, looked at before the search. */
  readonly looks: readonly LeastTrial[];
  /** Whether the power rose from look to look: else more copper does not always carry more. */
  readonly rising: boolean;
  /** Values tried. */
  readonly trials: number;
}

/** Looks over the range before the search: both ends and what lies between. */
const LOOKS = { percentile: 7, floor: 3 } as const;

/**
 * The percentile on one set of scenarios is a continuous function of the dimension, since every rated power is; it need
 * not rise (contacts spread farther into a deeper bar, air films change with height and gap), so the range is looked over
 * first and what was met is said. A floor is not continuous: for it only whether it is reached counts, and the search
 * halves.
 *
 * @throws InputError where a value of the dimension makes no rack; RangeError for options that make no sense
 */
export function leastCopper(study: Study, request: LeastRequest, options: LeastOptions): LeastCopper {
  const { wanted, from, to, basis } = request;
  if (!(wanted > 0 && to > from && from > 0 && request.tolerance > 0)) {
    throw new RangeError('least: a range and a power above 0 are needed');
  }
  const rate = raterOf(study, request, options);
  let trials = 0;
  const tryAt = (at: number): LeastTrial => {
    trials++;
    const trial = { at, power: rate(rackAt(study.rack, request, at)).power };
    options.onTrial?.(trial);
    return trial;
  };
  const count = LOOKS[basis];
  const looks = Array.from({ length: count }, (_, k) => tryAt(k === count - 1 ? to : from + ((to - from) * k) / (count - 1)));
  const rising = looks.every(({ power: own }, k) => k === 0 || own >= looks[k - 1].power * (1 - 1e-9));
  const carries = looks.map(({ power: own }) => own >= wanted);
  const closed = (outcome: LeastCopper['outcome'], trial: LeastTrial | null): LeastCopper => {
    const rack = trial === null ? null : rackAt(study.rack, request, trial.at);
    const [lower, upper] = rack === null || basis === 'floor' ? [null, null] : intervalOf(rate(rack));
    const answer = trial === null || rack === null ? null : { ...trial, rack, lower, upper };
    return { request, outcome, looks, rising, trials, answer };
  };
  if (!carries.includes(true)) return closed('none carries', null);
  if (!carries.includes(false)) return closed('smallest carries', looks[0]);
  // Where the upper end carries, from the answer on everything looked at does; else the first that does.
  const isWindow = !carries[count - 1];
  if (isWindow && carries[0]) return closed('window', looks[0]);
  const above = isWindow ? carries.indexOf(true) : carries.lastIndexOf(false) + 1;
  const met = new Map<number, number>();
  const excess = (at: number): number => {
    const found = tryAt(at).power;
    met.set(at, found);
    return basis === 'floor' ? (found >= wanted ? 1 : -1) : found - wanted;
  };
  const [low, high] = [looks[above - 1], looks[above]];
  const ends = basis === 'floor' ? [-1, 1] as const : [low.power - wanted, high.power - wanted] as const;
  const { root } = bracketedRoot(excess, low.at, high.at, ends, toleranceOf(study.rack, request));
  return closed(isWindow ? 'window' : 'found', { at: root, power: met.get(root) ?? high.power });
}

type Rated = Pick<RatedPercentile, 'power' | 'lower' | 'upper'>;

const intervalOf = ({ lower, upper }: Rated) => [lower, upper] as const;

function raterOf(study: Study, { basis, wanted }: LeastRequest, options: LeastOptions): (rack: Rack) => Rated {
  const { percentile, floorUpTo } = options;
  if (basis === 'floor') {
    if (floorUpTo === undefined) throw new RangeError('least: a floor is asked for, and nothing proves one');
    return (rack) => ({ power: floorUpTo({ ...study, rack }, wanted), lower: null, upper: null });
  }
  const scenarios = options.scenarios ?? study.scenarios;
  const least = smallestSampleForQuantile(percentile);
  if (!(scenarios >= least)) throw new RangeError(`${scenarios} scenarios: this percentile needs at least ${least}`);
  const set = new ScenarioSet(study, scenarios);
  return (rack) => percentileOf(rateDesign(rack, set).powers, percentile, study);
}

function rackAt(base: Rack, { vary, poles }: LeastRequest, at: number): Rack {
  const change: BarChange = { poles, [vary]: at };
  const { rack, problems } = changedRack(base, change, `least: ${vary} ${at}`);
  if (rack === null) throw new InputError(problems);
  return rack;
}

/** In the unit of the dimension. */
function toleranceOf({ supply, return: back }: Rack, { vary, tolerance }: LeastRequest): number {
  if (vary !== 'scale') return tolerance;
  return tolerance / Math.max(...[...supply.sections, ...back.sections].map(({ plates }) => plates.depth));
}
