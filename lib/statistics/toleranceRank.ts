import { largestThatHolds } from './bisection.js';
import { requireCount, requireOpenFraction } from './checks.js';
import { binomialAtMost } from './distributions.js';
import { SampleTooSmall } from './errors.js';
import { smallestSample } from './smallestSample.js';

/** One order statistic that bounds a quantile from one side. */
export interface ToleranceRank {
  /** 1-based rank in the ascending sample. */
  readonly rank: number;
  /** Confidence achieved, at least the one asked for; exact for a continuous distribution. */
  readonly confidence: number;
}

/**
 * The largest rank r whose order statistic X(r) lies at or below the p-quantile with at least `confidence`, so that a
 * fraction 1 − p of the population exceeds X(r): a one-sided, distribution-free tolerance bound.
 *
 * Condition: P(B ≥ r) ≥ confidence for B ~ Bin(n, p), n independent values. Ties only raise the confidence.
 * Source: Wilks (1941), Determination of sample sizes for setting tolerance limits, Ann. Math. Statist. 12, 91–96.
 *
 * @throws SampleTooSmall where even the smallest value is no such bound.
 * @throws StatisticsInputError unless n is a whole number ≥ 1, 0 < p < 1 and 0 < confidence < 1.
 * @example lowerToleranceRank(93, 0.05, 0.95).rank; // 2
 */
export function lowerToleranceRank(n: number, p: number, confidence: number): ToleranceRank {
  const order = toleranceOrder(n, p, confidence);
  if (order === null) throw new SampleTooSmall(n, p, confidence, smallestSample({ p, confidence, order: 1 }));
  return { rank: order, confidence: 1 - binomialAtMost(order - 1, n, p) };
}

/**
 * The smallest rank whose order statistic lies at or above the p-quantile with at least `confidence`: the mirror image
 * of `lowerToleranceRank`, for a high p. Throws as that does.
 *
 * @example upperToleranceRank(93, 0.95, 0.95).rank; // 92
 */
export function upperToleranceRank(n: number, p: number, confidence: number): ToleranceRank {
  const order = toleranceOrder(n, 1 - p, confidence);
  if (order === null) {
    throw new SampleTooSmall(n, p, confidence, smallestSample({ p, confidence, order: 1, side: 'upper' }));
  }
  return { rank: n + 1 - order, confidence: 1 - binomialAtMost(order - 1, n, 1 - p) };
}

function toleranceOrder(n: number, p: number, confidence: number): number | null {
  requireCount('n', n, 1);
  requireOpenFraction('p', p);
  requireOpenFraction('confidence', confidence);
  const risk = 1 - confidence;
  return largestThatHolds(1, n, (order) => binomialAtMost(order - 1, n, p) <= risk);
}
