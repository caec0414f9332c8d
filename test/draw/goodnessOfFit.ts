import { normalQuantile } from '../../lib/draw/normalDistribution.js';

/**
 * Pearson's statistic of observed counts against expected ones, as a standard normal number by the cube-root
 * transformation of Wilson & Hilferty (1931): above 4.3 has a chance of about 1e-5 when the expectation is right.
 * Expected counts of 5 and more, as usual.
 */
export function chiSquareScore(observed: readonly number[], expected: readonly number[]): number {
  const freedom = observed.length - 1;
  const statistic = observed.reduce((sum, count, at) => sum + (count - expected[at]) ** 2 / expected[at], 0);
  const spread = 2 / (9 * freedom);
  return (Math.cbrt(statistic / freedom) - (1 - spread)) / Math.sqrt(spread);
}

/** A fit is refused above this score; seeded draws make the verdict the same on every run. */
export const POOR_FIT = 4.3;

/**
 * Largest distance between the sample's distribution function and the wanted one, times √n (Kolmogorov–Smirnov);
 * above 2.5 has a chance of about 7e-6 when the function is right.
 */
export function kolmogorovScore(sample: readonly number[], distributionFunction: (x: number) => number): number {
  const sorted = [...sample].sort((a, b) => a - b);
  const n = sorted.length;
  let distance = 0;
  sorted.forEach((x, at) => {
    const wanted = distributionFunction(x);
    distance = Math.max(distance, Math.abs((at + 1) / n - wanted), Math.abs(at / n - wanted));
  });
  return distance * Math.sqrt(n);
}

export const POOR_DISTANCE = 2.5;

/** Spearman's rank correlation of two samples without ties. */
export function rankCorrelation(a: readonly number[], b: readonly number[]): number {
  return correlation(ranks(a), ranks(b));
}

export function correlation(a: readonly number[], b: readonly number[]): number {
  const mean = (values: readonly number[]): number => values.reduce((sum, x) => sum + x, 0) / values.length;
  const [meanA, meanB] = [mean(a), mean(b)];
  let [ab, aa, bb] = [0, 0, 0];
  a.forEach((x, at) => {
    ab += (x - meanA) * (b[at] - meanB);
    aa += (x - meanA) ** 2;
    bb += (b[at] - meanB) ** 2;
  });
  return ab / Math.sqrt(aa * bb);
}

/** Half-width of the interval that holds an estimated share but for a chance of 1e-5. */
export function shareTolerance(share: number, draws: number): number {
  return -normalQuantile(5e-6) * Math.sqrt((share * (1 - share)) / draws);
}

function ranks(values: readonly number[]): number[] {
  const order = values.map((_, at) => at).sort((i, j) => values[i] - values[j]);
  const result = new Array<number>(values.length);
  order.forEach((at, rank) => {
    result[at] = rank;
  });
  return result;
}
