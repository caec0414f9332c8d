import { describe, expect, it } from 'vitest';
import {
  orderStatisticInterval,
  quantileSorted,
  replicateInterval,
  replicatePercentile,
  SampleTooSmall,
  smallestSampleForInterval,
  StatisticsInputError,
} from '../../lib/statistics/index.js';
import { observedShare, shareDeviation, thrownBy, uniforms } from './support.js';

/** Sum of two quantities, each spread over `size` equal strata, one value in each: a Latin hypercube. */
function latinHypercubeOfSums(size: number, random: () => number): number[] {
  const strata = Array.from({ length: size }, (_, i) => i);
  for (let i = size - 1; i > 0; i--) {
    const j = Math.floor(random() * (i + 1));
    [strata[i], strata[j]] = [strata[j], strata[i]];
  }
  return strata.map((stratum, i) => (stratum + random()) / size + (i + random()) / size);
}

/** Below one, the sum of two uniform numbers is less than x with chance x²/2. */
const quantileOfSum = (p: number) => Math.sqrt(2 * p);

/** Four replicates of 1 to 40 in which 4, 5, 5 and 6 values lie below the middle. */
const FOUR = [
  [1, 2, 3, 4, 21, 22, 23, 24, 25, 26], [5, 6, 7, 8, 9, 27, 28, 29, 30, 31],
  [32, 33, 34, 35, 36, 10, 11, 12, 13, 14], [37, 38, 15, 16, 17, 18, 19, 20, 39, 40],
];

