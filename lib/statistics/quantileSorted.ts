import { quantileSorted as quantileType7 } from 'simple-statistics';
import { requireFiniteSample, requireFraction } from './checks.js';
import { StatisticsInputError } from './errors.js';

/** Percentile definitions of Hyndman & Fan (1996), by their numbers. */
export const QUANTILE_DEFINITIONS = ['type-6', 'type-7', 'type-8'] as const;
export type QuantileDefinition = (typeof QUANTILE_DEFINITIONS)[number];

/** Type 8 is about median-unbiased whatever the distribution; Hyndman & Fan recommend it. */
export const DEFAULT_QUANTILE_DEFINITION: QuantileDefinition = 'type-8';

/**
 * Estimate of the p-quantile from a sample sorted in ascending order, [value].
 *
 * Linear interpolation between the order statistics on both sides of the position h (1-based), which is
 * type 6: (n + 1)·p; type 7: (n − 1)·p + 1; type 8: (n + 1/3)·p + 1/3; cut off at 1 and n.
 * So `p` = 0.01 gives a low value, which about 99 % of the population exceeds.
 * Source: Hyndman & Fan (1996), Sample quantiles in statistical packages, The American Statistician 50, 361–365.
 *
 * The order of the values is the caller's duty and is not checked: an unsorted sample gives a wrong answer.
 * Cost: one pass over the values, for the check that all are finite.
 *
 * @throws StatisticsInputError for an empty sample, a value that is not finite, p outside 0..1, or an unknown
 * definition.
 * @example quantileSorted([1, 2, 3, 4], 0.5, 'type-7'); // 2.5
 */
export function quantileSorted(
  sorted: ArrayLike<number>,
  p: number,
  definition: QuantileDefinition = DEFAULT_QUANTILE_DEFINITION,
): number {
  requireFiniteSample('sorted', sorted, 1);
  requireFraction('p', p);
  if (definition === 'type-7') return quantileType7(sorted, p);
  return valueAtPosition(sorted, quantilePosition(sorted.length, p, definition));
}

/**
 * Position, 1-based and cut off at 1 and n, between whose neighbours the p-quantile of n values is interpolated.
 * @throws StatisticsInputError for an unknown definition
 */
export function quantilePosition(n: number, p: number, definition: QuantileDefinition): number {
  const within = (position: number) => Math.min(Math.max(position, 1), n);
  switch (definition) {
    case 'type-6':
      return within((n + 1) * p);
    case 'type-7':
      return within((n - 1) * p + 1);
    case 'type-8':
      return within((n + 1 / 3) * p + 1 / 3);
    default:
      throw new StatisticsInputError('definition', definition, `one of ${QUANTILE_DEFINITIONS.join(', ')} is needed`);
  }
}

/**
 * Least number of values that say anything of the p-quantile: below it the quantile would lie beyond the lowest (or the
 * highest) of them, and the end of the sample would be passed off as the quantile. From type 8's positions; for p = 0 and 1,
 * the ends themselves, one value is enough.
 *
 * @throws StatisticsInputError for p outside 0..1
 * @example smallestSampleForQuantile(0.001); // 667
 */
export function smallestSampleForQuantile(p: number): number {
  requireFraction('p', p);
  const tail = Math.min(p, 1 - p);
  if (tail === 0) return 1;
  // (n + 1/3)·p + 1/3 ≥ 1, with room for the rounding of p.
  return Math.max(1, Math.ceil((2 / 3 / tail - 1 / 3) * (1 - 1e-12)));
}

function valueAtPosition(sorted: ArrayLike<number>, h: number): number {
  const rank = Math.floor(h);
  const below = sorted[rank - 1];
  return h === rank ? below : below + (h - rank) * (sorted[rank] - below);
}
