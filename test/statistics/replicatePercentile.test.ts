import { describe, expect, it } from 'vitest';
import {
  orderStatisticInterval,
  quantileSorted,
  replicateInterval,
  replicatePercentile,
  ReplicateTooSmall,
  StatisticsInputError,
} from '../../lib/statistics/index.js';
import { observedShare, shareDeviation, sortedSample, thrownBy, uniforms } from './support.js';

/** Sum of two quantities, each spread over `size` equal strata, one value in each: a Latin hypercube. */
function latinHypercubeOfSums(size: number, random: () => number): number[] {
  const strata = Array.from({ length: size }, (_, i) => i);
  for (let i = size - 1; i > 0; i--) {
    const j = Math.floor(random() * (i + 1));
    [strata[i], strata[j]] = [strata[j], strata[i]];
  }
  return strata.map((stratum, i) => (stratum + random()) / size + (i + random()) / size);
}

describe('replicatePercentile', () => {
  it('estimates in each complete replicate in the order drawn and leaves an incomplete one out', () => {
    const values = [4, 1, 3, 2, 40, 10, 30, 20, 1000];
    const options = { confidence: 0.9, definition: 'type-7' } as const;
    const result = replicatePercentile(values, 4, 0.5, options);
    expect(result.estimates).toEqual([2.5, 25]);
    expect(result).toMatchObject({ ...replicateInterval([2.5, 25], 0.9), replicates: 2, valuesLeftOut: 1 });
    expect(result.pooled).toBe(quantileSorted([1, 2, 3, 4, 10, 20, 30, 40], 0.5, 'type-7'));
    expect(values).toEqual([4, 1, 3, 2, 40, 10, 30, 20, 1000]);
  });

  it('sorts by value, not as text', () => {
    expect(replicatePercentile([9, 100, 20, 9, 100, 20], 3, 0.5, { confidence: 0.9 }).estimates).toEqual([20, 20]);
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

  it('refuses replicates so short that the percentile lies beyond their extremes', () => {
    const values = sortedSample(1000, uniforms('short'));
    const error = thrownBy(() => replicatePercentile(values, 50, 0.01, { confidence: 0.95 }));
    expect(error).toBeInstanceOf(ReplicateTooSmall);
    expect(error).toMatchObject({ replicateSize: 50, p: 0.01, leastReplicateSize: 99 });
    for (const [p, least] of [[0.01, 99], [0.99, 99], [0.1, 9], [0.9, 9], [0.5, 1]]) {
      const { estimates } = replicatePercentile(values, least, p, { confidence: 0.95 });
      expect(estimates).toHaveLength(Math.floor(1000 / least));
      if (least > 1) {
        expect(() => replicatePercentile(values, least - 1, p, { confidence: 0.95 })).toThrow(ReplicateTooSmall);
      }
    }
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
