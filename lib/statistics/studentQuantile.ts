import { requireOpenFraction, requireCount } from './checks.js';
import { betaQuantile } from './distributions.js';

/**
 * The t with P(|T| ≤ t) = `confidence` for Student's T with ν `degreesOfFreedom`.
 *
 * T²/(ν + T²) is Beta(1/2, ν/2) distributed, so with y its quantile t = √(ν·y/(1 − y)).
 * Source: Johnson, Kotz & Balakrishnan (1995), Continuous univariate distributions 2, section 28.2 (from memory).
 *
 * @throws StatisticsInputError unless 0 < confidence < 1 and ν is a whole number ≥ 1.
 * @example studentTwoSidedQuantile(0.95, 9); // 2.262157
 */
export function studentTwoSidedQuantile(confidence: number, degreesOfFreedom: number): number {
  requireOpenFraction('confidence', confidence);
  requireCount('degreesOfFreedom', degreesOfFreedom, 1);
  const y = betaQuantile(confidence, 0.5, degreesOfFreedom / 2);
  if (y <= 0.5) return Math.sqrt((degreesOfFreedom * y) / (1 - y));
  // Near 1 the difference 1 − y has lost its digits; the mirrored law gives it directly.
  const complement = betaQuantile(1 - confidence, degreesOfFreedom / 2, 0.5);
  return Math.sqrt((degreesOfFreedom * (1 - complement)) / complement);
}
