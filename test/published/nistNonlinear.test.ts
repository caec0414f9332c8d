/**
 * Nonlinear least squares against certified values: NIST Statistical Reference Datasets, nonlinear regression, Misra1a
 * (data and values from memory; that the certified sum of squares comes out to ten digits shows that the data are those).
 */
import { describe, expect, it } from 'vitest';
import { leastSquares } from '../../lib/calibrate/leastSquares.js';
import { linearFit } from '../../lib/calibrate/linearFit.js';

const X = [77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0];
const Y = [10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78];
const CERTIFIED = {
  values: [2.3894212918e2, 5.5015643181e-4],
  standardErrors: [2.7070075241, 7.2668688436e-6],
  sumOfSquares: 1.2455138894e-1,
};

/** Agreement as part of the value. */
const close = (found: number, certified: number, part: number) => {
  expect(Math.abs(found / certified - 1), `${found} against ${certified}`).toBeLessThan(part);
};

describe('Misra1a, y = b1·(1 − exp(−b2·x))', () => {
  it.each([[[500, 1e-4]], [[250, 5e-4]]])('from the start %j', async (start) => {
    const fit = await leastSquares({
      start,
      lowest: [1, 1e-6],
      highest: [1e4, 1],
      measured: Y,
      standardError: Y.map(() => 1),
      expected: ([b1, b2]) => X.map((x) => b1 * (1 - Math.exp(-b2 * x))),
    });
    expect(fit.converged).toBe(true);
    const { covariance, degreesOfFreedom } = linearFit(fit.jacobian, fit.residual);
    close(fit.chiSquare, CERTIFIED.sumOfSquares, 1e-9);
    CERTIFIED.values.forEach((value, k) => {
      close(fit.values[k], value, 1e-6);
      const standardError = Math.sqrt((covariance[k][k] * fit.chiSquare) / degreesOfFreedom);
      // Central differences leave an error of the order of the square of their width.
      close(standardError, CERTIFIED.standardErrors[k], 1e-5);
    });
  });
});
