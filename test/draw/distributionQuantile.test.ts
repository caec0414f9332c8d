import { describe, expect, it } from 'vitest';
import { distributionQuantile } from '../../lib/draw/distributionQuantile.js';
import { randomStream } from '../../lib/draw/randomStream.js';
import type { Distribution } from '../../lib/rack/studyModel.js';
import { chiSquareScore, kolmogorovScore, POOR_DISTANCE, POOR_FIT } from './goodnessOfFit.js';

const open = { min: -Infinity, max: Infinity };

function quantile(given: Distribution): (u: number) => number {
  return distributionQuantile(given, 'uncertain.perScenario.inlet');
}

/** Published quantiles of the standard normal distribution, e.g. Abramowitz & Stegun, table 26.5. */
const Z_90 = 1.2815515655446004;
const Z_975 = 1.959963984540054;

describe('the quantile function of', () => {
  it('a fixed value is that value', () => {
    expect(quantile({ distribution: 'fixed', value: 4 })(0.3)).toBe(4);
  });

  it('a uniform quantity is a straight line (the example of its documentation)', () => {
    expect(distributionQuantile({ distribution: 'uniform', min: 2, max: 4 }, 'example')(0.25)).toBe(2.5);
  });

  it('an open normal has the published quantiles', () => {
    const normal = quantile({ distribution: 'normal', mean: 300, sd: 2, ...open });
    expect(normal(0.5)).toBeCloseTo(300, 12);
    expect(normal(0.9)).toBeCloseTo(300 + 2 * Z_90, 10);
    expect(normal(0.025)).toBeCloseTo(300 - 2 * Z_975, 10);
  });

  it('an open lognormal has its median in the middle and factors of geometricSd around it', () => {
    const lognormal = quantile({ distribution: 'lognormal', median: 1e-5, geometricSd: 1.5, min: 0, max: Infinity });
    expect(lognormal(0.5)).toBeCloseTo(1e-5, 17);
    expect(lognormal(0.975) / 1e-5).toBeCloseTo(1.5 ** Z_975, 10);
    expect(lognormal(0.1) / 1e-5).toBeCloseTo(1.5 ** -Z_90, 10);
  });

  it('a triangular quantity has the closed-form quantiles', () => {
    const triangular = quantile({ distribution: 'triangular', min: 1, mode: 2, max: 5 });
    // F(2) = 1/4; F(x) = (x−1)²/4 below, 1 − (5−x)²/12 above.
    expect(triangular(0.25)).toBeCloseTo(2, 12);
    expect(triangular(0.09)).toBeCloseTo(1.6, 12);
    expect(triangular(1 - 1 / 12)).toBeCloseTo(4, 12);
    expect(quantile({ distribution: 'triangular', min: 1, mode: 1, max: 3 })(0.75)).toBeCloseTo(2, 12);
    expect(quantile({ distribution: 'triangular', min: 1, mode: 3, max: 3 })(0.25)).toBeCloseTo(2, 12);
  });

  it('measured values is the step function of their order', () => {
    const measured = quantile({ distribution: 'measured', values: [3, 1, 2, 2] });
    expect([0.01, 0.24, 0.26, 0.74, 0.76, 0.999].map(measured)).toEqual([1, 1, 2, 2, 3, 3]);
  });

  it.each<Distribution>([
    { distribution: 'normal', mean: 0, sd: 1, min: -0.5, max: 2 },
    { distribution: 'normal', mean: 0, sd: 1, min: 3, max: Infinity },
    { distribution: 'lognormal', median: 1, geometricSd: 1.4, min: 0.8, max: 1.1 },
    { distribution: 'triangular', min: -1, mode: 0, max: 4 },
    { distribution: 'uniform', min: -1, max: 3 },
    { distribution: 'measured', values: [4, 9, 2] },
  ])('$distribution never falls and stays within its bounds', (given) => {
    const values = Array.from({ length: 2000 }, (_, at) => quantile(given)((at + 0.5) / 2000));
    const [low, high] =
      given.distribution === 'measured' ? [2, 9] : [(given as { min: number }).min, (given as { max: number }).max];
    values.forEach((value, at) => {
      expect(value).toBeGreaterThanOrEqual(at === 0 ? low : values[at - 1]);
      expect(value).toBeLessThanOrEqual(high);
    });
    for (const u of [2 ** -53, 1 - 2 ** -53]) {
      expect(quantile(given)(u)).toBeGreaterThanOrEqual(low);
      expect(quantile(given)(u)).toBeLessThanOrEqual(high);
    }
  });
});

