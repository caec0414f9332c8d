import {
  type BootstrapEstimate,
  bootstrapEstimate,
  type BootstrapOptions,
  drawRows,
  requireBootstrap,
} from './bootstrap.js';
import { requireFiniteSample } from './checks.js';
import { StatisticsInputError } from './errors.js';

/** An output evaluated on Saltelli's sampling matrices, each `[row]`. */
export interface SobolSample {
  readonly a: ArrayLike<number>;
  /** All factors drawn once more, independently. */
  readonly b: ArrayLike<number>;
  /** `[factor][row]`: as `a`, but this one factor as in `b`. */
  readonly mixed: readonly ArrayLike<number>[];
}

export interface SobolIndex {
  /** Part of the variance that goes where the factor alone is fixed. */
  readonly first: BootstrapEstimate;
  /** Part of the variance that the factor has a hand in, by itself or with others. */
  readonly total: BootstrapEstimate;
}

export interface SobolIndices {
  /** Of the output over A and B, square of its unit. */
  readonly variance: number;
  /** `[factor]`. */
  readonly indices: readonly SobolIndex[];
}

const LEAST_ROWS = 20;

/**
 * First-order and total Sobol indices of independent factors, with bootstrap percentile intervals over the rows.
 *
 * With f centred and V its variance over A and B together: first order mean(f_B·(f_AB − f_A))/V (Saltelli et al.
 * 2010, Computer Physics Communications 181, 259, table 2 (b)); total mean((f_A − f_AB)²)/(2V) (Jansen 1999, Computer
 * Physics Communications 117, 35; the same table, (f)). Indices are 0..1; an estimate of one near 0 may lie a little
 * below it and is not cut off. Rows are resampled whole, mean and variance found anew in each; resamples in which the
 * output does not vary are drawn again.
 *
 * @throws StatisticsInputError for columns of unlike length, fewer than 20 rows, no factor, a value that is not finite
 *   or too large to square, an output without variance, confidence outside 0..1, or fewer than 20 resamples
 */
export function sobolIndices(sample: SobolSample, options: BootstrapOptions): SobolIndices {
  const resamples = requireBootstrap(options);
  const centred = centredOf(sample);
  const rows = centred.a.length;
  const counts = new Uint32Array(rows).fill(1);
  const estimates = indicesOf(centred, counts);
  if (estimates === null) {
    throw new StatisticsInputError(
      'a, b',
      `the same value, ${sample.a[0]}, in every row`,
      'values that differ are needed: there is no variance to share out',
    );
  }
  const factors = sample.mixed.length;
  const [firsts, totals] = [0, 1].map(() => Array.from({ length: factors }, () => new Float64Array(resamples)));
  for (let r = 0; r < resamples; ) {
    drawRows(counts, options.random);
    const resampled = indicesOf(centred, counts);
    if (resampled === null) continue;
    for (let k = 0; k < factors; k++) {
      firsts[k][r] = resampled.first[k];
      totals[k][r] = resampled.total[k];
    }
    r++;
  }
  const { confidence } = options;
  return {
    variance: estimates.variance,
    indices: sample.mixed.map((_, k) => ({
      first: bootstrapEstimate(estimates.first[k], firsts[k], confidence),
      total: bootstrapEstimate(estimates.total[k], totals[k], confidence),
    })),
  };
}

interface Centred {
  readonly a: Float64Array;
  readonly b: Float64Array;
  /** `[factor][row]`: what the factor changes, f_AB − f_A. */
  readonly change: readonly Float64Array[];
}

/** The values less their mean: a large common part would cost digits in the squares. */
function centredOf({ a, b, mixed }: SobolSample): Centred {
  requireFiniteSample('a', a, LEAST_ROWS);
  if (mixed.length === 0) throw new StatisticsInputError('mixed', '0 factors', 'at least 1 is needed');
  for (const [name, column] of [['b', b] as const, ...mixed.map((one, k) => [`mixed[${k}]`, one] as const)]) {
    if (column.length !== a.length) {
      throw new StatisticsInputError(name, `${column.length} values`, `as many as in a, ${a.length}, are needed`);
    }
    requireFiniteSample(name, column, LEAST_ROWS);
  }
  let sum = 0;
  for (let j = 0; j < a.length; j++) sum += a[j] + b[j];
  // Of equal values the sum may be off by rounding; the value itself is not.
  const mean = isConstant(a, b) ? a[0] : sum / (2 * a.length);
  const from = (values: ArrayLike<number>) => Float64Array.from(values, (value) => value - mean);
  const change = mixed.map((column) => Float64Array.from(column, (value, j) => value - a[j]));
  const centred = { a: from(a), b: from(b), change };
  const size = [centred.a, centred.b, ...change].reduce(
    (most, column) => column.reduce((m, v) => Math.max(m, Math.abs(v)), most),
    0,
  );
  if (!Number.isFinite(size * size * a.length)) {
    throw new StatisticsInputError(
      'a, b, mixed',
      `values up to ${size} from their mean`,
      'these are too large to be squared',
    );
  }
  return centred;
}

function isConstant(a: ArrayLike<number>, b: ArrayLike<number>): boolean {
  for (let j = 0; j < a.length; j++) if (a[j] !== a[0] || b[j] !== a[0]) return false;
  return true;
}

/** The estimators over rows that count so often each; null where the output does not vary in them. */
function indicesOf(
  { a, b, change }: Centred,
  counts: Uint32Array,
): { readonly variance: number; readonly first: number[]; readonly total: number[] } | null {
  const rows = a.length;
  let sum = 0;
  let squares = 0;
  for (let j = 0; j < rows; j++) {
    sum += counts[j] * (a[j] + b[j]);
    squares += counts[j] * (a[j] * a[j] + b[j] * b[j]);
  }
  const mean = sum / (2 * rows);
  const variance = squares / (2 * rows) - mean * mean;
  // What is left of equal values is rounding.
  if (!(variance > 1e-14 * (mean * mean))) return null;
  const first: number[] = [];
  const total: number[] = [];
  for (const changed of change) {
    let product = 0;
    let square = 0;
    for (let j = 0; j < rows; j++) {
      const weighted = counts[j] * changed[j];
      product += weighted * (b[j] - mean);
      square += weighted * changed[j];
    }
    first.push(product / rows / variance);
    total.push(square / (2 * rows) / variance);
  }
  return { variance, first, total };
}
