import { mean, sampleStandardDeviation } from 'simple-statistics';
import { requireCount, requireFiniteSample, requireOpenFraction } from './checks.js';
import { TooFewReplicates } from './errors.js';
import type { PercentileOptions } from './percentileEstimate.js';
import { quantileSorted } from './quantileSorted.js';
import { studentTwoSidedQuantile } from './studentQuantile.js';

/** A percentile from independent replicates of a design, with its interval; values in the unit of the sample. */
export interface ReplicatePercentile {
  /** The percentile of all values of the complete replicates together. */
  readonly estimate: number;
  readonly lower: number;
  readonly upper: number;
  /** Number of complete replicates. */
  readonly replicates: number;
  /** Standard error of the share of values at or below the estimate, 0..1. */
  readonly shareStandardError: number;
  /** Values of a last, incomplete replicate, which were left out. */
  readonly valuesLeftOut: number;
}

/**
 * Percentile of a design made of independent randomised replicates of `replicateSize` values each; value i belongs to
 * replicate floor(i / replicateSize), [scenario], in the order drawn, not sorted.
 *
 * In every replicate the share of values at or below some power is an unbiased estimate of its chance, whatever the
 * design; percentiles of single replicates are not, by more than their mean's standard error where replicates are many
 * and short. So the interval is found on shares: with e the standard error of the shares at or below the estimate and t Student's
 * two-sided quantile at R − 1 degrees of freedom, it reaches from the percentile of all values at p − t·e to that at p + t·e.
 * Shares go in steps of one value, behind which a spread of up to half a value may hide: e is no less than that.
 * Source: Woodruff (1952), Confidence intervals for medians and other position measures, J. Am. Stat. Assoc. 47,
 * 635–646 (from memory), with the replicates as its clusters.
 *
 * @throws TooFewReplicates where p − t·e or p + t·e lies beyond the extreme values.
 * @throws StatisticsInputError unless replicateSize is a whole number ≥ 1, 0 < p < 1, 0 < confidence < 1, all values
 * are finite and fill at least two replicates.
 */
export function replicatePercentile(
  valuesInOrder: ArrayLike<number>,
  replicateSize: number,
  p: number,
  { confidence, definition }: PercentileOptions,
): ReplicatePercentile {
  requireCount('replicateSize', replicateSize, 1);
  requireOpenFraction('p', p);
  requireFiniteSample('valuesInOrder', valuesInOrder, 2 * replicateSize);

  const replicates = Math.floor(valuesInOrder.length / replicateSize);
  const used = replicates * replicateSize;
  const values = Float64Array.from(valuesInOrder).subarray(0, used);
  const sorted = values.slice().sort();
  const estimate = quantileSorted(sorted, p, definition);
  const shares = Array.from({ length: replicates }, (_, r) =>
    mean(Array.from(values.subarray(r * replicateSize, (r + 1) * replicateSize), (value) => (value <= estimate ? 1 : 0))));
  const spread = Math.max(sampleStandardDeviation(shares), 0.5 / replicateSize);
  const shareStandardError = spread / Math.sqrt(replicates);
  const halfWidth = studentTwoSidedQuantile(confidence, replicates - 1) * shareStandardError;
  const lowest = 1 / (used + 1);
  if (p - halfWidth < lowest || p + halfWidth > 1 - lowest) {
    throw new TooFewReplicates(replicates, replicateSize, p, confidence, halfWidth);
  }
  return {
    estimate,
    lower: quantileSorted(sorted, p - halfWidth, definition),
    upper: quantileSorted(sorted, p + halfWidth, definition),
    replicates,
    shareStandardError,
    valuesLeftOut: valuesInOrder.length - used,
  };
}
