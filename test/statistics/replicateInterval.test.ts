import normalQuantile from '@stdlib/stats-base-dists-normal-quantile';
import { describe, expect, it } from 'vitest';
import { replicateInterval, StatisticsInputError } from '../../lib/statistics/index.js';
import { observedShare, shareDeviation, uniforms } from './support.js';

describe('replicateInterval', () => {
  it('is mean ± t·s/√R', () => {
    // By hand: mean 12, s² = (4 + 0 + 4)/2 = 4, s/√3 = 1.154701, t(0.95, 2) = 4.302653 (any t table).
    const interval = replicateInterval([10, 12, 14], 0.95);
    expect(interval.mean).toBeCloseTo(12, 12);
    expect(interval.replicates).toBe(3);
    expect(interval.standardError).toBeCloseTo(2 / Math.sqrt(3), 12);
    expect(interval.upper).toBeCloseTo(12 + 4.302653 * 1.1547005, 5);
    expect(interval.lower).toBeCloseTo(12 - 4.302653 * 1.1547005, 5);
  });

  it('covers the mean of normal estimates exactly as often as it says, also from few replicates', () => {
    const random = uniforms('student');
    const trials = 4000;
    for (const replicates of [2, 3, 10]) {
      const observed = observedShare(trials, () => {
        const estimates = Array.from({ length: replicates }, () => normalQuantile(random(), 5, 2));
        const { lower, upper } = replicateInterval(estimates, 0.95);
        return lower <= 5 && 5 <= upper;
      });
      expect(Math.abs(observed - 0.95)).toBeLessThan(3.5 * shareDeviation(0.95, trials));
    }
  });

  it('has no width where all estimates agree', () => {
    expect(replicateInterval(Float64Array.of(4, 4, 4), 0.95)).toEqual({
      mean: 4,
      lower: 4,
      upper: 4,
      replicates: 3,
      standardError: 0,
    });
  });

  it('refuses fewer than two estimates, one that is not finite, and a confidence outside 0..1', () => {
    expect(() => replicateInterval([1], 0.95)).toThrow(/^estimates: found 1 values; at least 2 needed/);
    expect(() => replicateInterval([1, Number.NaN], 0.95)).toThrow(/^estimates\[1\]: found NaN/);
    expect(() => replicateInterval([1, 2], 1)).toThrow(StatisticsInputError);
  });
});
