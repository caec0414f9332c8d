import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { histogramBins, StatisticsInputError } from '../../lib/statistics/index.js';
import { sortedSample, uniforms } from './support.js';

const value = fc.oneof(fc.integer({ min: -50, max: 50 }), fc.double({ min: -1e9, max: 1e9, noNaN: true }));
const sortedValues = fc
  .array(value, { minLength: 1, maxLength: 200 })
  .map((values) => values.sort((a, b) => a - b));

describe('histogramBins', () => {
  it('takes the width of Freedman and Diaconis, evened out over the range', () => {
    // By hand: 0..999, interquartile range 499.5, width 2·499.5/10 = 99.9, range 999: 10 bins.
    const { edges, counts, rule } = histogramBins(Float64Array.from({ length: 1000 }, (_, i) => i));
    expect(rule).toBe('freedman-diaconis');
    expect(edges).toHaveLength(11);
    expect(edges[1] - edges[0]).toBeCloseTo(99.9, 9);
    expect(counts).toEqual(new Array(10).fill(100));
  });

  it('puts every value into exactly one bin between rising edges that end at the extreme values', () => {
    fc.assert(
      fc.property(sortedValues, fc.integer({ min: 1, max: 60 }), (values, maxBins) => {
        const { edges, counts } = histogramBins(values, { maxBins });
        expect(counts).toHaveLength(edges.length - 1);
        expect(counts.length).toBeLessThanOrEqual(maxBins);
        for (let bin = 0; bin < counts.length; bin++) {
          const isLast = bin === counts.length - 1;
          expect(edges[bin + 1]).toBeGreaterThan(edges[bin]);
          expect(counts[bin]).toBe(
            values.filter((v) => v >= edges[bin] && (v < edges[bin + 1] || (isLast && v === edges[bin + 1]))).length,
          );
        }
        expect(counts.reduce((sum, count) => sum + count, 0)).toBe(values.length);
      }),
    );
  });

  it('caps the bins where a few far values would ask for very many', () => {
    const sample = sortedSample(1000, uniforms('far')).map((u) => (u > 0.998 ? 1e6 * u : u));
    expect(histogramBins(sample).counts).toHaveLength(100);
    expect(histogramBins(sample, { maxBins: 12 }).counts).toHaveLength(12);
  });

  it('uses Sturges where the middle half of the values is one and the same', () => {
    const { counts, rule } = histogramBins([1, ...new Array(30).fill(5), 9]);
    expect(rule).toBe('sturges');
    // 1 + log2(32).
    expect(counts).toHaveLength(6);
  });

  it('gives a constant sample one bin around its value', () => {
    for (const constant of [5, -3e9, 0, 5e-324, -1e307]) {
      const { edges, counts, rule } = histogramBins([constant, constant, constant]);
      expect(rule).toBe('one-value');
      expect(counts).toEqual([3]);
      expect(edges[0]).toBeLessThan(constant);
      expect(edges[1]).toBeGreaterThan(constant);
    }
  });

  it('keeps its edges apart where the values are neighbouring doubles', () => {
    const four = [1e15, 1e15 + 0.125, 1e15 + 0.25, 1e15 + 0.375];
    const { edges, counts } = histogramBins(four.flatMap((neighbour) => new Array<number>(250).fill(neighbour)));
    expect(new Set(edges).size).toBe(edges.length);
    expect(counts.reduce((sum, count) => sum + count, 0)).toBe(1000);
  });

  it('refuses an empty sample, values that are not finite or too large, and a cap below 1', () => {
    expect(() => histogramBins([])).toThrow(StatisticsInputError);
    expect(() => histogramBins([1, Number.NaN])).toThrow(/^sorted\[1\]/);
    expect(() => histogramBins([-1.7e308, 1.7e308])).toThrow(/at most ±1e\+307/);
    expect(() => histogramBins([1, 2], { maxBins: 0 })).toThrow(/^maxBins: found 0/);
  });
});
