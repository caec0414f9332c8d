import { smallestThatHolds } from './bisection.js';
import { requireCount, requireOpenFraction } from './checks.js';
import { binomialAtMost } from './distributions.js';
import { StatisticsInputError } from './errors.js';
import { LARGEST_SAMPLE_SIZE } from './orderStatisticInterval.js';

/** A one-sided tolerance bound asked for. */
export interface ToleranceRequest {
  /** Fraction 0..1 of the quantile to bound: 1 − content for a lower bound, the content for an upper one. */
  readonly p: number;
  /** 0..1. */
  readonly confidence: number;
  /** Which value is the bound: 1 the most extreme, 2 the second, ... counted from the side asked for. */
  readonly order: number;
  /** `lower` (default): the order-th smallest lies below the quantile; `upper`: the order-th largest lies above it. */
  readonly side?: 'lower' | 'upper' | undefined;
}

/**
 * Least number of independent values of which the order-th from the end is a one-sided tolerance bound.
 *
 * Lower: least n with P(Bin(n, p) ≥ order) ≥ confidence; upper: the same with 1 − p.
 * Source: Wilks (1941), Ann. Math. Statist. 12, 91–96.
 *
 * @throws StatisticsInputError unless 0 < p < 1, 0 < confidence < 1 and order is a whole number ≥ 1, or where more than
 * 1e9 values would be needed.
 * @example smallestSample({ p: 0.05, confidence: 0.95, order: 1 }); // 59
 */
export function smallestSample({ p, confidence, order, side = 'lower' }: ToleranceRequest): number {
  requireOpenFraction('p', p);
  requireOpenFraction('confidence', confidence);
  requireCount('order', order, 1);
  if (side !== 'lower' && side !== 'upper') throw new StatisticsInputError('side', side, 'lower or upper is needed');
  const chance = side === 'lower' ? p : 1 - p;
  const risk = 1 - confidence;
  const least = smallestThatHolds(order, LARGEST_SAMPLE_SIZE, (n) => binomialAtMost(order - 1, n, chance) <= risk);
  if (least === null) {
    throw new StatisticsInputError('p', p, `more than ${LARGEST_SAMPLE_SIZE} values would be needed; ask for less`);
  }
  return least;
}
