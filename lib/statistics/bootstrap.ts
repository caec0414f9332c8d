import { requireCount, requireOpenFraction } from './checks.js';
import { quantileSorted } from './quantileSorted.js';

/** How a bootstrap is made. */
export interface BootstrapOptions {
  /** Two-sided, 0..1, e.g. 0.95. */
  readonly confidence: number;
  /** Resamples of the rows. Default 1000. */
  readonly resamples?: number | undefined;
  /** Uniform over 0 ≤ u < 1; seeded by the caller, so that the intervals can be had again. */
  readonly random: () => number;
}

/** An estimate with its bootstrap percentile interval, which need not contain it. */
export interface BootstrapEstimate {
  readonly estimate: number;
  readonly lower: number;
  readonly upper: number;
}

export const DEFAULT_RESAMPLES = 1000;
/** Fewer say nothing of the ends of an interval. */
const LEAST_RESAMPLES = 20;

/** Throws unless the options describe a bootstrap. @returns the number of resamples */
export function requireBootstrap({ confidence, resamples = DEFAULT_RESAMPLES }: BootstrapOptions): number {
  requireOpenFraction('confidence', confidence);
  requireCount('resamples', resamples, LEAST_RESAMPLES);
  return resamples;
}

/** Draws as many rows as there are, with replacement: how often each is drawn, `[row]`. */
export function drawRows(counts: Uint32Array, random: () => number): void {
  counts.fill(0);
  const { length } = counts;
  for (let k = 0; k < length; k++) counts[Math.floor(random() * length)]++;
}

/**
 * Percentile interval of the values that resamples gave (Efron 1979; Efron & Tibshirani 1993, chapter 13, from
 * memory).
 */
export function bootstrapEstimate(estimate: number, resampled: Float64Array, confidence: number): BootstrapEstimate {
  const sorted = resampled.slice().sort();
  const tail = (1 - confidence) / 2;
  return { estimate, lower: quantileSorted(sorted, tail, 'type-6'), upper: quantileSorted(sorted, 1 - tail, 'type-6') };
}
