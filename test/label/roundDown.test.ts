import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { roundDown } from '../../lib/label/index.js';
import { kilowattsAtMost } from '../../lib/label/kilowatts.js';
import { kilowattsDown, labelKilowatts, percentOf } from '../../lib/label/words.js';

describe('rounding down', () => {
  it('keeps a power on the step and takes the step below for anything less', () => {
    expect(roundDown(100_000, 1000)).toBe(100_000);
    expect(roundDown(99_999.9, 1000)).toBe(99_000);
    expect(roundDown(99_999.999_999_99, 1000)).toBe(99_000);
    expect(roundDown(104_320, 500)).toBe(104_000);
    expect(roundDown(999, 1000)).toBe(0);
  });

  it('never goes above the power and never more than one step below, for any step', () => {
    const positive = fc.double({ min: 1e-3, max: 1e6, noNaN: true });
    fc.assert(fc.property(positive, positive, (power, step) => {
      const label = roundDown(power, step);
      expect(label).toBeLessThanOrEqual(power);
      expect(label + step).toBeGreaterThan(power * (1 - 1e-12));
    }));
  });

  it('is at home on every multiple of a step that no double holds exactly', () => {
    for (let k = 1; k < 2000; k++) expect(roundDown(k * 0.1, 0.1)).toBe(k * 0.1);
  });

  it('refuses steps and powers that make no sense', () => {
    expect(() => roundDown(1, 0)).toThrow(/step: found 0 W/);
    expect(() => roundDown(-1, 1)).toThrow(/power: found -1 W; .*at least 0 W/);
    expect(() => roundDown(Number.NaN, 1)).toThrow(RangeError);
  });
});

describe('powers in words', () => {
  it('never read higher than they are', () => {
    expect(kilowattsDown(99_999.9)).toBe('99.999 kW');
    expect(kilowattsDown(100_000)).toBe('100 kW');
    expect(labelKilowatts(104_500)).toBe('104.5 kW');
    expect(kilowattsAtMost(99_999.999_9)).toBe(99.999999);
    expect(kilowattsAtMost(104_326.7)).toBe(104.3267);
  });

  it('tell a rare share from none and a near whole from all', () => {
    expect(percentOf(0.049_507)).toBe('4.95 %');
    expect(percentOf(1e-6)).toBe('0.0001 %');
    expect(percentOf(0.999_999)).toBe('more than 99.9 %');
    expect(percentOf(1)).toBe('100 %');
  });
});
