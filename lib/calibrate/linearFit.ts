/** What the tangent plane at a least-squares fit says: uncertainty, leverage, and what the readings cannot tell apart. */
import { Matrix, SVD } from 'ml-matrix';

export interface LinearFit {
  readonly degreesOfFreedom: number;
  /** Of the residuals from the best fit in the plane. */
  readonly chiSquare: number;
  /** Step from where the plane was laid to its best fit, `[quantity]`. */
  readonly step: readonly number[];
  /** Residuals of the best fit in the plane over their standard errors, `[reading]`. */
  readonly residual: readonly number[];
  /** (JᵀJ)⁻¹: covariance where the standard errors are right, `[quantity × quantity]`. */
  readonly covariance: readonly (readonly number[])[];
  /** Share of a reading in its own fitted value, 0..1, `[reading]`. */
  readonly leverage: readonly number[];
  /** Largest over each singular value of the Jacobian with columns of unit length, ascending. */
  readonly conditionIndex: readonly number[];
  /** Share of each quantity's variance that comes from each singular value, `[singular value][quantity]`. */
  readonly varianceShare: readonly (readonly number[])[];
}

/**
 * Least squares in the tangent plane.
 * @param jacobian `[reading][quantity]`, over the standard errors; no column all zero, and not fewer readings than quantities
 * @param residual over the standard errors, `[reading]`
 */
export function linearFit(jacobian: readonly (readonly number[])[], residual: readonly number[]): LinearFit {
  const { scale, u, v, s } = factors(jacobian);
  const quantities = scale.length;
  // A singular value of nought would make infinite what no reading supports: rounding stands in for it.
  const singular = s.slice(0, quantities).map((value) => Math.max(value, s[0] * Number.EPSILON));
  const along = singular.map((_, j) => residual.reduce((sum, r, i) => sum + r * u[i][j], 0));
  const rest = residual.map((r, i) => r - along.reduce((sum, part, j) => sum + part * u[i][j], 0));
  const covariance = scale.map((a, k) =>
    scale.map((b, l) => singular.reduce((sum, value, j) => sum + (v[k][j] * v[l][j]) / value ** 2, 0) / (a * b)),
  );
  return {
    covariance,
    degreesOfFreedom: residual.length - quantities,
    chiSquare: rest.reduce((sum, r) => sum + r * r, 0),
    step: scale.map((a, k) => singular.reduce((sum, value, j) => sum + (v[k][j] * along[j]) / value, 0) / a),
    residual: rest,
    leverage: residual.map((_, i) =>
      Math.min(
        1,
        singular.reduce((sum, __, j) => sum + u[i][j] ** 2, 0),
      ),
    ),
    conditionIndex: singular.map((value) => singular[0] / value),
    varianceShare: singular.map((value, j) =>
      scale.map((a, k) => v[k][j] ** 2 / value ** 2 / (covariance[k][k] * a * a)),
    ),
  };
}

/** As the chi-square of {@link linearFit}, for many residuals on one plane. */
export function planeChiSquare(jacobian: readonly (readonly number[])[]): (residual: readonly number[]) => number {
  const { u, scale } = factors(jacobian);
  return (residual) => {
    let rest = residual.reduce((sum, r) => sum + r * r, 0);
    for (let j = 0; j < scale.length; j++) rest -= residual.reduce((sum, r, i) => sum + r * u[i][j], 0) ** 2;
    return Math.max(0, rest);
  };
}

/** Singular values and vectors of the Jacobian with columns of unit length, and those lengths. */
function factors(jacobian: readonly (readonly number[])[]) {
  const scale = Array.from(jacobian[0], (_, k) => Math.hypot(...jacobian.map((row) => row[k])));
  const svd = new SVD(new Matrix(jacobian.map((row) => row.map((value, k) => value / scale[k]))), {
    autoTranspose: true,
  });
  return { scale, u: svd.leftSingularVectors.to2DArray(), v: svd.rightSingularVectors.to2DArray(), s: svd.diagonal };
}
