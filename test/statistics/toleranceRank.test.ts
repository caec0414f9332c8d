import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  lowerToleranceRank,
  SampleTooSmall,
  smallestSample,
  StatisticsInputError,
  upperToleranceRank,
} from '../../lib/statistics/index.js';
import { observedShare, shareDeviation, sortedSample, thrownBy, uniforms } from './support.js';

const fraction = fc.double({ min: 0.005, max: 0.5, noNaN: true });
const confidence = fc.double({ min: 0.5, max: 0.99, noNaN: true });

describe('lowerToleranceRank', () => {
  it('steps up by one rank exactly at the least sample size of each order', () => {
    fc.assert(
      fc.property(fraction, confidence, fc.integer({ min: 1, max: 30 }), (p, asked, order) => {
        const least = smallestSample({ p, confidence: asked, order });
        expect(lowerToleranceRank(least, p, asked).rank).toBe(order);
        if (order > 1) expect(lowerToleranceRank(least - 1, p, asked).rank).toBe(order - 1);
        else if (least > 1) expect(() => lowerToleranceRank(least - 1, p, asked)).toThrow(SampleTooSmall);
      }),
    );
  });

  it('achieves at least the confidence asked for', () => {
    fc.assert(
      fc.property(fraction, confidence, fc.integer({ min: 1000, max: 5000 }), (p, asked, n) => {
        expect(lowerToleranceRank(n, p, asked).confidence).toBeGreaterThanOrEqual(asked - 1e-12);
      }),
    );
  });

  it('lies below the quantile as often as it says', () => {
    const random = uniforms('tolerance bound');
    const [n, p, trials] = [100, 0.05, 4000];
    const bound = lowerToleranceRank(n, p, 0.9);
    const observed = observedShare(trials, () => sortedSample(n, random)[bound.rank - 1] <= p);
    expect(observed).toBeGreaterThanOrEqual(0.9 - 3 * shareDeviation(0.9, trials));
    expect(Math.abs(observed - bound.confidence)).toBeLessThan(3.5 * shareDeviation(bound.confidence, trials));
  });

  it('says the confidence of the second smallest of a hundred as worked out by hand', () => {
    // P(B ≥ 2) = 1 − 0.95^100 − 100·0.05·0.95^99 = 0.9629 for B ~ Bin(100, 0.05); P(B ≥ 3) = 0.8817 is too little.
    expect(lowerToleranceRank(100, 0.05, 0.95).rank).toBe(2);
    expect(lowerToleranceRank(100, 0.05, 0.95).confidence).toBeCloseTo(1 - 0.95 ** 100 - 5 * 0.95 ** 99, 12);
  });

  it('refuses a sample too small and says how many values suffice', () => {
    const error = thrownBy(() => lowerToleranceRank(58, 0.05, 0.95));
    expect(error).toBeInstanceOf(SampleTooSmall);
    expect(error).toMatchObject({ n: 58, p: 0.05, confidence: 0.95, leastSampleSize: 59 });
  });

  it('refuses sizes, fractions and confidences outside their range', () => {
    expect(() => lowerToleranceRank(0, 0.05, 0.95)).toThrow(StatisticsInputError);
    expect(() => lowerToleranceRank(100, 0, 0.95)).toThrow(/^p: found/);
    expect(() => lowerToleranceRank(100, 0.05, 1)).toThrow(/^confidence: found/);
  });
});

describe('upperToleranceRank', () => {
  it('is the mirror image of the lower bound', () => {
    fc.assert(
      fc.property(fraction, confidence, fc.integer({ min: 1000, max: 5000 }), (p, asked, n) => {
        const lower = lowerToleranceRank(n, 1 - (1 - p), asked);
        const upper = upperToleranceRank(n, 1 - p, asked);
        expect(upper).toEqual({ rank: n + 1 - lower.rank, confidence: lower.confidence });
      }),
    );
  });

  it('refuses a sample too small and says how many values suffice', () => {
    const error = thrownBy(() => upperToleranceRank(10, 0.95, 0.95));
    expect(error).toMatchObject({ n: 10, p: 0.95, leastSampleSize: 59 });
  });
});
