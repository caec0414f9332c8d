/** Readings that do not fit the others: single ones, and pairs of sensors that look exchanged. Nothing is left out here. */
import { betaQuantile } from '../statistics/distributions.js';
import { studentTwoSidedQuantile } from '../statistics/index.js';
import { linearFit, planeChiSquare } from './linearFit.js';

/** Chance of any false alarm in a sound heat run, for outliers and again for exchanged pairs (Bonferroni). */
export const FALSE_ALARM = 0.05;
/** No more than this part of the readings is ever called an outlier. */
const MOST_OUTLIERS = 0.2;
/** A leverage this near 1 leaves a reading nothing to be judged by. */
const OWN_FIT = 1e-9;

export interface FittedReading {
  readonly sensor: string;
  readonly point: string;
  /** K as measured. */
  readonly measured: number;
  readonly standardError: number;
}

/** `[reading]`; null where a reading alone decides its own fit, or too few others are left. */
export function deletedResiduals(
  jacobian: readonly (readonly number[])[],
  residual: readonly number[],
): (number | null)[] {
  const fit = linearFit(jacobian, residual);
  const others = fit.degreesOfFreedom - 1;
  return fit.residual.map((r, i) => {
    const own = 1 - fit.leverage[i];
    if (others < 1 || own < OWN_FIT) return null;
    const rest = (fit.chiSquare - (r * r) / own) / others;
    // Others that fit to rounding: the square root of nought would divide.
    return r / Math.sqrt(Math.max(rest, 1e-18) * own);
  });
}

/** Bound on |studentised deleted residual| with the false-alarm rate shared by all readings; null with too few of them. */
export function outlierBound(readings: number, quantities: number): number | null {
  const freedom = readings - quantities - 1;
  return freedom < 1 ? null : studentTwoSidedQuantile(1 - FALSE_ALARM / readings, freedom);
}

/**
 * Indices of outliers, worst first. After each one the rest is judged without it, so that one does not hide another.
 */
export function outliers(jacobian: readonly (readonly number[])[], residual: readonly number[]): number[] {
  const found: number[] = [];
  const quantities = jacobian[0].length;
  const left = residual.map((_, i) => i);
  while (found.length < MOST_OUTLIERS * residual.length) {
    const bound = outlierBound(left.length, quantities);
    if (bound === null) break;
    const studentised = deletedResiduals(
      left.map((i) => jacobian[i]),
      left.map((i) => residual[i]),
    );
    let worst = -1;
    studentised.forEach((t, at) => {
      if (t !== null && Math.abs(t) > bound && (worst < 0 || Math.abs(t) > Math.abs(studentised[worst] ?? 0)))
        worst = at;
    });
    if (worst < 0) break;
    found.push(left[worst]);
    left.splice(worst, 1);
  }
  return found;
}

export interface ExchangedPair {
  readonly sensors: readonly [string, string];
  /** Sum of squares as it is, and with the readings of the two exchanged. */
  readonly chiSquare: number;
  readonly exchanged: number;
}

/**
 * Pairs of sensors whose exchange lowers the sum of squares more than chance does, the largest gain first, each sensor once.
 *
 * Without a mix-up, exchanging readings y_a and y_b gains at most (e_a − e_b)²/2 per operating point, whatever the model
 * expects: a chi-square variable each. Beyond the F bound for K points, shared by all pairs, a pair is suspected, provided
 * that the exchange at least halves the sum of squares.
 */
export function exchangedPairs(
  jacobian: readonly (readonly number[])[],
  residual: readonly number[],
  readings: readonly FittedReading[],
): ExchangedPair[] {
  const freedom = residual.length - jacobian[0].length;
  const squares = planeChiSquare(jacobian);
  const chiSquare = squares(residual);
  const sensors = [...new Set(readings.map(({ sensor }) => sensor))];
  const at = new Map(readings.map(({ sensor, point }, i) => [JSON.stringify([sensor, point]), i]));
  const points = [...new Set(readings.map(({ point }) => point))];
  const pairs = (sensors.length * (sensors.length - 1)) / 2;
  if (freedom < 1 || pairs === 0) return [];
  const found: ExchangedPair[] = [];
  for (let a = 0; a < sensors.length; a++) {
    for (let b = a + 1; b < sensors.length; b++) {
      const places = points.map((point) =>
        [sensors[a], sensors[b]].map((sensor) => at.get(JSON.stringify([sensor, point]))),
      );
      const both = places.filter((pair): pair is [number, number] => pair.every((i) => i !== undefined));
      if (both.length === 0) continue;
      const moved = [...residual];
      for (const [i, j] of both) {
        moved[i] += (readings[j].measured - readings[i].measured) / readings[i].standardError;
        moved[j] += (readings[i].measured - readings[j].measured) / readings[j].standardError;
      }
      const exchanged = squares(moved);
      const scatter = Math.max(exchanged / freedom, 1e-18);
      const y = betaQuantile(1 - FALSE_ALARM / pairs, both.length / 2, freedom / 2);
      const bound = (freedom * y) / (1 - y);
      if (exchanged <= 0.5 * chiSquare && (chiSquare - exchanged) / scatter > bound) {
        found.push({ sensors: [sensors[a], sensors[b]], chiSquare, exchanged });
      }
    }
  }
  const used = new Set<string>();
  return found
    .sort((p, q) => p.exchanged - q.exchanged)
    .filter(({ sensors: pair }) => {
      const isFree = !pair.some((sensor) => used.has(sensor));
      if (isFree) for (const sensor of pair) used.add(sensor);
      return isFree;
    });
}
