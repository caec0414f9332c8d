import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  orderStatisticInterval,
  SampleTooSmall,
  smallestSampleForInterval,
  StatisticsInputError,
} from '../../lib/statistics/index.js';
import { observedShare, shareDeviation, sortedSample, thrownBy, uniforms } from './support.js';

/** Number of outcomes in units of 16^−n for each count of successes of Bin(n, sixteenths/16), in whole numbers. */
function exactBinomial(n: number, sixteenths: number): bigint[] {
  let row = [1n];
  for (let trial = 0; trial < n; trial++) {
    const next = new Array<bigint>(row.length + 1).fill(0n);
    row.forEach((weight, successes) => {
      next[successes] += weight * BigInt(16 - sixteenths);
      next[successes + 1] += weight * BigInt(sixteenths);
    });
    row = next;
  }
  return row;
}

/** Ranks by trying every one against the definition, with a tail of exactly 1/40; null where there are none. */
function ranksByExhaustion(n: number, sixteenths: number): { lowerRank: number; upperRank: number } | null {
  const weights = exactBinomial(n, sixteenths);
  const whole = 16n ** BigInt(n);
  const sum = (from: number, to: number) => weights.slice(from, to + 1).reduce((a, b) => a + b, 0n);
  const ranks = Array.from({ length: n }, (_, i) => i + 1);
  const lower = ranks.filter((rank) => sum(0, rank - 1) * 40n <= whole);
  const upper = ranks.filter((rank) => sum(rank, n) * 40n <= whole);
  if (lower.length === 0 || upper.length === 0) return null;
  return { lowerRank: Math.max(...lower), upperRank: Math.min(...upper) };
}

const sampleSize = fc.integer({ min: 20, max: 5000 });
const fraction = fc.double({ min: 0.3, max: 0.7, noNaN: true });
const confidence = fc.double({ min: 0.5, max: 0.99, noNaN: true });

