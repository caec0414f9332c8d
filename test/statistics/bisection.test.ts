import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { largestThatHolds, smallestThatHolds } from '../../lib/statistics/bisection.js';

const bounds = fc.tuple(
  fc.integer({ min: 1, max: 50 }),
  fc.integer({ min: 0, max: 60 }),
  fc.integer({ min: 0, max: 120 }),
);

describe('largestThatHolds and smallestThatHolds', () => {
  it('find the turning point that a walk through all numbers finds', () => {
    fc.assert(
      fc.property(bounds, ([least, span, turn]) => {
        const most = least + span;
        const all = Array.from({ length: span + 1 }, (_, i) => least + i);
        expect(largestThatHolds(least, most, (n) => n < turn)).toBe(all.filter((n) => n < turn).at(-1) ?? null);
        expect(smallestThatHolds(least, most, (n) => n >= turn)).toBe(all.find((n) => n >= turn) ?? null);
      }),
    );
  });

  it('never ask beyond the bounds, and ask seldom', () => {
    let calls = 0;
    const within = (n: number) => {
      calls++;
      expect(n).toBeGreaterThanOrEqual(1);
      expect(n).toBeLessThanOrEqual(1_000_000);
      return n <= 765_432;
    };
    expect(largestThatHolds(1, 1_000_000, within)).toBe(765_432);
    expect(smallestThatHolds(1, 1_000_000, (n) => !within(n))).toBe(765_433);
    expect(calls).toBeLessThan(70);
  });
});
