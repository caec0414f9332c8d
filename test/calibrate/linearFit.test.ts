import { describe, expect, it } from 'vitest';
import { linearFit } from '../../lib/calibrate/linearFit.js';
import { deletedResiduals, exchangedPairs, outliers } from '../../lib/calibrate/suspicions.js';
import { leastSquares } from '../../lib/calibrate/leastSquares.js';
import { normalQuantile } from '../../lib/draw/normalDistribution.js';
import { randomStream } from '../../lib/draw/randomStream.js';

/** A straight line through x = 1..n with normal noise. */
function line(seed: string, n = 20) {
  const stream = randomStream(seed, 0, 'check');
  const jacobian = Array.from({ length: n }, (_, i) => [1, i + 1]);
  return { jacobian, residual: jacobian.map(([, x]) => 2 + 0.5 * x + normalQuantile(stream.double())) };
}

it('a line has its textbook covariance and leverage', () => {
  const { jacobian, residual } = line('line');
  const { covariance, leverage, chiSquare, residual: rest } = linearFit(jacobian, residual);
  const n = 20;
  const mean = 10.5;
  const spread = jacobian.reduce((sum, [, x]) => sum + (x - mean) ** 2, 0);
  expect(covariance[1][1]).toBeCloseTo(1 / spread, 12);
  expect(covariance[0][0]).toBeCloseTo(1 / n + mean ** 2 / spread, 12);
  expect(covariance[0][1]).toBeCloseTo(-mean / spread, 12);
  leverage.forEach((h, i) => {
    expect(h).toBeCloseTo(1 / n + (i + 1 - mean) ** 2 / spread, 12);
  });
  expect(rest.reduce((sum, r) => sum + r * r, 0)).toBeCloseTo(chiSquare, 10);
});

it('a studentised deleted residual is what leaving the reading out gives', () => {
  const { jacobian, residual } = line('deleted');
  const all = deletedResiduals(jacobian, residual);
  for (let i = 0; i < residual.length; i++) {
    const others = linearFit(
      jacobian.filter((_, k) => k !== i),
      residual.filter((_, k) => k !== i),
    );
    const [a, b] = others.step;
    const [one, x] = jacobian[i];
    const predicted = a * one + b * x;
    const [[v00, v01], [, v11]] = others.covariance;
    const variance = (others.chiSquare / others.degreesOfFreedom) * (1 + v00 + 2 * x * v01 + x * x * v11);
    expect(all[i]).toBeCloseTo((residual[i] - predicted) / Math.sqrt(variance), 9);
  }
});

describe('suspicions', () => {
  it('two outliers do not hide each other', () => {
    const { jacobian, residual } = line('two');
    const found = outliers(
      jacobian,
      residual.map((r, i) => (i === 4 || i === 15 ? r + 9 : r)),
    );
    expect(found.sort((a, b) => a - b)).toEqual([4, 15]);
  });

  it('readings that fit to rounding give numbers all the same', () => {
    const jacobian = [[1], [1], [1], [1]];
    for (const t of deletedResiduals(jacobian, [0, 0, 0, 0])) expect(Number.isFinite(t)).toBe(true);
    expect(
      exchangedPairs(
        jacobian,
        [0, 0, 0, 0],
        [1, 1, 2, 2].map((m, i) => ({ sensor: `s${i}`, point: 'p', measured: m, standardError: 1 })),
      ),
    ).toEqual([]);
  });
});

describe('least squares', () => {
  // Closed form: y = exp(−k·x) has its minimum where the data came from.
  const x = [0, 1, 2, 3, 4, 5];
  const problem = (start: number[], [a, k]: [number, number]) => ({
    start,
    lowest: [0.1, 0.01],
    highest: [10, 5],
    standardError: x.map(() => 0.1),
    measured: x.map((v) => a * Math.exp(-k * v)),
    expected: (values: readonly number[]) => x.map((v) => values[0] * Math.exp(-values[1] * v)),
  });

  it.each([[[1, 1]], [[8, 4]], [[0.2, 0.02]]])('comes to the values the data were made with from %j', async (start) => {
    const fit = await leastSquares(problem(start, [2, 0.3]));
    expect(fit.converged).toBe(true);
    expect(fit.values[0]).toBeCloseTo(2, 7);
    expect(fit.values[1]).toBeCloseTo(0.3, 7);
  });

  it('stops at a bound and fits the others there', async () => {
    const fit = await leastSquares(problem([1, 1], [12, 0.3]));
    expect(fit.atBound).toEqual(['upper', null]);
    // The best k for a = 10 from a fine scan.
    const squares = (k: number) =>
      x.reduce((sum, v) => sum + (12 * Math.exp(-0.3 * v) - 10 * Math.exp(-k * v)) ** 2, 0);
    let best = 0.01;
    for (let k = 0.01; k < 1; k += 1e-5) if (squares(k) < squares(best)) best = k;
    expect(fit.values[1]).toBeCloseTo(best, 4);
  });

  it('goes around where the model has no solution', async () => {
    const narrow = {
      ...problem([1, 1], [2, 0.3]),
      expected: (v: readonly number[]) => (v[1] < 0.1 ? null : x.map((at) => v[0] * Math.exp(-v[1] * at))),
    };
    expect((await leastSquares(narrow)).values[1]).toBeCloseTo(0.3, 7);
    await expect(leastSquares({ ...narrow, start: [1, 0.05] })).rejects.toThrow(RangeError);
  });

  it('says so where nothing can be settled', async () => {
    // Ripples finer than the differences: every derivative is wrong.
    const ripple = (value: number, at: number) => 0.02 * Math.sin(1e9 * value + at);
    const smooth = problem([1, 1], [2, 0.3]);
    const rough = {
      ...smooth,
      expected: (v: readonly number[]) => smooth.expected(v).map((y, i) => y + ripple(v[0], i) + ripple(v[1], 2 * i)),
    };
    expect((await leastSquares(rough)).converged).toBe(false);
  });
});
