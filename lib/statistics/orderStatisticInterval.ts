import { largestThatHolds, smallestThatHolds } from './bisection.js';
import { requireCount, requireOpenFraction } from './checks.js';
import { binomialAtLeast, binomialAtMost } from './distributions.js';
import { SampleTooSmall, StatisticsInputError } from './errors.js';

/** Two order statistics that enclose a quantile, by rank. */
export interface RankInterval {
  /** 1-based rank of the lower end in the ascending sample. */
  readonly lowerRank: number;
  /** 1-based rank of the upper end. */
  readonly upperRank: number;
  /** Confidence achieved, at least the one asked for; exact for a continuous distribution. */
  readonly coverage: number;
}

/** Largest sample size that is searched for; beyond it the binomial law is not computed closely enough. */
export const LARGEST_SAMPLE_SIZE = 1e9;

/**
 * Ranks l and u such that [X(l), X(u)] of n independent values encloses the p-quantile with at least `confidence`,
 * whatever the distribution; ties only raise the coverage.
 *
 * With α = 1 − confidence and B ~ Bin(n, p): l is the largest rank with P(B ≤ l − 1) ≤ α/2, u the smallest with
 * P(B ≥ u) ≤ α/2, coverage = P(l ≤ B ≤ u − 1). Where a tail equals α/2 exactly, rounding may give the wider rank.
 * Not for Latin hypercube or other designs whose values depend on each other: see `replicatePercentile`.
 * Source: David & Nagaraja (2003), Order statistics, section 7.1 (from memory).
 *
 * @throws SampleTooSmall where even the extreme values do not enclose the quantile with that confidence.
 * @throws StatisticsInputError unless n is a whole number ≥ 1, 0 < p < 1 and 0 < confidence < 1.
 * @example orderStatisticInterval(100, 0.5, 0.95).upperRank; // 61, and lowerRank 40
 */
export function orderStatisticInterval(n: number, p: number, confidence: number): RankInterval {
  requireCount('n', n, 1);
  requireOpenFraction('p', p);
  requireOpenFraction('confidence', confidence);
  const tail = (1 - confidence) / 2;
  const lowerRank = largestThatHolds(1, n, (rank) => binomialAtMost(rank - 1, n, p) <= tail);
  const upperRankFromTop = largestThatHolds(1, n, (rank) => binomialAtLeast(n + 1 - rank, n, p) <= tail);
  if (lowerRank === null || upperRankFromTop === null) {
    throw new SampleTooSmall(n, p, confidence, smallestSampleForInterval(p, confidence));
  }
  const upperRank = n + 1 - upperRankFromTop;
  const coverage = 1 - binomialAtMost(lowerRank - 1, n, p) - binomialAtLeast(upperRank, n, p);
  return { lowerRank, upperRank, coverage };
}

/**
 * Least number of independent values for which `orderStatisticInterval` exists: the extreme values then enclose the
 * p-quantile, (1 − p)^n ≤ α/2 and p^n ≤ α/2.
 *
 * @throws StatisticsInputError unless 0 < p < 1 and 0 < confidence < 1, or where more than 1e9 values would be needed.
 * @example smallestSampleForInterval(0.01, 0.95); // 368
 */
export function smallestSampleForInterval(p: number, confidence: number): number {
  requireOpenFraction('p', p);
  requireOpenFraction('confidence', confidence);
  const tail = (1 - confidence) / 2;
  const least = smallestThatHolds(
    1,
    LARGEST_SAMPLE_SIZE,
    (n) => binomialAtMost(0, n, p) <= tail && binomialAtLeast(n, n, p) <= tail,
  );
  if (least === null) {
    throw new StatisticsInputError('p', p, `more than ${LARGEST_SAMPLE_SIZE} values would be needed; ask for less`);
  }
  return least;
}
