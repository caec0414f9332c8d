import erfcinv from '@stdlib/math-base-special-erfcinv';
import { requireCount, requireOpenFraction } from './checks.js';
import { StatisticsInputError } from './errors.js';

/** Named wherever the interval is shown. */
export const RANK_CORRELATION_METHOD = 'Fisher z with the variance of Bonett & Wright';

/**
 * Interval of Spearman's rank correlation ρ from independent pairs: tanh(artanh ρ ± z·√((1 + ρ²/2)/(pairs − 3))).
 * Approximate, and good for |ρ| below about 0.95; at ±1 it has no width and says only that all pairs agree.
 * Source: Fisher (1915); variance by Bonett & Wright (2000), Psychometrika 65, 23 (from memory).
 *
 * @throws StatisticsInputError for a coefficient outside −1..1, fewer than 4 pairs, or confidence outside 0..1
 * @example rankCorrelationInterval(0, 103, 0.95).upper; // 0.1935
 */
export function rankCorrelationInterval(
  coefficient: number,
  pairs: number,
  confidence: number,
): { readonly lower: number; readonly upper: number } {
  if (!(Math.abs(coefficient) <= 1)) {
    throw new StatisticsInputError('coefficient', coefficient, 'a correlation from −1 to 1 is needed');
  }
  requireCount('pairs', pairs, 4);
  requireOpenFraction('confidence', confidence);
  const normal = Math.SQRT2 * erfcinv(1 - confidence);
  const halfWidth = normal * Math.sqrt((1 + coefficient ** 2 / 2) / (pairs - 3));
  const z = Math.atanh(coefficient);
  return { lower: Math.tanh(z - halfWidth), upper: Math.tanh(z + halfWidth) };
}
