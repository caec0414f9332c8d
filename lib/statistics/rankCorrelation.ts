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
  if (x.length !== y.length) {
    throw new StatisticsInputError('y', `${y.length} values`, `as many as in x, ${x.length}, are needed`);
  }
  requireFiniteSample('x', x, 2);
  requireFiniteSample('y', y, 2);
  const xConstant = isConstant(x);
  const yConstant = isConstant(y);
  if (xConstant || yConstant) {
    return { defined: false, constant: xConstant && yConstant ? 'both' : xConstant ? 'x' : 'y' };
  }
  // Ranks in flat arrays: a million pairs of objects would not fit where a study of that size does.
  const [rankX, rankY] = [ranks(x), ranks(y)];
  const mean = (x.length + 1) / 2;
  let [xx, yy, xy] = [0, 0, 0];
  for (let i = 0; i < x.length; i++) {
    const [dx, dy] = [rankX[i] - mean, rankY[i] - mean];
    xx += dx * dx;
    yy += dy * dy;
    xy += dx * dy;
  }
  return { defined: true, coefficient: Math.min(1, Math.max(-1, xy / Math.sqrt(xx * yy))) };
}

/** Rank of each value from 1, tied values sharing the average of the ranks they span. */
function ranks(values: ArrayLike<number>): Float64Array {
  const order = Uint32Array.from({ length: values.length }, (_, i) => i).sort((a, b) => values[a] - values[b]);
  const result = new Float64Array(values.length);
  for (let from = 0; from < order.length; ) {
    let to = from + 1;
    while (to < order.length && values[order[to]] === values[order[from]]) to++;
    for (let k = from; k < to; k++) result[order[k]] = (from + 1 + to) / 2;
    from = to;
  }
  return result;
}

function isConstant(values: ArrayLike<number>): boolean {
  for (let i = 1; i < values.length; i++) {
    if (values[i] !== values[0]) return false;
  }
  return true;
}