describe('replicatePercentile', () => {
  it('takes the interval from the shares below the estimate, worked by hand', () => {
    const values = [...FOUR.flat(), 1000, 1001];
    const found = replicatePercentile(values, 10, 0.5, { confidence: 0.95, definition: 'type-7' });
    // Shares 0.4, 0.5, 0.5, 0.6: s = √(0.02/3), e = s/2; Student's t at 3 degrees of freedom is 3.18245.
    const error = Math.sqrt(0.02 / 3) / 2;
    expect(found).toMatchObject({ estimate: 20.5, replicates: 4, valuesLeftOut: 2 });
    expect(found.shareStandardError).toBeCloseTo(error, 12);
    // 41·(0.5 − 0.12992) = 15.17 and 41·(0.5 + 0.12992) = 25.83, outward.
    expect(found).toMatchObject({ lower: 15, lowerRank: 15, upper: 26, upperRank: 26 });
    // At 99 % Student's t is 5.84091: 41·(0.5 ± 0.23845).
    expect(replicatePercentile(values, 10, 0.5, { confidence: 0.99 })).toMatchObject({ lowerRank: 10, upperRank: 31 });
    expect(values.slice(0, 4)).toEqual([1, 2, 3, 4]);
  });

  it('sorts by value, not as text', () => {
    const values = Array.from({ length: 8 }, () => [9, 100, 20]).flat();
    expect(replicatePercentile(values, 3, 0.5, { confidence: 0.5 })).toMatchObject({ estimate: 20, lower: 20, upper: 20 });
  });

  it('takes the spread of the values below where those at or below hardly spread, and the other way round', () => {
    // 2 and 8 of 10 below the value that all others share.
    const above = Array.from({ length: 12 }, (_, r) => Array.from({ length: 10 }, (__, i) => (i < (r % 2 === 0 ? 2 : 8) ? i / 10 : 5))).flat();
    const below = above.map((value) => 5 - value);
    for (const values of [above, below]) {
      const { estimate, shareStandardError } = replicatePercentile(values, 10, values === above ? 0.6 : 0.4, { confidence: 0.9 });
      expect(estimate).toBe(values === above ? 5 : 0);
      expect(shareStandardError).toBeCloseTo(Math.sqrt((12 * 0.09) / 11 / 12), 12);
    }
  });

  it('is the same where the values are at hand in order, and leaves both as they are', () => {
    const values = Float64Array.from(FOUR.flat());
    const ascending = values.slice().sort();
    const options = { confidence: 0.95, definition: 'type-8' } as const;
    expect(replicatePercentile(values, 10, 0.4, { ...options, ascending })).toEqual(replicatePercentile(values, 10, 0.4, options));
    expect(Array.from(values)).toEqual(FOUR.flat());
  });

  it('takes replicates that agree for known to part of a value, not for certain', () => {
    const values = Array.from({ length: 40 }, (_, k) => Array.from({ length: 10 }, (__, i) => i + k / 1000)).flat();
    const errorAt = (p: number) => replicatePercentile(values, 10, p, { confidence: 0.8 }).shareStandardError;
    expect(errorAt(0.5)).toBeCloseTo(0.5 / 10 / Math.sqrt(40), 12);
    // A tenth and a fifth of a value lie beyond: no count spreads by more than √(0.1·0.9), √(0.2·0.8) there.
    expect(errorAt(0.01)).toBeGreaterThanOrEqual(0.3 / 10 / Math.sqrt(40) - 1e-12);
    expect(errorAt(0.98)).toBeGreaterThanOrEqual(0.4 / 10 / Math.sqrt(40) - 1e-12);
    expect(replicatePercentile(values.map(() => 7), 10, 0.99, { confidence: 0.8 }).shareStandardError)
      .toBeCloseTo(0.3 / 10 / Math.sqrt(40), 12);
  });

  it('needs hardly more short replicates than independent values need', () => {
    const random = uniforms('deep');
    const values = Array.from({ length: 64_000 }, random);
    const { lower, upper } = replicatePercentile(values, 16, 0.001, { confidence: 0.95 });
    const ranks = orderStatisticInterval(64_000, 0.001, 0.95);
    const sorted = Float64Array.from(values).sort();
    expect((upper - lower) / (sorted[ranks.upperRank - 1] - sorted[ranks.lowerRank - 1])).toBeLessThan(1.2);
  });

  it('covers the median of Latin hypercubes as it says, where the order-statistic interval is far too wide', () => {
    const random = uniforms('latin hypercube');
    const [trials, replicates, size] = [1000, 10, 50];
    const ranks = orderStatisticInterval(replicates * size, 0.5, 0.95);
    let coveredByRanks = 0;
    const observed = observedShare(trials, () => {
      const values = Array.from({ length: replicates }, () => latinHypercubeOfSums(size, random)).flat();
      const sorted = Float64Array.from(values).sort();
      if (sorted[ranks.lowerRank - 1] <= 1 && 1 <= sorted[ranks.upperRank - 1]) coveredByRanks++;
      const { lower, upper } = replicatePercentile(values, size, 0.5, { confidence: 0.95 });
      return lower <= 1 && 1 <= upper;
    });
    expect(Math.abs(observed - 0.95)).toBeLessThan(3.5 * shareDeviation(0.95, trials));
    expect(coveredByRanks / trials).toBeGreaterThan(0.99);
  });

  it.each([[0.01, 'type-8'], [0.01, 'type-7'], [0.04, 'type-6']] as const)(
    'covers the %d quantile of many short Latin hypercubes (%s), which the mean of their own quantiles misses', (p, definition) => {
      const random = uniforms(`short ${p}`);
      const [trials, replicates, size] = [1000, 60, 64];
      const truth = quantileOfSum(p);
      let coveredByMean = 0;
      const observed = observedShare(trials, () => {
        const all = Array.from({ length: replicates }, () => latinHypercubeOfSums(size, random));
        const own = replicateInterval(all.map((values) => quantileSorted(Float64Array.from(values).sort(), p, definition)), 0.95);
        if (own.lower <= truth && truth <= own.upper) coveredByMean++;
        const { lower, upper } = replicatePercentile(all.flat(), size, p, { confidence: 0.95, definition });
        return lower <= truth && truth <= upper;
      });
      const margin = 3.5 * shareDeviation(0.95, trials);
      // Ranks are rounded outward: by up to one in some twenty on either side.
      expect(observed).toBeGreaterThan(0.95 - margin);
      expect(observed).toBeLessThan(0.985);
      expect(coveredByMean / trials).toBeLessThan(0.95 - margin);
    });

  it('is refused by the number of values alone, as of independent ones, and reaches to the extremes at most', () => {
    const random = uniforms('few');
    for (const p of [0.02, 0.98]) {
      const least = smallestSampleForInterval(p, 0.95);
      const values = Array.from({ length: least }, random);
      const size = 6;
      const enough = Math.ceil(least / size) * size;
      const error = thrownBy(() => replicatePercentile(values.slice(0, enough - size), size, p, { confidence: 0.95 }));
      expect(error).toBeInstanceOf(SampleTooSmall);
      expect(error).toMatchObject({ n: enough - size, p, leastSampleSize: least });
      const found = replicatePercentile([...values, ...Array.from({ length: enough - least }, random)], size, p, { confidence: 0.95 });
      expect(found.lowerRank).toBeGreaterThanOrEqual(1);
      expect(found.upperRank).toBeLessThanOrEqual(enough);
      expect(p < 0.5 ? found.lowerRank : found.upperRank).toBe(p < 0.5 ? 1 : enough);
    }
  });

  it.each([[5, 64, 6 / 320], [4, 64, 7 / 256], [10, 64, 0.99]])(
    'holds with few values beyond the percentile: %d replicates of %d, p = %d', (replicates, size, p) => {
      const random = uniforms(`few ${p}`);
      const truth = p < 0.5 ? quantileOfSum(p) : 2 - quantileOfSum(1 - p);
      const trials = 2000;
      const missed = { below: 0, above: 0 };
      for (let k = 0; k < trials; k++) {
        const values = Array.from({ length: replicates }, () => latinHypercubeOfSums(size, random)).flat();
        const { lower, upper } = replicatePercentile(values, size, p, { confidence: 0.95 });
        if (truth < lower) missed.below++;
        if (truth > upper) missed.above++;
      }
      const most = 0.025 + 3.5 * shareDeviation(0.025, trials);
      expect(missed.below / trials).toBeLessThan(most);
      expect(missed.above / trials).toBeLessThan(most);
    });

  it('refuses fewer than two complete replicates and bad arguments', () => {
    const options = { confidence: 0.95 };
    expect(() => replicatePercentile([1, 2, 3], 2, 0.5, options)).toThrow(/found 3 values; at least 4 needed/);
    expect(() => replicatePercentile([1, 2, 3], 0, 0.5, options)).toThrow(/^replicateSize: found 0/);
    expect(() => replicatePercentile([1, 2], 1, 0, options)).toThrow(StatisticsInputError);
    expect(() => replicatePercentile([1, Number.NaN], 1, 0.5, options)).toThrow(/^valuesInOrder\[1\]/);
    expect(() => replicatePercentile([1, 2], 1, 0.5, { confidence: 2 })).toThrow(/^confidence/);
  });
});
