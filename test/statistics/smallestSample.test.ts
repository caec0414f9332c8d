import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { smallestSample, StatisticsInputError } from '../../lib/statistics/index.js';

describe('smallestSample', () => {
  it('follows the closed form ln(1 − confidence)/ln(1 − p) for the smallest value', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.0005, max: 0.5, noNaN: true }),
        fc.double({ min: 0.5, max: 0.999, noNaN: true }),
        (p, confidence) => {
          const closedForm = Math.max(1, Math.ceil(Math.log(1 - confidence) / Math.log1p(-p)));
          expect(smallestSample({ p, confidence, order: 1 })).toBe(closedForm);
        },
      ),
    );
  });

  it('grows with the order', () => {
    const sizes = [1, 2, 3, 4, 5].map((order) => smallestSample({ p: 0.02, confidence: 0.9, order }));
    expect(sizes).toEqual([...new Set(sizes)].sort((a, b) => a - b));
  });

  it('needs the same number for the order-th largest above the mirrored quantile', () => {
    for (const order of [1, 2, 5]) {
      const lower = smallestSample({ p: 0.05, confidence: 0.95, order });
      expect(smallestSample({ p: 0.95, confidence: 0.95, order, side: 'upper' })).toBe(lower);
      expect(smallestSample({ p: 0.05, confidence: 0.95, order, side: 'lower' })).toBe(lower);
    }
  });

  it('refuses an order, side, fraction or confidence outside its range', () => {
    const request = { p: 0.05, confidence: 0.95, order: 1 };
    expect(() => smallestSample({ ...request, order: 0 })).toThrow(/^order: found 0/);
    expect(() => smallestSample({ ...request, p: 1 })).toThrow(StatisticsInputError);
    expect(() => smallestSample({ ...request, confidence: 0 })).toThrow(StatisticsInputError);
    expect(() => smallestSample({ ...request, side: 'left' as 'lower' })).toThrow(/^side: found left/);
    expect(() => smallestSample({ ...request, p: 1e-12 })).toThrow(/^p: found 1e-12/);
  });
});
