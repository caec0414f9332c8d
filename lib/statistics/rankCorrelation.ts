import { requireFiniteSample } from './checks.js';
import { StatisticsInputError } from './errors.js';

/** Spearman's coefficient, or which input has no spread to correlate. */
export type RankCorrelation =
  | { readonly defined: true; readonly coefficient: number }
  | { readonly defined: false; readonly constant: 'x' | 'y' | 'both' };

/**
 * Spearman's rank correlation of paired values x and y, both [pair]: Pearson's correlation of their ranks, tied values
 * sharing the average of the ranks they span. −1 (one falls whenever the other grows) to 1.
 * Where one input is constant its ranks have no spread and the coefficient is not defined; the answer says so.
 * Source: Spearman (1904), Am. J. Psychol. 15, 72–101; Kendall (1948), Rank correlation methods, chapter 3 (ties).
 *
 * @throws StatisticsInputError for fewer than two pairs, unequal lengths, or a value that is not finite.
 * @example rankCorrelation([1, 2, 3], [10, 30, 20]); // { defined: true, coefficient: 0.5 }
 */
export function rankCorrelation(x: ArrayLike<number>, y: ArrayLike<number>): RankCorrelation {
  return rankCorrelationWith(y)(x);
}

/** The same for several x [pair] and one y, which is ranked once. Throws as {@link rankCorrelation}. */
export function rankCorrelationWith(y: ArrayLike<number>): (x: ArrayLike<number>) => RankCorrelation {
  let rankY: Float64Array | null = null;
  // Reused for every x: a million pairs would leave tens of megabytes behind each time.
  let scratch: RankScratch | null = null;
  return (x) => {
    requirePairs(x, y);
    const xConstant = isConstant(x);
    const yConstant = isConstant(y);
    if (xConstant || yConstant) {
      return { defined: false, constant: xConstant && yConstant ? 'both' : xConstant ? 'x' : 'y' };
    }
    scratch ??= new RankScratch(y.length);
    rankY ??= scratch.ranks(y).slice();
    return { defined: true, coefficient: pearson(scratch.ranks(x), rankY) };
  };
}

function requirePairs(x: ArrayLike<number>, y: ArrayLike<number>): void {
  if (x.length !== y.length) {
    throw new StatisticsInputError('y', `${y.length} values`, `as many as in x, ${x.length}, are needed`);
  }
  requireFiniteSample('x', x, 2);
  requireFiniteSample('y', y, 2);
}

/** Correlation of two sets of ranks: flat arrays, as a million pairs of objects would not fit where such a study does. */
function pearson(rankX: Float64Array, rankY: Float64Array): number {
  const mean = (rankX.length + 1) / 2;
  let xx = 0;
  let yy = 0;
  let xy = 0;
  for (let i = 0; i < rankX.length; i++) {
    const dx = rankX[i] - mean;
    const dy = rankY[i] - mean;
    xx += dx * dx;
    yy += dy * dy;
    xy += dx * dy;
  }
  return Math.min(1, Math.max(-1, xy / Math.sqrt(xx * yy)));
}

class RankScratch {
  private readonly sorted: Float64Array;
  private readonly rankOf: Float64Array;
  private readonly result: Float64Array;

  constructor(length: number) {
    this.sorted = new Float64Array(length);
    this.rankOf = new Float64Array(length);
    this.result = new Float64Array(length);
  }

  /** Rank of each value from 1, tied values sharing the average of the ranks they span; valid until the next call. */
  ranks(values: ArrayLike<number>): Float64Array {
    // Sorting numbers alone is far quicker than sorting their places; the places are then looked up.
    const { sorted, rankOf, result } = this;
    sorted.set(values);
    sorted.sort();
    let distinct = 0;
    for (let from = 0; from < sorted.length; ) {
      let to = from + 1;
      while (to < sorted.length && sorted[to] === sorted[from]) to++;
      sorted[distinct] = sorted[from];
      rankOf[distinct++] = (from + 1 + to) / 2;
      from = to;
    }
    for (let i = 0; i < result.length; i++) {
      let low = 0;
      let high = distinct - 1;
      while (low < high) {
        const middle = (low + high) >> 1;
        if (sorted[middle] < values[i]) low = middle + 1;
        else high = middle;
      }
      result[i] = rankOf[low];
    }
    return result;
  }
}

function isConstant(values: ArrayLike<number>): boolean {
  for (let i = 1; i < values.length; i++) {
    if (values[i] !== values[0]) return false;
  }
  return true;
}
