import { sampleStandardDeviation } from 'simple-statistics';
import { requireCount, requireFiniteSample, requireOpenFraction } from './checks.js';
import { SampleTooSmall } from './errors.js';
import { smallestSampleForInterval } from './orderStatisticInterval.js';
import type { PercentileOptions } from './percentileEstimate.js';
import { quantileSorted } from './quantileSorted.js';
import { studentTwoSidedQuantile } from './studentQuantile.js';

export interface ReplicatePercentileOptions extends PercentileOptions {
  /** The same values in ascending order, where they are known: spares sorting them. The order is not checked. */
  readonly ascending?: Float64Array;
}

/** A percentile from independent replicates of a design, with its interval; values in the unit of the sample. */
export interface ReplicatePercentile {
  /** The percentile of all values of the complete replicates together. */
  readonly estimate: number;
  /** The value of rank `lowerRank` among them. */
  readonly lower: number;
  /** The value of rank `upperRank`. */
  readonly upper: number;
  /** Counted from 1, the smallest. */
  readonly lowerRank: number;
  readonly upperRank: number;
  /** Number of complete replicates. */
  readonly replicates: number;
  /** Standard error of the share of values below the estimate, 0..1. */
  readonly shareStandardError: number;
  /** Values of a last, incomplete replicate, which were left out. */
  readonly valuesLeftOut: number;
}

/**
 * Percentile of a design made of independent randomised replicates of `replicateSize` values each; value i belongs to
 * replicate floor(i / replicateSize), [scenario], in the order drawn, not sorted.
 *
 * In every replicate the share of values below some power is an unbiased estimate of its chance, whatever the design;
 * percentiles of single replicates are not, by more than their mean's standard error where replicates are many and short. So
 * the interval is found on shares: with e the standard error of the shares below the estimate and t Student's two-sided
 * quantile at R − 1 degrees of freedom, it reaches from the value at p − t·e of all to the one at p + t·e, ranks rounded
 * outward, and no farther than to the extreme values.
 *
 * Of the shares below and at or below, those that spread more count, since many racks may share a power; and e is no less than
 * what whole counts could hide where replicates agree by design, √(q·(1 − q)) values with q = min(p, 1 − p)·replicateSize, at most
 * ½. That is enough for designs whose replicates agree within one value or spread about as chance does, not for values that
 * agree but for a rare replicate that is quite different.
 * Source: Woodruff (1952), Confidence intervals for medians and other position measures, J. Am. Stat. Assoc. 47,
 * 635–646 (from memory), with the replicates as its clusters.
 *
 * @throws SampleTooSmall where even the extreme values of as many independent values would not enclose the percentile:
 * refusing by the spread found instead would leave the intervals that are too short by chance.
 * @throws StatisticsInputError unless replicateSize is a whole number ≥ 1, 0 < p < 1, 0 < confidence < 1, all values
 * are finite and fill at least two replicates.
 */
export function replicatePercentile(
  valuesInOrder: ArrayLike<number>,
  replicateSize: number,
  p: number,
  { confidence, definition, ascending }: ReplicatePercentileOptions,
): ReplicatePercentile {
  requireCount('replicateSize', replicateSize, 1);
  requireOpenFraction('p', p);
  requireFiniteSample('valuesInOrder', valuesInOrder, 2 * replicateSize);
  const replicates = Math.floor(valuesInOrder.length / replicateSize);
  const used = replicates * replicateSize;
  const least = smallestSampleForInterval(p, confidence);
  if (used < least) throw new SampleTooSmall(used, p, confidence, least);

  const sorted = ascending?.length === used ? ascending : new Float64Array(valuesInOrder).subarray(0, used).sort();
  const estimate = quantileSorted(sorted, p, definition);
  const below = new Array<number>(replicates).fill(0);
  const atMost = new Array<number>(replicates).fill(0);
  for (let replicate = 0, i = 0; replicate < replicates; replicate++) {
    for (const end = i + replicateSize; i < end; i++) {
      if (valuesInOrder[i] < estimate) below[replicate]++;
      if (valuesInOrder[i] <= estimate) atMost[replicate]++;
    }
  }
  const spreadOfCounts = Math.max(sampleStandardDeviation(below), sampleStandardDeviation(atMost), leastSpread(replicateSize, p));
  const spread = spreadOfCounts / replicateSize;
  const shareStandardError = spread / Math.sqrt(replicates);
  const halfWidth = studentTwoSidedQuantile(confidence, replicates - 1) * shareStandardError;
  const lowerRank = Math.max(1, Math.floor((used + 1) * (p - halfWidth)));
  const upperRank = Math.min(used, Math.ceil((used + 1) * (p + halfWidth)));
  return {
    estimate,
    lower: sorted[lowerRank - 1],
    upper: sorted[upperRank - 1],
    lowerRank,
    upperRank,
    replicates,
    shareStandardError,
    valuesLeftOut: valuesInOrder.length - used,
  };
}

/** Standard deviation that whole counts which agree may hide. */
function leastSpread(replicateSize: number, p: number): number {
  const beyond = Math.min(p, 1 - p) * replicateSize;
  return beyond < 0.5 ? Math.sqrt(beyond * (1 - beyond)) : 0.5;
}
