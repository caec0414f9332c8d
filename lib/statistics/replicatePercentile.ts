import { requireCount, requireFiniteSample, requireOpenFraction } from './checks.js';
import { ReplicateTooSmall } from './errors.js';
import type { PercentileOptions } from './percentileEstimate.js';
import { quantileSorted } from './quantileSorted.js';
import { replicateInterval, type ReplicateInterval } from './replicateInterval.js';

/** A percentile estimated in each replicate of a design, with the interval over the replicates. */
export interface ReplicatePercentile extends ReplicateInterval {
  /** The percentile in each complete replicate, [replicate]. */
  readonly estimates: readonly number[];
  /** The percentile of all values of the complete replicates together. */
  readonly pooled: number;
  /** Values of a last, incomplete replicate, which were left out. */
  readonly valuesLeftOut: number;
}

/**
 * Percentile of a design made of independent randomised replicates of `replicateSize` values each; value i belongs to
 * replicate floor(i / replicateSize), [scenario], in the order drawn, not sorted.
 *
 * The percentile is estimated in each complete replicate; `mean`, `lower` and `upper` are the Student-t interval of
 * `replicateInterval` over these. `pooled` uses the same values at once. The interval is for the expected estimate of
 * one replicate, which differs from the true percentile by the definition's bias at that size: small where
 * replicateSize·p and replicateSize·(1 − p) are well above 1. The `pooled` estimate has less of it.
 *
 * @throws ReplicateTooSmall where p·(replicateSize + 1) or (1 − p)·(replicateSize + 1) is below 1: the percentile then
 * lies beyond the extreme values of a replicate, and its estimate would be biased toward the middle.
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
  const leastReplicateSize = leastSizeHolding(p);
  if (replicateSize < leastReplicateSize) throw new ReplicateTooSmall(replicateSize, p, leastReplicateSize);
  requireFiniteSample('valuesInOrder', valuesInOrder, 2 * replicateSize);

  const values = Float64Array.from(valuesInOrder);
  const replicates = Math.floor(values.length / replicateSize);
  const estimates: number[] = [];
  for (let replicate = 0; replicate < replicates; replicate++) {
    const sorted = values.slice(replicate * replicateSize, (replicate + 1) * replicateSize).sort();
    estimates.push(quantileSorted(sorted, p, definition));
  }
  const used = replicates * replicateSize;
  return {
    ...replicateInterval(estimates, confidence),
    estimates,
    pooled: quantileSorted(values.slice(0, used).sort(), p, definition),
    valuesLeftOut: values.length - used,
  };
}

/** The allowance keeps 1 − 0.9 = 0.0999... from asking for one value more than 0.1 does. */
function leastSizeHolding(p: number): number {
  return Math.ceil(1 / Math.min(p, 1 - p) - 1e-9) - 1;
}
