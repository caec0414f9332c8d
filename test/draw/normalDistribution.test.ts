import { describe, expect, it } from 'vitest';
import { normalCdf, normalQuantile, truncatedNormalQuantile } from '../../lib/draw/normalDistribution.js';

describe('the standard normal distribution', () => {
  // Evaluated to 30 digits with mpmath (erfc).
  it.each([
    [-1, 0.158655253931457],
    [-3, 1.349898031630095e-3],
    [-5, 2.866515718791939e-7],
    [-10, 7.619853024160527e-24],
    [1, 0.841344746068543],
  ])('has Φ(%d) = %d', (z, wanted) => {
    expect(Math.abs(normalCdf(z) / wanted - 1)).toBeLessThan(1e-12);
  });

  it('has a tail that lies within the bounds of Mills, φ(z)·z/(z²+1) < Φ(−z) < φ(z)/z', () => {
    for (let z = 0.5; z < 37; z += 0.5) {
      const density = Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI);
      expect(normalCdf(-z)).toBeLessThan(density / z);
      expect(normalCdf(-z)).toBeGreaterThan((density * z) / (z * z + 1));
    }
  });

  it('has a quantile function that inverts it, in the far lower tail too', () => {
    for (const p of [1e-200, 1e-100, 1e-20, 1e-8, 0.01, 0.3, 0.5, 0.9, 0.999999]) {
      expect(Math.abs(normalCdf(normalQuantile(p)) / p - 1)).toBeLessThan(1e-12);
    }
  });
});

describe('a truncated normal quantile', () => {
  it.each([
    [-1, 2],
    [-Infinity, 0.5],
    [1, Infinity],
    [6, 7],
    [-12, -11],
    [20, 21],
  ])('splits the probability between %d and %d evenly', (low, high) => {
    const quantile = truncatedNormalQuantile(low, high);
    if (quantile === null) throw new Error('no mass');
    for (const u of [1e-9, 0.1, 0.5, 0.9, 1 - 1e-9]) {
      const z = quantile(u);
      expect(z).toBeGreaterThanOrEqual(low);
      expect(z).toBeLessThanOrEqual(high);
      // Compared in the tail that holds the interval, where probabilities are accurate.
      const sign = low > 0 ? -1 : 1;
      const [from, to] = low > 0 ? [-high, -low] : [low, high];
      const below = (normalCdf(sign * z) - normalCdf(from)) / (normalCdf(to) - normalCdf(from));
      expect(Math.abs(below - (low > 0 ? 1 - u : u))).toBeLessThan(1e-11);
    }
  });

  it('is null where no probability is left', () => {
    expect(truncatedNormalQuantile(50, 60)).toBeNull();
    expect(truncatedNormalQuantile(-60, -50)).toBeNull();
    expect(truncatedNormalQuantile(1, 1)).toBeNull();
  });
});
