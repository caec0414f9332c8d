import { describe, expect, it } from 'vitest';
import { betaQuantile, binomialAtLeast, binomialAtMost } from '../../lib/statistics/distributions.js';
import { StatisticsInputError } from '../../lib/statistics/index.js';

describe('binomialAtMost and binomialAtLeast', () => {
  it('add up to 1 between neighbouring counts, from nothing at all to everything', () => {
    for (let k = 0; k <= 31; k++) {
      expect(binomialAtMost(k - 1, 30, 0.3) + binomialAtLeast(k, 30, 0.3)).toBeCloseTo(1, 12);
    }
    expect(binomialAtMost(-1, 30, 0.3)).toBe(0);
    expect(binomialAtLeast(31, 30, 0.3)).toBe(0);
    expect(binomialAtLeast(0, 30, 0.3)).toBe(1);
  });

  it('keep their digits in the far upper tail', () => {
    expect(binomialAtLeast(20, 20, 0.1) / 1e-20).toBeCloseTo(1, 9);
  });

  it('refuse a chance outside 0..1 instead of answering NaN', () => {
    expect(() => binomialAtMost(1, 2, 1.5)).toThrow(StatisticsInputError);
    expect(() => betaQuantile(0.5, 0, 1)).toThrow(StatisticsInputError);
  });
});
