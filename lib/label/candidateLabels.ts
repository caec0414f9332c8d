import { quantileSorted } from '../statistics/index.js';
import { roundDown } from './roundDown.js';

/** Rows of a label table that people still read at a glance. */
export const MOST_CANDIDATES = 12;

/** What automatic candidates are chosen from. Powers in W. */
export interface CandidateBasis {
  /** Ascending, `[scenario]`. */
  readonly sortedPower: ArrayLike<number>;
  /** null where none is proven. */
  readonly floor: number | null;
  /** Lowest rated power met. */
  readonly worstFound: number;
  /** Fractions 0..1; 0.01 is a low power that 99 % of scenarios exceed. */
  readonly percentiles: readonly number[];
  readonly step: number;
}

/**
 * Candidate labels, W, ascending: the floor and each percentile rounded down to the step, filled up with round powers
 * from a little below the floor (the worst found where there is none) to a little above the median.
 *
 * Round: 1, 2 or 5 times a power of ten of the step, the finest that keeps to twelve labels. Where floor and
 * percentiles are twelve or more by themselves, they are all. Labels of 0 W are left out.
 *
 * @throws StatisticsInputError for an empty sample or a percentile outside 0..1
 */
export function candidateLabels(basis: CandidateBasis): number[] {
  const { sortedPower, floor, worstFound, percentiles, step } = basis;
  const asked = [...(floor === null ? [] : [floor]), ...percentiles.map((p) => quantileSorted(sortedPower, p))];
  const kept = new Set(asked.map((power) => roundDown(power, step)).filter((label) => label > 0));
  const median = quantileSorted(sortedPower, 0.5);
  const from = Math.min(floor ?? worstFound, median);
  const widest = Math.max(median, step);
  for (let k = 0; ; k++) {
    const stride = step * [1, 2, 5][k % 3] * 10 ** Math.floor(k / 3);
    const labels = new Set(kept);
    const first = Math.max(stride, strictlyBelow(from, stride));
    const last = roundDown(median, stride) + stride;
    if ((last - first) / stride < MOST_CANDIDATES) {
      for (let at = Math.round(first / stride); at * stride <= last; at++) labels.add(at * stride);
      if (labels.size <= MOST_CANDIDATES) return ascending(labels);
    }
    if (stride > 2 * widest) break;
  }
  return ascending(kept);
}

/** The largest multiple of `stride` below `power`, or 0. */
function strictlyBelow(power: number, stride: number): number {
  const down = roundDown(power, stride);
  return down < power ? down : Math.max(0, down - stride);
}

function ascending(labels: ReadonlySet<number>): number[] {
  return [...labels].sort((a, b) => a - b);
}
