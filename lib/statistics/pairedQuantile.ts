import erfcinv from '@stdlib/math-base-special-erfcinv';
import { requireCount, requireFiniteSample, requireFraction, requireOpenFraction } from './checks.js';
import { StatisticsInputError } from './errors.js';
import { quantileSorted, type QuantileDefinition } from './quantileSorted.js';
import { studentTwoSidedQuantile } from './studentQuantile.js';

export interface PairedQuantileOptions {
  /** Two-sided, 0..1. */
  readonly confidence: number;
  readonly definition?: QuantileDefinition | undefined;
  /** Samples drawn anew. Default 2000. */
  readonly resamples?: number;
  /** Values that belong together: a replicate of a design is drawn as a whole. Default 1. */
  readonly blockSize?: number;
  /** A whole number 0..n − 1, each equally likely. */
  readonly integerBelow: (n: number) => number;
}

/** Difference of a quantile between two variables observed in pairs. */
export interface PairedQuantile {
  /** Quantile of `ours` less that of `theirs`. */
  readonly difference: number;
  /** Ends of the percentile interval over the resamples. */
  readonly lower: number;
  readonly upper: number;
  /** Over the resamples: of the difference, and what it would be if the two were drawn independently. */
  readonly variance: number;
  readonly varianceUnpaired: number;
}

/**
 * How much a quantile differs between two variables seen on the same scenarios, [scenario], with a bootstrap interval in
 * which every resample takes both values of a scenario: Efron & Tibshirani (1993), An Introduction to the Bootstrap,
 * chapter 13 (percentile interval). What the two have in common leaves the difference. Of R blocks of a design, which may be
 * few, both arms of the interval are stretched by t/z·√(R/(R − 1)), with Student's and the normal quantile: resampled blocks
 * spread too little by the root, and their quantiles are the normal's (without it 95 % intervals of ten strongly stratified
 * blocks held in 90 %). Single values err on the wide side as it is.
 *
 * @throws StatisticsInputError for samples of unlike length, values that are not finite, fewer than ten blocks, or p,
 *   confidence or counts out of range
 */
export function pairedQuantile(
  ours: ArrayLike<number>, theirs: ArrayLike<number>, p: number, options: PairedQuantileOptions,
): PairedQuantile {
  const { confidence, definition, resamples = 2000, blockSize = 1, integerBelow } = options;
  requireFraction('p', p);
  requireOpenFraction('confidence', confidence);
  requireCount('resamples', resamples, 100);
  requireCount('blockSize', blockSize, 1);
  requireFiniteSample('ours', ours, 10 * blockSize);
  requireFiniteSample('theirs', theirs, 10 * blockSize);
  const n = ours.length;
  if (theirs.length !== n || n % blockSize !== 0) {
    throw new StatisticsInputError('theirs', `${theirs.length} values`, `as many as ours, ${n}, in whole blocks of ${blockSize}`);
  }
  const [own, other] = [new Resampled(ours, p, definition), new Resampled(theirs, p, definition)];
  const counts = new Uint32Array(n);
  const differences = new Float64Array(resamples);
  const [ownQuantiles, otherQuantiles] = [new Float64Array(resamples), new Float64Array(resamples)];
  for (let r = 0; r < resamples; r++) {
    counts.fill(0);
    for (let draw = 0; draw < n / blockSize; draw++) {
      const first = blockSize * integerBelow(n / blockSize);
      for (let k = first; k < first + blockSize; k++) counts[k]++;
    }
    ownQuantiles[r] = own.quantile(counts);
    otherQuantiles[r] = other.quantile(counts);
    differences[r] = ownQuantiles[r] - otherQuantiles[r];
  }
  const variance = varianceOf(differences);
  differences.sort();
  const difference = quantileSorted(Float64Array.from(ours).sort(), p, definition)
    - quantileSorted(Float64Array.from(theirs).sort(), p, definition);
  const stretch = blockSize === 1 ? 1 : stretchOf(n / blockSize, confidence);
  const end = (fraction: number) => {
    const found = quantileSorted(differences, fraction, 'type-7');
    return stretch === 1 ? found : difference + stretch * (found - difference);
  };
  return {
    difference,
    lower: end((1 - confidence) / 2),
    upper: end((1 + confidence) / 2),
    variance,
    varianceUnpaired: varianceOf(ownQuantiles) + varianceOf(otherQuantiles),
  };
}

function stretchOf(blocks: number, confidence: number): number {
  return studentTwoSidedQuantile(confidence, blocks - 1) / (Math.SQRT2 * erfcinv(1 - confidence)) * Math.sqrt(blocks / (blocks - 1));
}

/** A sample from which values are taken so many times each. */
class Resampled {
  /** Positions in ascending order of their values. */
  private readonly order: Uint32Array;
  private readonly taken: Float64Array;
  private readonly fromBelow: boolean;

  constructor(
    private readonly values: ArrayLike<number>, private readonly p: number, private readonly definition?: QuantileDefinition,
  ) {
    this.order = Uint32Array.from({ length: values.length }, (_, i) => i).sort((a, b) => values[a] - values[b]);
    this.taken = new Float64Array(values.length);
    this.fromBelow = p <= 0.5;
  }

  /** Quantile of the values, each `counts` times: the whole is laid out only as far as the quantile lies. */
  quantile(counts: Uint32Array): number {
    const { values, order, taken, p } = this;
    const n = order.length;
    const reach = Math.min(n, Math.ceil(Math.min(p, 1 - p) * n) + 2);
    let at = 0;
    for (let k = 0; at < reach; k++) {
      const i = order[this.fromBelow ? k : n - 1 - k];
      for (let c = counts[i]; c > 0 && at < reach; c--) taken[this.fromBelow ? at++ : n - 1 - at++] = values[i];
    }
    // What lies beyond does not matter; it keeps the order.
    if (this.fromBelow) taken.fill(taken[reach - 1], reach);
    else taken.fill(taken[n - reach], 0, n - reach);
    return quantileSorted(taken, p, this.definition);
  }
}

/** Of a sample, n − 1 in the denominator. */
function varianceOf(values: Float64Array): number {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1);
}
