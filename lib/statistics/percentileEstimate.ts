import { orderStatisticInterval, type RankInterval } from './orderStatisticInterval.js';
import { quantileSorted, type QuantileDefinition } from './quantileSorted.js';

/** How a percentile is estimated. */
export interface PercentileOptions {
  /** Two-sided, 0..1, e.g. 0.95. */
  readonly confidence: number;
  /** `type-8` where left out. */
  readonly definition?: QuantileDefinition | undefined;
}

/** A percentile with its distribution-free interval; values in the unit of the sample. */
export interface PercentileEstimate extends RankInterval {
  readonly estimate: number;
  /** The value of rank `lowerRank`. */
  readonly lower: number;
  /** The value of rank `upperRank`. */
  readonly upper: number;
}

/**
 * Estimate of the p-quantile of n independent values sorted in ascending order, [value], with the order statistics that
 * enclose the true quantile with at least the confidence asked for.
 *
 * See `quantileSorted` for the estimate and `orderStatisticInterval` for the ranks. The order is not checked.
 *
 * @throws SampleTooSmall where n is too small for an interval; StatisticsInputError as those two do.
 * @example percentileEstimate(ratedKw, 0.01, { confidence: 0.95 }); // exceeded by 99 % of scenarios
 */
export function percentileEstimate(
  sorted: ArrayLike<number>,
  p: number,
  { confidence, definition }: PercentileOptions,
): PercentileEstimate {
  const estimate = quantileSorted(sorted, p, definition);
  const ranks = orderStatisticInterval(sorted.length, p, confidence);
  return { estimate, lower: sorted[ranks.lowerRank - 1], upper: sorted[ranks.upperRank - 1], ...ranks };
}
