/** Weighted least squares within bounds, by the Levenberg–Marquardt method of a library, in short rounds. */
import { Matrix, SVD } from 'ml-matrix';
import { HOPELESS_CONDITION } from './alike.js';

export interface LeastSquaresProblem {
  readonly start: readonly number[];
  readonly lowest: readonly number[];
  readonly highest: readonly number[];
  /** `[reading]`. */
  readonly measured: ArrayLike<number>;
  /** One standard deviation, above 0, `[reading]`. */
  readonly standardError: ArrayLike<number>;
  /** `[reading]`; null where the model has no solution. */
  expected(values: readonly number[]): ArrayLike<number> | null;
}

export interface LeastSquaresFit {
  readonly values: readonly number[];
  /** Which bound a value lies at, where the readings would have it beyond. */
  readonly atBound: readonly ('lower' | 'upper' | null)[];
  /** (measured − expected)/standard error, `[reading]`. */
  readonly residual: readonly number[];
  /** Derivatives of the expected values over the standard error, `[reading][quantity]`. */
  readonly jacobian: readonly (readonly number[])[];
  readonly chiSquare: number;
  /** False where the last round could still move and did not get anywhere. */
  readonly converged: boolean;
  readonly rounds: number;
}

const MOST_ROUNDS = 60;
/** Steps of the library in one round; it keeps the best of them and does not go back from a bad one, so rounds are short. */
const STEPS_IN_ROUND = 4;
const FIRST_DAMPING = 1e-3;
const LARGEST_DAMPING = 1e8;
/** Converged: what the tangent plane could still gain, as part of the scatter (relative offset; Bates & Watts 1988, from memory). */
const OFFSET = 1e-4;
/** The same where readings and model agree to rounding: no value would move by more than this part of itself. */
const SMALLEST_STEP = 1e-9;
/** A smaller part of the sum of squares gained is rounding. */
const LEAST_GAIN = 1e-10;
/** Part of a value by which it is moved for its derivative. */
const DIFFERENCE = 1e-4;

/**
 * FitValues within bounds that make Σ((measured − expected)/standard error)² least, near the start.
 * @throws RangeError where there is no solution at the start or around a value reached
 */
export async function leastSquares(problem: LeastSquaresProblem): Promise<LeastSquaresFit> {
  // An ES module, which a CommonJS build can only fetch so.
  const { levenbergMarquardt } = await import('ml-levenberg-marquardt');
  let values = [...problem.start];
  let damping = FIRST_DAMPING;
  for (let rounds = 0; ; rounds++) {
    const here = tangentAt(problem, values);
    const atBound = boundsHeld(problem, values, here);
    const free = values.map((_, k) => k).filter((k) => atBound[k] === null);
    const isDone = free.length === 0 || settled(here, values, free, problem);
    if (isDone || rounds === MOST_ROUNDS || damping > LARGEST_DAMPING) {
      return { values, atBound, ...here, converged: isDone, rounds };
    }
    // Each value in units of its own effect on the readings: then one damping suits all.
    const scale = free.map((k) => Math.hypot(...here.jacobian.map((row) => row[k])) || 1);
    const whole = (scaled: readonly number[]) => {
      const all = [...values];
      free.forEach((k, i) => {
        all[k] = Math.min(Math.max(scaled[i] / scale[i], problem.lowest[k]), problem.highest[k]);
      });
      return all;
    };
    const expected = remembered((scaled) => problem.expected(whole(scaled)));
    const tangent = remembered((scaled) => tangentOrNull(problem, whole(scaled)));
    // Everything is divided by the standard errors beforehand: the library's own weights act on the residuals the wrong way
    // round (version 5.1.0 divides them by the weights that its normal matrix is multiplied with).
    const step = levenbergMarquardt(
      {
        x: here.residual.map((_, i) => i),
        y: here.residual.map((_, i) => problem.measured[i] / problem.standardError[i]),
      },
      (scaled) => {
        const there = expected(scaled);
        // Where there is no solution, far from every reading, but still a number.
        return (i) =>
          there === null ? problem.measured[i] / problem.standardError[i] + 1e6 : there[i] / problem.standardError[i];
      },
      {
        initialValues: free.map((k, i) => values[k] * scale[i]),
        minValues: free.map((k, i) => problem.lowest[k] * scale[i]),
        maxValues: free.map((k, i) => problem.highest[k] * scale[i]),
        damping,
        maxIterations: STEPS_IN_ROUND,
        errorTolerance: 0,
        jacobianFunction: (scaled) => {
          const there = tangent(scaled);
          return (i) => free.map((k, at) => (there === null ? 0 : there.jacobian[i][k] / scale[at]));
        },
      },
    );
    if (step.parameterError < here.chiSquare * (1 - LEAST_GAIN)) {
      values = whole(step.parameterValues);
      damping = Math.max(damping / 10, 1e-9);
    } else {
      damping *= 30;
    }
  }
}