describe('values drawn through the quantile function', () => {
  it('of a truncated normal are the normal ones that fall inside', () => {
    // Untruncated numbers by the central definition (Box & Muller), thrown away outside: nothing in common with Φ⁻¹.
    const stream = randomStream('normal', 0, 'build');
    const kept: number[] = [];
    while (kept.length < 20_000) {
      const z = Math.sqrt(-2 * Math.log(stream.double())) * Math.cos(2 * Math.PI * stream.double());
      if (z >= -0.5 && z <= 1.2) kept.push(10 + 2 * z);
    }
    const truncated = quantile({ distribution: 'normal', mean: 10, sd: 2, min: 9, max: 12.4 });
    const inverse = (x: number): number => {
      let [low, high] = [0, 1];
      for (let at = 0; at < 40; at++) {
        const middle = (low + high) / 2;
        if (truncated(middle) < x) low = middle;
        else high = middle;
      }
      return low;
    };
    expect(kolmogorovScore(kept, inverse)).toBeLessThan(POOR_DISTANCE);
  });

  it('of measurements come as often as they were measured', () => {
    const measured = quantile({ distribution: 'measured', values: [7, 5, 5, 9, 5] });
    const stream = randomStream('measured', 0, 'build');
    const counts = new Map([
      [5, 0],
      [7, 0],
      [9, 0],
    ]);
    for (let draw = 0; draw < 50_000; draw++) {
      const value = measured(stream.double());
      counts.set(value, (counts.get(value) ?? NaN) + 1);
    }
    expect(chiSquareScore([...counts.values()], [30_000, 10_000, 10_000])).toBeLessThan(POOR_FIT);
  });
});

describe('a distribution that cannot be drawn is refused with its place:', () => {
  it.each<[string, Distribution, RegExp]>([
    ['limits the wrong way round', { distribution: 'uniform', min: 2, max: 1 }, /uniform with 2, 1; ascending/],
    ['an endless uniform', { distribution: 'uniform', min: 0, max: Infinity }, /finite numbers are allowed/],
    ['a negative sd', { distribution: 'normal', mean: 0, sd: -1, ...open }, /found sd -1/],
    ['limits far outside a normal', { distribution: 'normal', mean: 0, sd: 1, min: 50, max: 60 }, /limits 50 and 60/],
    ['a median of 0', { distribution: 'lognormal', median: 0, geometricSd: 2, min: 0, max: 1 }, /found median 0/],
    [
      'a geometric sd below 1',
      { distribution: 'lognormal', median: 1, geometricSd: 0.5, min: 0, max: 1 },
      /geometricSd 0.5/,
    ],
    ['a sure value outside its limits', { distribution: 'normal', mean: 0, sd: 0, min: 1, max: 2 }, /limits 1 and 2/],
    ['a mode outside', { distribution: 'triangular', min: 0, mode: 3, max: 2 }, /triangular with 0, 3, 2/],
    ['no measurement', { distribution: 'measured', values: [] }, /found no value/],
    ['a measurement that is no number', { distribution: 'measured', values: [1, NaN] }, /finite numbers are allowed/],
    ['a fixed NaN', { distribution: 'fixed', value: NaN }, /finite numbers are allowed/],
  ])('%s', (_, given, message) => {
    expect(() => quantile(given)).toThrow(message);
    expect(() => quantile(given)).toThrow(/^study: uncertain\.perScenario\.inlet: found/);
  });
});
