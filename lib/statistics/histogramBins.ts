import { requireCount, requireFiniteSample } from './checks.js';
import { StatisticsInputError } from './errors.js';
import { quantileSorted } from './quantileSorted.js';

/** Options of `histogramBins`. */
export interface HistogramOptions {
  /** Most bins, 100 where left out. */
  readonly maxBins?: number | undefined;
}

/** Equal-width bins of a sample. */
export interface HistogramBins {
  /** Ascending, [bin + 1], in the unit of the sample. */
  readonly edges: readonly number[];
  /** Values in each bin, [bin]: its lower edge included, its upper edge not, except in the last bin. */
  readonly counts: readonly number[];
  /** How the width was chosen; `sturges` where the middle half of the values is one and the same value. */
  readonly rule: 'freedman-diaconis' | 'sturges' | 'one-value';
}

/** Beyond it the range or an outer edge might overflow a double. */
const LARGEST_VALUE = 1e307;

/**
 * Histogram bins of a sample sorted in ascending order, [value] (not checked), for figures.
 *
 * Width by Freedman & Diaconis 2·IQR/n^(1/3), evened out over the range, with at most `maxBins` bins. Where the
 * interquartile range is 0, Sturges' 1 + log2(n) bins. A constant sample gets one bin around its value.
 * Source: Freedman & Diaconis (1981), Z. Wahrscheinlichkeitstheorie 57, 453–476; Sturges (1926), J. Am. Stat. Assoc.
 * 21, 65–66.
 *
 * @throws StatisticsInputError for an empty sample, a value that is not finite or beyond ±1e307, or maxBins that is
 * no whole number ≥ 1.
 * @example histogramBins([5, 5, 5]).counts; // [3]
 */
export function histogramBins(sorted: ArrayLike<number>, { maxBins = 100 }: HistogramOptions = {}): HistogramBins {
  requireFiniteSample('sorted', sorted, 1);
  requireCount('maxBins', maxBins, 1);
  const n = sorted.length;
  const first = sorted[0];
  const last = sorted[n - 1];
  const range = last - first;
  const largest = Math.max(Math.abs(first), Math.abs(last));
  if (largest > LARGEST_VALUE) {
    throw new StatisticsInputError('sorted', `${first} to ${last}`, `at most ±${LARGEST_VALUE} can be binned`);
  }
  if (range === 0) {
    // Zero, or a value so small that its part in two hundred is: any width will do.
    const halfWidth = largest * 0.005 || 0.5;
    return { edges: [first - halfWidth, first + halfWidth], counts: [n], rule: 'one-value' };
  }
  const spread = quantileSorted(sorted, 0.75, 'type-7') - quantileSorted(sorted, 0.25, 'type-7');
  const wanted = spread > 0 ? (range * Math.cbrt(n)) / (2 * spread) : 1 + Math.log2(n);
  // Bins narrower than the spacing of doubles would have equal edges.
  const spacing = 2 * Math.max(Number.EPSILON * largest, Number.MIN_VALUE);
  const bins = Math.max(1, Math.min(Math.ceil(wanted), maxBins, Math.floor(range / spacing)));
  const edges = Array.from({ length: bins + 1 }, (_, i) => (i === bins ? last : first + range * (i / bins)));
  return { edges, counts: countBetween(sorted, edges), rule: spread > 0 ? 'freedman-diaconis' : 'sturges' };
}

function countBetween(sorted: ArrayLike<number>, edges: readonly number[]): number[] {
  const counts = new Array<number>(edges.length - 1).fill(0);
  let bin = 0;
  for (let i = 0; i < sorted.length; i++) {
    while (bin < counts.length - 1 && sorted[i] >= edges[bin + 1]) bin++;
    counts[bin]++;
  }
  return counts;
}
