import { describe, expect, it } from 'vitest';
import { airProperties } from '../../lib/ladder/index.js';
import { sixthRoot } from '../../lib/ladder/sixthRoot.js';
import { TABLE_MAX, TABLE_MIN, TABLE_STEP, temperatureTable } from '../../lib/ladder/temperatureTable.js';

describe('sixth root', () => {
  it('agrees with the cube root of the square root to 1e-14 from 0 to far beyond any rise', () => {
    for (let x = 1e-12; x < 1e7; x *= 1.0137) {
      expect(Math.abs(sixthRoot(x) / Math.cbrt(Math.sqrt(x)) - 1)).toBeLessThan(1e-14);
    }
    expect(sixthRoot(0)).toBe(0);
  });
});

describe('tables over the film temperature', () => {
  it('meet air properties between their nodes to 1e-9 from 200 K on, where the fourth derivative has fallen enough', () => {
    const exact = (t: number) => airProperties(t).rayleighFactor ** (1 / 6);
    const table = temperatureTable([exact]);
    for (let t = 200.1; t < TABLE_MAX - 1; t += 0.77) {
      const i = Math.floor((t - TABLE_MIN) / TABLE_STEP);
      const x = t - TABLE_MIN - i * TABLE_STEP;
      const [a, b, c, d] = table.subarray(4 * i, 4 * i + 4);
      expect(Math.abs((a + x * (b + x * (c + x * d))) / exact(t) - 1)).toBeLessThan(1e-9);
    }
  });
});