interface Tangent {
  readonly residual: readonly number[];
  readonly jacobian: readonly (readonly number[])[];
  readonly chiSquare: number;
}

function tangentAt(problem: LeastSquaresProblem, values: readonly number[]): Tangent {
  const tangent = tangentOrNull(problem, values);
  if (tangent === null) throw new RangeError(`no solution around the values ${values.join(', ')}`);
  return tangent;
}

/** Residuals and their derivatives by central differences; at a bound the difference lies inside. */
function tangentOrNull(problem: LeastSquaresProblem, values: readonly number[]): Tangent | null {
  const { measured, standardError, lowest, highest } = problem;
  const here = problem.expected(values);
  if (here === null) return null;
  const columns: number[][] = [];
  for (let k = 0; k < values.length; k++) {
    const width = DIFFERENCE * Math.max(Math.abs(values[k]), 0.01 * Math.min(highest[k] - lowest[k], 1));
    const [low, high] = [Math.max(values[k] - width, lowest[k]), Math.min(values[k] + width, highest[k])];
    const [below, above] = [low, high].map((value) =>
      problem.expected(values.map((own, at) => (at === k ? value : own))),
    );
    if (below === null || above === null) return null;
    columns.push(Array.from(measured, (_, i) => (above[i] - below[i]) / (high - low) / standardError[i]));
  }
  const residual = Array.from(measured, (value, i) => (value - here[i]) / standardError[i]);
  return {
    residual,
    jacobian: residual.map((_, i) => columns.map((column) => column[i])),
    chiSquare: residual.reduce((sum, r) => sum + r * r, 0),
  };
}

/** FitValues at a bound that the readings push further out. */
function boundsHeld(
  { lowest, highest }: LeastSquaresProblem,
  values: readonly number[],
  { jacobian, residual }: Tangent,
): ('lower' | 'upper' | null)[] {
  return values.map((value, k) => {
    const pull = residual.reduce((sum, r, i) => sum + r * jacobian[i][k], 0);
    if (value <= lowest[k] && pull <= 0) return 'lower';
    return value >= highest[k] && pull >= 0 ? 'upper' : null;
  });
}

function settled(
  { jacobian, residual, chiSquare }: Tangent,
  values: readonly number[],
  free: readonly number[],
  { lowest, highest }: LeastSquaresProblem,
): boolean {
  const scale = free.map((k) => Math.hypot(...jacobian.map((row) => row[k])) || 1);
  const svd = new SVD(new Matrix(jacobian.map((row) => free.map((k, at) => row[k] / scale[at]))), {
    autoTranspose: true,
  });
  const [u, v, s] = [svd.leftSingularVectors.to2DArray(), svd.rightSingularVectors.to2DArray(), svd.diagonal];
  const felt = free.map((_, j) => j).filter((j) => s[j] > s[0] / HOPELESS_CONDITION);
  const along = felt.map((j) => residual.reduce((sum, r, i) => sum + r * u[i][j], 0));
  const step = free.map((_, at) => felt.reduce((sum, j, n) => sum + (v[at][j] * along[n]) / s[j], 0));
  const gain = along.reduce((sum, part) => sum + part * part, 0);
  const freedom = Math.max(1, residual.length - free.length);
  const small = free.every(
    (k, at) =>
      Math.abs(step[at] / scale[at]) <=
      SMALLEST_STEP * Math.max(Math.abs(values[k]), 1e-3 * Math.min(1, highest[k] - lowest[k])),
  );
  return small || gain / free.length <= OFFSET ** 2 * (chiSquare / freedom);
}

/** Keeps the last answer: the library asks for the same values several times. */
function remembered<T>(compute: (values: readonly number[]) => T): (values: readonly number[]) => T {
  let last: { readonly key: string; readonly answer: T } | null = null;
  return (values) => {
    const key = values.join(' ');
    if (last?.key !== key) last = { key, answer: compute(values) };
    return last.answer;
  };
}
