import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  orderStatisticInterval,
  percentileEstimate,
  quantileSorted,
  SampleTooSmall,
} from '../../lib/statistics/index.js';
import { sortedSample, uniforms } from './support.js';

describe('percentileEstimate', () => {
  it('reads the interval off the sample at the ranks it names', () => {
    const hundred = Float64Array.from({ length: 100 }, (_, i) => 10 * (i + 1));
    expect(percentileEstimate(hundred, 0.5, { confidence: 0.95, definition: 'type-7' })).toEqual({
      estimate: 505,
      lower: 400,
      upper: 610,
      ...orderStatisticInterval(100, 0.5, 0.95),
    });
  });

  it('encloses its own estimate by every definition', () => {
    const random = uniforms('enclosed');
    fc.assert(
      fc.property(
        fc.integer({ min: 100, max: 400 }),
        fc.double({ min: 0.05, max: 0.95, noNaN: true }),
        fc.constantFrom('type-6' as const, 'type-7' as const, 'type-8' as const),
        (n, p, definition) => {
          const sample = sortedSample(n, random);
          const { estimate, lower, upper } = percentileEstimate(sample, p, { confidence: 0.9, definition });
          expect(estimate).toBe(quantileSorted(sample, p, definition));
          expect(lower).toBeLessThanOrEqual(estimate);
          expect(upper).toBeGreaterThanOrEqual(estimate);
        },
      ),
    );
  });

  it('estimates by type 8 where no definition is given', () => {
    const sample = sortedSample(50, uniforms('default'));
    const options = { confidence: 0.9 };
    expect(percentileEstimate(sample, 0.3, options).estimate).toBe(quantileSorted(sample, 0.3, 'type-8'));
  });

  it('takes a million values without quadratic work', () => {
    const million = Float64Array.from({ length: 1_000_000 }, (_, i) => i + 1);
    const started = performance.now();
    const { estimate, lower, upper } = percentileEstimate(million, 0.01, { confidence: 0.95 });
    expect(performance.now() - started).toBeLessThan(2000);
    expect([lower, upper]).toEqual([9805, 10196]);
    expect(estimate).toBeCloseTo(10_000.336_666_67, 6);
  });

  it('refuses a sample too small for the interval, and one with a value that is not a number', () => {
    expect(() => percentileEstimate([1, 2, 3], 0.01, { confidence: 0.95 })).toThrow(SampleTooSmall);
    expect(() => percentileEstimate([1, 2, Number.NaN], 0.5, { confidence: 0.5 })).toThrow(/sorted\[2\]: found NaN/);
  });
});
