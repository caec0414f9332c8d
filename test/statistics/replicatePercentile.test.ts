import { describe, expect, it } from 'vitest';
import {
  orderStatisticInterval,
  quantileSorted,
  replicateInterval,
  replicatePercentile,
  StatisticsInputError,
  TooFewReplicates,
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
    // Of 1 to 40 the quantile of type 7 at q is 1 + 39 q.
    expect(found.lower).toBeCloseTo(1 + 39 * (0.5 - 3.18245 * error), 4);
    expect(found.upper).toBeCloseTo(1 + 39 * (0.5 + 3.18245 * error), 4);
    expect(values.slice(0, 4)).toEqual([1, 2, 3, 4]);
  });

  it('sorts by value, not as text, and counts a value that equals the estimate', () => {
    const values = [9, 100, 20, 9, 100, 20, 9, 100, 20, 9, 100, 20];
    const found = replicatePercentile(values, 3, 0.5, { confidence: 0.5 });
    expect(found).toMatchObject({ estimate: 20, lower: 20, upper: 20 });
  });

  it('takes replicates that agree for known to half a value, not for certain', () => {
    const values = [1, 2, 3, 4].flatMap((k) => Array.from({ length: 10 }, (_, i) => i + k / 10));
    const { shareStandardError } = replicatePercentile(values, 10, 0.5, { confidence: 0.8 });
    expect(shareStandardError).toBeCloseTo(0.05 / 2, 12);
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
      expect(Math.abs(observed - 0.95)).toBeLessThan(margin);
      expect(coveredByMean / trials).toBeLessThan(0.95 - margin);
    });

  it('refuses replicates that hold too few values for both ends, and gives an interval with more of them', () => {
    const random = uniforms('few');
    const all = Array.from({ length: 40 }, () => latinHypercubeOfSums(50, random)).flat();
    const error = thrownBy(() => replicatePercentile(all.slice(0, 250), 50, 0.01, { confidence: 0.95 }));
    expect(error).toBeInstanceOf(TooFewReplicates);
    expect(error).toMatchObject({ replicates: 5, replicateSize: 50, p: 0.01, confidence: 0.95 });
    expect((error as Error).message).toMatch(/^5 replicates of 50: too few values to bound the 0.01 quantile .*: run more replicates$/);
    expect(() => replicatePercentile(all.slice(0, 250), 50, 0.99, { confidence: 0.95 })).toThrow(TooFewReplicates);
    const { lower, upper } = replicatePercentile(all, 50, 0.01, { confidence: 0.95 });
    expect(lower).toBeLessThan(upper);
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
