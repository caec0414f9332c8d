import { describe, expect, it } from 'vitest';
import { InputError, type LeastRequest, loadStudy } from '../../../lib/rack/index.js';
import { quantileSorted } from '../../../lib/statistics/index.js';
import { barMass, leastCopper, ScenarioSet } from '../../../lib/study/index.js';
import { longBarStudy, powerOf } from './longBar.js';

const study = longBarStudy();
const factors = Array.from({ length: 400 }, (_, i) => new ScenarioSet(study, 400).at(i)?.build.filmFactor ?? 0);
/** Percentile of the closed form over the film factors that the study draws. */
const exact = (depth: number, thickness: number) => (
  quantileSorted(Float64Array.from(factors, (factor) => powerOf(depth, thickness, factor)).sort(), 0.05)
);
const request = (change: Partial<LeastRequest>): LeastRequest => ({
  wanted: 2.4e6, basis: 'percentile', vary: 'depth', from: 0.05, to: 0.2, tolerance: 1e-5, poles: 'both', ...change,
});
const options = { percentile: 0.05, scenarios: 400 };

/** By halving, on the closed form alone. */
function exactLeast(f: (x: number) => number, wanted: number, from: number, to: number): number {
  let [low, high] = [from, to];
  for (let k = 0; k < 60; k++) {
    const middle = 0.5 * (low + high);
    if (f(middle) >= wanted) high = middle;
    else low = middle;
  }
  return high;
}

describe('least copper of a bar with rise = I²·r/(h·p)', () => {
  for (const [vary, from, to, f] of [
    ['depth', 0.05, 0.2, (x: number) => exact(x, 0.01)],
    ['thickness', 0.004, 0.03, (x: number) => exact(0.1, x)],
    ['scale', 0.5, 2, (x: number) => exact(0.1 * x, 0.01 * x)],
  ] as const) {
    it(`by ${vary} is the closed form's, to the tolerance`, () => {
      const found = leastCopper(study, request({ vary, from, to }), options);
      const wanted = exactLeast(f, 2.4e6, from, to);
      expect(found.outcome).toBe('found');
      expect(found.rising).toBe(true);
      const tolerance = vary === 'scale' ? 1e-4 : 1e-5;
      expect(Math.abs((found.answer?.at ?? 0) - wanted)).toBeLessThan(tolerance);
      expect(found.answer?.power).toBeGreaterThanOrEqual(2.4e6);
      expect(found.trials).toBeLessThan(16);
    });
  }

  it('of one pole alone is bounded by the other', () => {
    const found = leastCopper(study, request({ poles: 'supply', wanted: 2.9e6 }), options);
    expect(found.outcome).toBe('none carries');
    expect(found.answer).toBeNull();
  });

  it('says when even the largest does not carry it, and when the smallest already does', () => {
    expect(leastCopper(study, request({ wanted: 9e6 }), options)).toMatchObject({ outcome: 'none carries', answer: null });
    const small = leastCopper(study, request({ wanted: 1e5 }), options);
    expect(small).toMatchObject({ outcome: 'smallest carries', answer: { at: 0.05 } });
  });

  it('for the floor finds where a step lies', () => {
    const floorUpTo = (own: typeof study, wanted: number) => Math.min(wanted, exact(own.rack.supply.sections[0].plates.depth, 0.01));
    const found = leastCopper(study, request({ basis: 'floor' }), { ...options, floorUpTo });
    expect(Math.abs((found.answer?.at ?? 0) - exactLeast((x) => exact(x, 0.01), 2.4e6, 0.05, 0.2))).toBeLessThan(1e-5);
  });

  it('does not take rising for granted', () => {
    // Invented: what is carried rises to the middle and falls again.
    const floorUpTo = (own: typeof study) => 1e6 * (2 - Math.abs(own.rack.supply.sections[0].plates.depth - 0.125) / 0.05);
    const found = leastCopper(study, request({ basis: 'floor', wanted: 1.5e6 }), { ...options, floorUpTo });
    expect(found).toMatchObject({ outcome: 'window', rising: false });
    expect(found.answer?.at).toBeCloseTo(0.1, 4);
  });

  it('stays above a gap in what carries', () => {
    // Invented: carried at both ends, not between.
    const floorUpTo = (own: typeof study) => 1e6 * (1 + Math.abs(own.rack.supply.sections[0].plates.depth - 0.125) / 0.05);
    const found = leastCopper(study, request({ basis: 'floor', wanted: 1.5e6 }), { ...options, floorUpTo });
    expect(found).toMatchObject({ outcome: 'found', rising: false });
    expect(found.answer?.at).toBeCloseTo(0.15, 4);
  });

  it('refuses what makes no sense', () => {
    expect(() => leastCopper(study, request({ from: 0.3 }), options)).toThrow(RangeError);
    expect(() => leastCopper(study, request({}), { ...options, scenarios: 5 })).toThrow(/at least/);
    expect(() => leastCopper(study, request({ basis: 'floor' }), options)).toThrow(/nothing proves/);
    expect(() => leastCopper(study, request({ to: 1e13 }), options)).toThrow(InputError);
  });
});

describe('least copper of the deep bar', () => {
  it('agrees with a brute-force sweep', () => {
    const { study: deep } = loadStudy('data-demo/deep-bar-anywhere.json');
    const own = { percentile: 0.05, scenarios: 200 };
    const ask = (change: Partial<LeastRequest>) => leastCopper(deep, {
      wanted: 105e3, basis: 'percentile', vary: 'depth', from: 0.12, to: 0.26, tolerance: 5e-5, poles: 'both', ...change,
    }, own);
    const found = ask({});
    expect(found.outcome).toBe('found');
    const at = found.answer?.at ?? 0;
    // Looks alone, no search: every 0.5 mm about the answer.
    for (let k = -6; k <= 6; k++) {
      const depth = at + 0.0005 * k;
      const { looks } = ask({ from: depth, to: depth + 0.001, wanted: 1e9 });
      expect(looks[0].power >= 105e3, `${depth}`).toBe(k >= 0);
    }
    expect(barMass(found.answer?.rack ?? deep.rack).mass).toBeCloseTo(65.0969 * (at / 0.156), 2);
  }, 120_000);
});
