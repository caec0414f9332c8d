import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { quantilePosition } from '../../lib/statistics/quantileSorted.js';
import { QUANTILE_DEFINITIONS, quantileSorted, smallestSampleForQuantile, StatisticsInputError } from '../../lib/statistics/index.js';

/** Hyndman & Fan (1996): the k-th smallest of n values is the quantile of this fraction; linear in between. */
const PLOTTING_POSITION = {
  'type-6': (k: number, n: number) => k / (n + 1),
  'type-7': (k: number, n: number) => (k - 1) / (n - 1),
  'type-8': (k: number, n: number) => (k - 1 / 3) / (n + 1 / 3),
};

function throughPlottingPositions(sorted: number[], p: number, position: (k: number, n: number) => number): number {
  const n = sorted.length;
  if (p <= position(1, n)) return sorted[0];
  for (let k = 1; k < n; k++) {
    const [left, right] = [position(k, n), position(k + 1, n)];
    if (p <= right) return sorted[k - 1] + ((p - left) / (right - left)) * (sorted[k] - sorted[k - 1]);
  }
  return sorted[n - 1];
}

const sortedValues = fc
  .array(fc.integer({ min: -1000, max: 1000 }), { minLength: 2, maxLength: 40 })
  .map((values) => values.sort((a, b) => a - b));
const fraction = fc.double({ min: 0, max: 1, noNaN: true });
const definition = fc.constantFrom(...QUANTILE_DEFINITIONS);

describe('quantileSorted', () => {
  it('joins the plotting positions of each definition by straight lines', () => {
    fc.assert(
      fc.property(sortedValues, fraction, definition, (values, p, type) => {
        const oracle = throughPlottingPositions(values, p, PLOTTING_POSITION[type]);
        expect(quantileSorted(values, p, type)).toBeCloseTo(oracle, 8);
      }),
    );
  });

  it('lies at the position that it names, where it is not cut off', () => {
    for (const type of QUANTILE_DEFINITIONS) {
      // On 1 to n the value is the position.
      const values = Array.from({ length: 12 }, (_, i) => i + 1);
      for (const p of [0, 0.13, 0.5, 0.77, 1]) {
        expect(quantileSorted(values, p, type)).toBeCloseTo(quantilePosition(12, p, type), 12);
        expect(quantilePosition(12, p, type)).toBeCloseTo(throughPlottingPositions(values, p, PLOTTING_POSITION[type]), 12);
      }
    }
  });

  it('agrees with the percentiles that numpy 2 computes as weibull, linear and median_unbiased', () => {
    const values = [1, 2, 4, 8, 16, 32, 64];
    // From numpy.quantile(values, 0.3, method=...).
    expect(quantileSorted(values, 0.3, 'type-6')).toBeCloseTo(2.8, 12);
    expect(quantileSorted(values, 0.3, 'type-7')).toBeCloseTo(3.5999999999999996, 12);
    expect(quantileSorted(values, 0.3, 'type-8')).toBeCloseTo(3.0666666666666664, 12);
  });

  it('never falls as p grows', () => {
    fc.assert(
      fc.property(sortedValues, fraction, fraction, definition, (values, a, b, type) => {
        const [low, high] = a < b ? [a, b] : [b, a];
        expect(quantileSorted(values, low, type)).toBeLessThanOrEqual(quantileSorted(values, high, type) + 1e-9);
      }),
    );
  });

  it('mirrors: the p-quantile of the negated sample is minus the (1 − p)-quantile', () => {
    fc.assert(
      fc.property(sortedValues, fraction, definition, (values, p, type) => {
        const negated = values.map((value) => -value).reverse();
        expect(quantileSorted(negated, p, type)).toBeCloseTo(-quantileSorted(values, 1 - p, type), 8);
      }),
    );
  });

  it('gives the extreme values at 0 and 1, and the one value of a sample of one', () => {
    for (const type of QUANTILE_DEFINITIONS) {
      expect(quantileSorted([3, 5, 9], 0, type)).toBe(3);
      expect(quantileSorted([3, 5, 9], 1, type)).toBe(9);
      expect(quantileSorted([7], 0.2, type)).toBe(7);
    }
  });

  it('uses type 8 where no definition is given', () => {
    const values = [1, 2, 4, 8, 16, 32, 64];
    expect(quantileSorted(values, 0.3)).toBe(quantileSorted(values, 0.3, 'type-8'));
    expect(quantileSorted(values, 0.3)).not.toBe(quantileSorted(values, 0.3, 'type-7'));
  });

  it('reads typed arrays as well as plain ones', () => {
    for (const type of QUANTILE_DEFINITIONS) {
      expect(quantileSorted(Float64Array.of(1, 2, 4, 8), 0.4, type)).toBe(quantileSorted([1, 2, 4, 8], 0.4, type));
    }
  });

  it('refuses an empty sample, values that are not finite, p outside 0..1 and an unknown definition', () => {
    for (const type of QUANTILE_DEFINITIONS) {
      expect(() => quantileSorted([], 0.5, type)).toThrow(StatisticsInputError);
      expect(() => quantileSorted([1, Number.NaN, 2], 0.5, type)).toThrow(/sorted\[1\]: found NaN/);
      expect(() => quantileSorted([1, Number.POSITIVE_INFINITY], 0.5, type)).toThrow(/sorted\[1\]/);
      for (const p of [-0.01, 1.01, Number.NaN]) {
        expect(() => quantileSorted([1, 2], p, type)).toThrow(StatisticsInputError);
      }
    }
    expect(() => quantileSorted([1, 2], 0.5, 'type-5' as 'type-6')).toThrow(/type-6, type-7, type-8/);
  });
});

describe('smallestSampleForQuantile', () => {
  it('is the least size at which no position is cut off', () => {
    for (const p of [0.5, 0.3, 0.05, 0.01, 0.001, 0.99, 0.9999]) {
      const least = smallestSampleForQuantile(p);
      const position = (n: number) => (n + 1 / 3) * Math.min(p, 1 - p) + 1 / 3;
      expect(position(least)).toBeGreaterThanOrEqual(1 - 1e-9);
      expect(least === 1 || position(least - 1) < 1).toBe(true);
    }
    expect([0, 1].map(smallestSampleForQuantile)).toEqual([1, 1]);
    expect(() => smallestSampleForQuantile(1.1)).toThrow(StatisticsInputError);
  });
});
