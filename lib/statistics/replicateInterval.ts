import { mean, sampleStandardDeviation } from 'simple-statistics';
import { requireFiniteSample } from './checks.js';
import { studentTwoSidedQuantile } from './studentQuantile.js';

/** Mean of independent estimates with its Student-t interval, in the unit of the estimates. */
export interface ReplicateInterval {
  readonly mean: number;
  readonly lower: number;
  readonly upper: number;
  /** Number of estimates. */
  readonly replicates: number;
  /** Standard deviation of the estimates over √replicates. */
  readonly standardError: number;
}

/**
 * Student-t interval over estimates from independent randomised replicates, [replicate].
 *
 * mean ± t·s/√R, with s the standard deviation of the R estimates (R − 1 in its denominator) and t Student's two-sided
 * quantile at R − 1 degrees of freedom. For Latin hypercube and randomised Sobol designs: the values within a replicate
 * depend on each other, so that order-statistic intervals do not hold, but the replicates do not. For means and shares:
 * percentiles of short replicates share a bias, see `replicatePercentile`.
 * The estimates are taken as about normal. Two are the least; ten or more are wise, since t is 12.7 at two, 2.3 at ten,
 * and the interval says nothing about a bias that all estimates share.
 * Source: Owen (2013), Monte Carlo theory, methods and examples, section 17.3 (from memory).
 *
 * @throws StatisticsInputError for fewer than two estimates, one that is not finite, or confidence outside 0..1.
 * @example replicateInterval([1, 2, 3], 0.95).mean; // 2
 */
export function replicateInterval(estimates: ArrayLike<number>, confidence: number): ReplicateInterval {
  requireFiniteSample('estimates', estimates, 2);
  const values = Array.from(estimates);
  const replicates = values.length;
  const centre = mean(values);
  const standardError = sampleStandardDeviation(values) / Math.sqrt(replicates);
  const halfWidth = studentTwoSidedQuantile(confidence, replicates - 1) * standardError;
  return { mean: centre, lower: centre - halfWidth, upper: centre + halfWidth, replicates, standardError };
}
