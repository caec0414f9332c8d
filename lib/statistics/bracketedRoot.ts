import { StatisticsInputError } from './errors.js';

/** A root of a continuous function, and where it was looked at. */
export interface BracketedRoot {
  /** The end of the last bracket at which the function is at least 0. */
  readonly root: number;
  /** The other end: the function changes its sign between the two. */
  readonly other: number;
  readonly evaluations: number;
}

/** κ₁ relative to the width, κ₂ and n₀ of the method. */
const [TRUNCATION, ORDER, SLACK] = [0.2, 2, 1];

/**
 * Where f changes its sign between `from` and `to`, to `tolerance`: for a function that is costly and continuous but not
 * smooth. Interpolate, truncate, project: Oliveira & Takahashi (2021), An enhancement of the bisection method average
 * performance preserving minmax optimality, ACM Transactions on Mathematical Software 47(1), article 5. At most one
 * evaluation more than bisection whatever f is, and few where f is nearly straight.
 *
 * @param values f(from) and f(to), of opposite signs (0 counts as above)
 * @throws StatisticsInputError where the ends do not bracket a change of sign, or a value is not finite
 */
export function bracketedRoot(
  f: (x: number) => number, from: number, to: number, values: readonly [number, number], tolerance: number,
): BracketedRoot {
  if (!(from < to) || !Number.isFinite(to - from)) throw new StatisticsInputError('to', to, `above from, ${from}, is needed`);
  if (!(tolerance > 0 && Number.isFinite(tolerance))) throw new StatisticsInputError('tolerance', tolerance, 'above 0 is needed');
  if (!values.every(Number.isFinite) || values[0] >= 0 === values[1] >= 0) {
    throw new StatisticsInputError('values', values.join(', '), 'two finite values, one below 0, are needed');
  }
  let [low, high] = [from, to];
  let [atLow, atHigh] = values;
  const half = tolerance / 2;
  const most = Math.max(0, Math.ceil(Math.log2((to - from) / tolerance))) + SLACK;
  let evaluations = 0;
  while (high - low > tolerance && evaluations < most) {
    const middle = 0.5 * (low + high);
    const straight = (atHigh * low - atLow * high) / (atHigh - atLow);
    const side = Math.sign(middle - straight);
    const step = TRUNCATION / (to - from) * (high - low) ** ORDER;
    const truncated = step <= Math.abs(middle - straight) ? straight + side * step : middle;
    const reach = half * 2 ** (most - evaluations) - 0.5 * (high - low);
    const x = Math.abs(truncated - middle) <= reach ? truncated : middle - side * Math.max(0, reach);
    const value = f(x);
    evaluations++;
    if (!Number.isFinite(value)) throw new StatisticsInputError(`f(${x})`, value, 'a finite value is needed');
    if (value >= 0 === atHigh >= 0) [high, atHigh] = [x, value];
    else [low, atLow] = [x, value];
  }
  return atHigh >= 0 ? { root: high, other: low, evaluations } : { root: low, other: high, evaluations };
}
