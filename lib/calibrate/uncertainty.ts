/** Standard errors, intervals and correlations of fitted values. */
import { normalQuantile } from '../draw/normalDistribution.js';
import { studentTwoSidedQuantile } from '../statistics/index.js';
import { alikeQuantities, HOPELESS_CONDITION, listed } from './alike.js';
import { CalibrationError } from './errors.js';
import type { FittedQuantity } from './fitModel.js';
import type { LeastSquaresFit } from './leastSquares.js';
import { type LinearFit, linearFit } from './linearFit.js';
import { type FitQuantity, QUANTITY_TRAITS } from './quantities.js';
import type { UsedReading } from './readings.js';

const CONFIDENCE = 0.95;

/** Uncertainty of the values. */
export function uncertainty(
  quantities: readonly FitQuantity[],
  free: readonly FitQuantity[],
  fit: LeastSquaresFit,
  jacobian: readonly (readonly number[])[],
  used: readonly UsedReading[],
  start: readonly number[],
) {
  const freedom = used.length - free.length;
  const reduced = fit.chiSquare / freedom;
  // Dependencies may be what drove a value to its bound: they are looked for among all quantities.
  const all = effective(quantities, fit);
  const linear = free.length === 0 ? null : linearFit(jacobian, fit.residual);
  const spread = linear === null ? [] : linear.covariance.map((row, k) => Math.sqrt(row[k] * reduced));
  const t = studentTwoSidedQuantile(CONFIDENCE, freedom);
  return {
    degreesOfFreedom: freedom,
    chiSquare: fit.chiSquare,
    reducedChiSquare: reduced,
    scatter: Math.sqrt(fit.residual.reduce((sum, r, i) => sum + (r * used[i].standardError) ** 2, 0) / freedom),
    expectedReducedChiSquare: used.some(({ isStated }) => isStated) ? expectedRange(freedom) : null,
    conditionNumber: all.conditionIndex[all.conditionIndex.length - 1],
    correlation: linear === null ? [] : correlationOf(linear),
    alike: alikeQuantities(quantities, all, correlationOf(all)),
    quantities: quantities.map((quantity, k): FittedQuantity => {
      const at = free.indexOf(quantity);
      const [value, before] = [fit.values[k], start[k]];
      const standardError = at < 0 ? null : spread[at];
      const interval =
        standardError === null ? null : ([value - t * standardError, value + t * standardError] as const);
      return { quantity, value, before, standardError, interval, atBound: fit.atBound[k] };
    }),
  };
}

function correlationOf({ covariance }: LinearFit): number[][] {
  return covariance.map((row, k) =>
    row.map((value, l) => (k === l ? 1 : Math.min(1, Math.max(-1, value / Math.sqrt(row[k] * covariance[l][l]))))),
  );
}

/** The tangent plane, provided that every quantity acts on the readings and none acts quite as others do. */
function effective(quantities: readonly FitQuantity[], { jacobian, residual }: LeastSquaresFit): LinearFit {
  quantities.forEach((quantity, k) => {
    // A unit of it would change no reading by a millionth of its error.
    if (Math.max(...jacobian.map((row) => Math.abs(row[k]))) < 1e-6) {
      throw new CalibrationError(
        `${QUANTITY_TRAITS[quantity].words} without effect on any reading`,
        'leave it out of the fit, or measure where it acts',
      );
    }
  });
  const linear = linearFit(jacobian, residual);
  const last = linear.conditionIndex.length - 1;
  if (linear.conditionIndex[last] > HOPELESS_CONDITION) {
    const members = quantities.filter((_, k) => linear.varianceShare[last][k] > 0.5);
    throw new CalibrationError(
      `${listed(members)} that act alike on every reading`,
      'fit one of them, or measure where they differ',
    );
  }
  return linear;
}

/** Chi-square over its degrees of freedom, 2.5 % and 97.5 % (Wilson & Hilferty 1931, from memory). */
function expectedRange(freedom: number): [number, number] {
  const at = (probability: number) =>
    Math.max(0, 1 - 2 / (9 * freedom) + normalQuantile(probability) * Math.sqrt(2 / (9 * freedom))) ** 3;
  return [at(0.025), at(0.975)];
}
