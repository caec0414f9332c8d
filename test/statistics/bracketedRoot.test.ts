import { describe, expect, it } from 'vitest';
import { bracketedRoot } from '../../lib/statistics/index.js';

describe('a bracketed root', () => {
  const cases: [string, (x: number) => number, number, number, number][] = [
    ['straight', (x) => 3 * x - 1, 0, 1, 1 / 3],
    ['falling', (x) => 2 - x * x, 0, 2, Math.SQRT2],
    ['cubic', (x) => x ** 3 - x - 2, 1, 2, 1.5213797068045676],
    ['step', (x) => (x < 0.7123 ? -1 : 1), 0, 1, 0.7123],
    ['steep', (x) => Math.exp(40 * (x - 0.9)) - 1, 0, 1, 0.9],
    ['flat', (x) => (x - 0.2) ** 9, 0, 1, 0.2],
  ];
  for (const [name, f, from, to, root] of cases) {
    it(`of a ${name} function lies within the tolerance, with at most one evaluation more than halving`, () => {
      const tolerance = 1e-9;
      const found = bracketedRoot(f, from, to, [f(from), f(to)], tolerance);
      expect(Math.abs(found.root - root)).toBeLessThanOrEqual(tolerance * 1.0001);
      expect(f(found.root)).toBeGreaterThanOrEqual(0);
      expect(f(found.other)).toBeLessThan(0);
      expect(found.evaluations).toBeLessThanOrEqual(Math.ceil(Math.log2((to - from) / tolerance)) + 1);
    });
  }

  it('of a smooth function takes far fewer than halving', () => {
    const f = (x: number) => x ** 3 - x - 2;
    expect(bracketedRoot(f, 1, 2, [f(1), f(2)], 1e-9).evaluations).toBeLessThan(12);
  });

  it('is refused where there is no bracket', () => {
    expect(() => bracketedRoot((x) => x, 1, 2, [1, 2], 1e-3)).toThrow(/one below 0/);
    expect(() => bracketedRoot((x) => x, 2, 1, [-1, 2], 1e-3)).toThrow(/above from/);
    expect(() => bracketedRoot((x) => x, -1, 1, [-1, 1], 0)).toThrow(/tolerance/);
    expect(() => bracketedRoot(() => Number.NaN, -1, 1, [-1, 1], 0.1)).toThrow(/finite/);
  });
});
