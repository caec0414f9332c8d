import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { largestTotal, type CappedClasses } from '../../lib/draw/largestTotal.js';

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);

/** The optimum by brute force: best vertex among all intersections of as many tight caps as there are classes (2). */
function bestVertex({ counts, unitCap, shares, bandCaps }: CappedClasses): number {
  const lines: [number, number, number][] = [
    [1, 0, 0],
    [0, 1, 0],
    [1, 0, counts[0] * unitCap],
    [0, 1, counts[1] * unitCap],
    ...shares.map((share, band): [number, number, number] => [share[0], share[1], bandCaps[band]]),
  ];
  let best = 0;
  for (const [a, b, c] of lines) {
    for (const [d, e, f] of lines) {
      const determinant = a * e - b * d;
      if (Math.abs(determinant) < 1e-9) continue;
      const x = (c * e - b * f) / determinant;
      const y = (a * f - c * d) / determinant;
      const within =
        x >= -1e-9 &&
        y >= -1e-9 &&
        x <= counts[0] * unitCap + 1e-9 &&
        y <= counts[1] * unitCap + 1e-9 &&
        shares.every((share, band) => share[0] * x + share[1] * y <= bandCaps[band] + 1e-9);
      if (within) best = Math.max(best, x + y);
    }
  }
  return best;
}

describe('the largest total under caps', () => {
  it('fills every unit where no band is capped', () => {
    expect(largestTotal({ counts: [3, 2], unitCap: 10, shares: [], bandCaps: [] })).toEqual([30, 20]);
  });

  it('stops at a band: two classes, one of them half inside', () => {
    const powers = largestTotal({ counts: [4, 1, 5], unitCap: 10, shares: [[1, 0.5, 0]], bandCaps: [22] });
    expect(sum(powers)).toBeCloseTo(17 + 10 + 50, 9);
  });

  it('equals the best vertex for two classes and random bands', () => {
    const tenths = fc.integer({ min: 0, max: 10 }).map((n) => n / 10);
    fc.assert(
      fc.property(
        fc.tuple(fc.integer({ min: 1, max: 4 }), fc.integer({ min: 1, max: 4 })),
        fc.integer({ min: 0, max: 9 }),
        fc.array(fc.tuple(tenths, tenths, fc.integer({ min: 0, max: 30 })), { maxLength: 4 }),
        (counts, unitCap, bands) => {
          const classes = {
            counts,
            unitCap,
            shares: bands.map(([a, b]) => [a, b]),
            bandCaps: bands.map(([, , cap]) => cap),
          };
          const powers = largestTotal(classes);
          expect(sum(powers)).toBeCloseTo(bestVertex(classes), 8);
          classes.shares.forEach((share, band) => {
            expect(share[0] * powers[0] + share[1] * powers[1]).toBeLessThan(classes.bandCaps[band] + 1e-9);
          });
          powers.forEach((power, at) => {
            expect(power).toBeLessThan(counts[at] * unitCap + 1e-9);
          });
        },
      ),
      { numRuns: 2000, seed: 5 },
    );
  });

  it('refuses a negative cap', () => {
    expect(() => largestTotal({ counts: [1], unitCap: -1, shares: [], bandCaps: [] })).toThrow(
      /numbers ≥ 0 are allowed/,
    );
  });
});