describe('orderStatisticInterval', () => {
  it('gives the ranks found by trying all of them in whole-number arithmetic', () => {
    for (let n = 1; n <= 40; n++) {
      for (let sixteenths = 1; sixteenths <= 15; sixteenths++) {
        const expected = ranksByExhaustion(n, sixteenths);
        if (expected === null) {
          expect(() => orderStatisticInterval(n, sixteenths / 16, 0.95)).toThrow(SampleTooSmall);
        } else {
          expect(orderStatisticInterval(n, sixteenths / 16, 0.95)).toMatchObject(expected);
        }
      }
    }
  });

  it('achieves at least the confidence asked for, with ordered ranks within the sample', () => {
    fc.assert(
      fc.property(sampleSize, fraction, confidence, (n, p, asked) => {
        const { lowerRank, upperRank, coverage } = orderStatisticInterval(n, p, asked);
        expect(coverage).toBeGreaterThanOrEqual(asked - 1e-12);
        expect(coverage).toBeLessThan(1);
        expect(lowerRank).toBeGreaterThanOrEqual(1);
        expect(upperRank).toBeGreaterThan(lowerRank);
        expect(upperRank).toBeLessThanOrEqual(n);
      }),
    );
  });

  it('widens with the confidence: the interval of a lower confidence lies within, with less coverage', () => {
    fc.assert(
      fc.property(sampleSize, fraction, confidence, confidence, (n, p, a, b) => {
        const inner = orderStatisticInterval(n, p, Math.min(a, b));
        const outer = orderStatisticInterval(n, p, Math.max(a, b));
        expect(outer.lowerRank).toBeLessThanOrEqual(inner.lowerRank);
        expect(outer.upperRank).toBeGreaterThanOrEqual(inner.upperRank);
        expect(outer.coverage).toBeGreaterThanOrEqual(inner.coverage);
      }),
    );
  });

  it('mirrors: the ranks for 1 − p are those for p counted from the top', () => {
    fc.assert(
      fc.property(sampleSize, fraction, confidence, (n, p, asked) => {
        const below = orderStatisticInterval(n, p, asked);
        const above = orderStatisticInterval(n, 1 - p, asked);
        expect(above.lowerRank).toBe(n + 1 - below.upperRank);
        expect(above.upperRank).toBe(n + 1 - below.lowerRank);
      }),
    );
  });

  it('covers as often as it says for a continuous distribution, and nominally or more for one with ties', () => {
    const random = uniforms('order statistics');
    const [n, p, trials] = [120, 0.1, 4000];
    const { lowerRank, upperRank, coverage } = orderStatisticInterval(n, p, 0.95);
    const leastObserved = 0.95 - 3 * shareDeviation(0.95, trials);
    const observe = (draw: () => number, quantile: number) =>
      observedShare(trials, () => {
        const sample = sortedSample(n, draw);
        return sample[lowerRank - 1] <= quantile && quantile <= sample[upperRank - 1];
      });

    const exponential = observe(() => -Math.log(1 - random()), -Math.log(0.9));
    expect(exponential).toBeGreaterThanOrEqual(leastObserved);
    expect(Math.abs(exponential - coverage)).toBeLessThan(3.5 * shareDeviation(coverage, trials));

    // 0, 1, 2, ... with chances 0.0505, 0.0505, ...: the 10 % quantile is 1, reached by a hair (10.1 %).
    const tied = observe(() => Math.floor(random() / 0.0505), 1);
    expect(tied).toBeGreaterThanOrEqual(leastObserved);
  });

  it('finds the ranks for a million values in a handful of steps', () => {
    const started = performance.now();
    // From scipy.stats.binom of SciPy 1.17 by trying every rank.
    expect(orderStatisticInterval(1_000_000, 0.01, 0.95)).toMatchObject({ lowerRank: 9805, upperRank: 10196 });
    expect(orderStatisticInterval(1_000_000, 0.01, 0.95).coverage).toBeCloseTo(0.9505711243554, 9);
    expect(performance.now() - started).toBeLessThan(2000);
  });

  it('refuses a sample too small and says how many values suffice', () => {
    const error = thrownBy(() => orderStatisticInterval(100, 0.01, 0.95));
    expect(error).toBeInstanceOf(SampleTooSmall);
    expect(error).toMatchObject({ n: 100, p: 0.01, confidence: 0.95, leastSampleSize: 368 });
    expect((error as Error).message).toMatch(/sample of 100.*at least 368/);
  });

  it('refuses sizes, fractions and confidences outside their range', () => {
    for (const n of [0, -1, 2.5, Number.NaN]) expect(() => orderStatisticInterval(n, 0.5, 0.9)).toThrow(/^n: found/);
    for (const bad of [0, 1, -0.1, Number.NaN]) {
      expect(() => orderStatisticInterval(100, bad, 0.9)).toThrow(StatisticsInputError);
      expect(() => orderStatisticInterval(100, 0.5, bad)).toThrow(/^confidence: found/);
    }
  });
});

describe('smallestSampleForInterval', () => {
  it('follows the closed form ln(α/2)/ln(1 − p) for a low p and its mirror for a high one', () => {
    for (const p of [0.001, 0.01, 0.05, 0.25]) {
      const closedForm = Math.ceil(Math.log(0.025) / Math.log(1 - p));
      expect(smallestSampleForInterval(p, 0.95)).toBe(closedForm);
      expect(smallestSampleForInterval(1 - p, 0.95)).toBe(closedForm);
    }
  });

  it('is exactly where the interval begins to exist', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.001, max: 0.999, noNaN: true }), confidence, (p, asked) => {
        const least = smallestSampleForInterval(p, asked);
        expect(orderStatisticInterval(least, p, asked).coverage).toBeGreaterThanOrEqual(asked - 1e-12);
        if (least > 1) expect(() => orderStatisticInterval(least - 1, p, asked)).toThrow(SampleTooSmall);
      }),
    );
  });

  it('refuses what no sample of reasonable size can give', () => {
    expect(() => smallestSampleForInterval(1e-12, 0.95)).toThrow(/^p: found 1e-12/);
  });
});
