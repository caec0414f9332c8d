import { describe, expect, it } from 'vitest';
import { rankCorrelation, rankCorrelationInterval, StatisticsInputError } from '../../lib/statistics/index.js';
import { observedShare, shareDeviation, uniforms } from './support.js';

describe('the interval of a rank correlation', () => {
  it('is tanh(±1.959964/√(pairs − 3)) about 0', () => {
    const { lower, upper } = rankCorrelationInterval(0, 103, 0.95);
    expect(upper).toBeCloseTo(Math.tanh(0.1959964), 7);
    expect(lower).toBe(-upper);
  });

  it('stays within −1..1, and has no width at the ends', () => {
    expect(rankCorrelationInterval(0.999, 5, 0.99).upper).toBeLessThanOrEqual(1);
    expect(rankCorrelationInterval(-1, 10, 0.95)).toEqual({ lower: -1, upper: -1 });
  });

  it('covers the true coefficient of a Gaussian copula about as often as it says', () => {
    const random = uniforms('pairs');
    const normal = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
    // Pearson's r = 2·sin(π·ρ/6) gives Spearman's ρ (Kruskal 1958).
    const rho = 0.6;
    const r = 2 * Math.sin((Math.PI * rho) / 6);
    const trials = 2000;
    const share = observedShare(trials, () => {
      const x = Array.from({ length: 100 }, normal);
      const found = rankCorrelation(x, x.map((value) => r * value + Math.sqrt(1 - r * r) * normal()));
      if (!found.defined) return false;
      const { lower, upper } = rankCorrelationInterval(found.coefficient, 100, 0.95);
      return lower <= rho && rho <= upper;
    });
    expect(Math.abs(share - 0.95)).toBeLessThan(0.005 + 4 * shareDeviation(0.95, trials));
  });

  it('is refused for what is no correlation, too few pairs, and no confidence', () => {
    expect(() => rankCorrelationInterval(1.1, 50, 0.95)).toThrow(StatisticsInputError);
    expect(() => rankCorrelationInterval(Number.NaN, 50, 0.95)).toThrow(/coefficient: found NaN/);
    expect(() => rankCorrelationInterval(0.5, 3, 0.95)).toThrow(/pairs: found 3/);
    expect(() => rankCorrelationInterval(0.5, 30, 1)).toThrow(/confidence: found 1/);
  });
});
