import { lookConfidence, lowerToleranceRank, SampleTooSmall } from '../statistics/index.js';
import { ascendingPowers } from './ascendingPowers.js';
import { requireSample } from './checks.js';
import { basisWords, type LabelBasis, requireBasis } from './labelBasis.js';
import { labelRisks } from './labelRisk.js';
import type { LabelTable } from './labelTable.js';
import { beyondRanges, verdictOf } from './labelVerdict.js';
import { roundDown } from './roundDown.js';
import { countOfScenarios, kilowattsDown, labelKilowatts, rangesWords } from './words.js';
import { ratedBelow } from './worstMet.js';

/** A label with the promise it keeps. Powers in W. */
export interface LabelRecommendation {
  readonly basis: LabelBasis;
  /** Rounded down to the step; null where no label keeps the promise. */
  readonly label: number | null;
  /** The power before rounding: the floor, or the order statistic. null where there is none. */
  readonly bound: number | null;
  /** 1-based rank of the bound in the ascending sample, share basis only. */
  readonly rank: number | null;
  /** The label, its basis and what else is known of it; or that there is none, and why. */
  readonly words: string;
  /** Why there is no label; null where there is one. */
  readonly reason: string | null;
}

type TableParts = Pick<LabelTable, 'sample' | 'step' | 'floor' | 'worst'>;

/**
 * The largest label, a whole number of steps, that keeps a promise; rounded down.
 *
 * every-placement: the floor. share: the largest order statistic that lies below the (100 − carriedPercent)th
 * percentile of rated power with the confidence asked for (Wilks 1941; see lowerToleranceRank); where a stopping rule
 * looks several times, each look takes its part of 1 − confidence. Order statistics need independent scenarios, so a
 * design of sampling gives no label on a share.
 *
 * @throws RangeError for percentages outside 0..100, an empty sample or a step that is not above 0
 */
export function recommendLabel(table: TableParts, basis: LabelBasis): LabelRecommendation {
  requireBasis(basis);
  requireSample(table.sample);
  return basis.kind === 'every-placement' ? fromFloor(table, basis) : fromShare(table, basis);
}

function fromFloor({ sample, step, floor, worst }: TableParts, basis: LabelBasis): LabelRecommendation {
  if (floor === null) {
    const found = kilowattsDown(worst.power);
    return none(basis, `no floor is proven yet; the lowest rated power found, ${found}, is no proof`);
  }
  const label = roundDown(floor.power, step);
  if (label === 0) return none(basis, belowStep('floor', floor.power, step), floor.power);
  const better = floor.finished ? '' : '; more computing time may raise the floor';
  return {
    basis, label, bound: floor.power, rank: null, reason: null,
    words: `Label ${labelKilowatts(label)}: ${basisWords(basis)}, ${rangesWords(floor.ranges)}. Proven by a floor of `
      + `${kilowattsDown(floor.power)} (limited by ${floor.limitedBy}), rounded down to a multiple of `
      + `${labelKilowatts(step)}${better}; worst found ${kilowattsDown(worst.power)}`
      + `${beyondRanges(worst, ratedBelow(sample, label), sample.ratedPower.length)}.`,
  };
}

function fromShare(table: TableParts, basis: Extract<LabelBasis, { kind: 'share' }>): LabelRecommendation {
  const { sample, step, floor, worst } = table;
  const { carriedPercent, confidencePercent } = basis;
  if (sample.sampling.design !== 'plain') {
    return none(basis, 'the order statistics that prove it need independent scenarios, which this sampling design does '
      + 'not give; run the study with plain sampling'
      + ' (what the candidates risk comes from the replicates, each candidate by itself)');
  }
  const n = sample.ratedPower.length;
  const confidence = lookConfidence(confidencePercent / 100, sample.looks);
  const rank = rankOrLeast(n, (100 - carriedPercent) / 100, confidence);
  if (typeof rank !== 'number') {
    return none(basis, `${n} scenarios are too few for it, at least ${rank.leastSampleSize} are needed`);
  }
  const bound = ascendingPowers(sample)[rank - 1];
  const label = roundDown(bound, step);
  if (label === 0) return none(basis, belowStep('bound', bound, step), bound, rank);
  const [{ notCarrying }] = labelRisks(sample, [label]);
  const carried = notCarrying === 0
    ? `all ${n} carry the label` : `${countOfScenarios(notCarrying, n)} do not carry the label`;
  const { verdictWords } = verdictOf(label, floor, worst, ratedBelow(sample, label), n);
  const notRated = sample.limit.filter((limit) => limit === null).length;
  const unrated = notRated === 0 ? '' : `, of which ${notRated} could not be rated and count as carrying nothing`;
  const looks = sample.looks === 1 ? '' : `, the confidence shared over ${sample.looks} planned looks`;
  return {
    basis, label, bound, rank, reason: null,
    words: `Label ${labelKilowatts(label)}: ${basisWords(basis)}. Bound ${kilowattsDown(bound)}, the rated power `
      + `of rank ${rank} from below in ${n} scenarios${looks}, rounded down to a multiple of ${labelKilowatts(step)}; `
      + `${carried}${unrated}. Over all allowed placements it is ${verdictWords}.`,
  };
}

function rankOrLeast(n: number, p: number, confidence: number): number | SampleTooSmall {
  try {
    return lowerToleranceRank(n, p, confidence).rank;
  } catch (error) {
    if (!(error instanceof SampleTooSmall)) throw error;
    return error;
  }
}

function belowStep(name: string, power: number, step: number): string {
  return `the ${name} of ${kilowattsDown(power)} is below one step of ${labelKilowatts(step)}`;
}

function none(
  basis: LabelBasis, reason: string, bound: number | null = null, rank: number | null = null,
): LabelRecommendation {
  const words = `No label on the basis that ${basisWords(basis)}: ${reason}.`;
  return { basis, label: null, bound, rank, reason, words };
}
