import { InputError } from '../rack/errors.js';
import { SCENARIO_QUANTITIES } from '../rack/studyModel.js';
import { choleskyFactor, type CorrelatedQuantities } from './correlatedQuantities.js';
import { normalQuantile } from './normalDistribution.js';
import { randomStream, type RandomStream } from './randomStream.js';

/** Permutations drawn anew when their scores happen to be linearly dependent, as they may in tiny designs. */
const TRIES = 1000;

/**
 * Latin hypercubes (McKay, Beckman & Conover 1979), one after the other: scenarios r·size..(r+1)·size−1 are replicate
 * r, in which each quantity meets each of its `size` strata exactly once. Replicates are independent.
 *
 * Rank correlations by rearranging the strata (Iman & Conover 1982): van der Waerden scores Φ⁻¹((stratum+1)/(size+1))
 * of independent permutations are whitened by the Cholesky factor of their own correlation matrix, given the wanted
 * one, and each quantity's strata are put in the order of the result. The margins stay stratified exactly.
 */
export class LatinHypercube {
  private replicate = -1;
  /** `[quantity][scenario of the replicate]`, 0..size−1. */
  private strata: Int32Array[] = [];

  /** @throws InputError when the design is too small to carry the correlations */
  constructor(
    private readonly seed: string,
    private readonly size: number,
    private readonly correlated: CorrelatedQuantities | null,
  ) {
    const least = correlated ? correlated.quantities.length + 1 : 1;
    if (!Number.isInteger(size) || size < least) {
      const allowed = `a whole number from ${least} is allowed for these quantities`;
      throw new InputError([{ file: 'study', path: 'sampling.size', found: String(size), allowed }]);
    }
  }

  /**
   * Stratum 0..size−1 in scenario `index` of a quantity (its position in SCENARIO_QUANTITIES), or of the source
   * arrangement (the position after these).
   */
  stratum(index: number, quantity: number): number {
    const replicate = Math.floor(index / this.size);
    if (replicate !== this.replicate) {
      this.strata = this.permute(replicate);
      // From a stream of its own, so that the quantities stay as they are where sources are not stratified.
      this.strata.push(permutation(this.size, randomStream(this.seed, replicate, 'source-strata')));
      this.replicate = replicate;
    }
    return this.strata[quantity][index - replicate * this.size];
  }

  private permute(replicate: number): Int32Array[] {
    const stream = randomStream(this.seed, replicate, 'strata');
    // Quantities that do not vary are permuted too, so that the others do not change when one begins to vary.
    const strata = SCENARIO_QUANTITIES.map(() => permutation(this.size, stream));
    if (this.correlated === null) return strata;
    const { quantities, factor } = this.correlated;
    for (let attempt = 0; attempt < TRIES; attempt++) {
      const columns = quantities.map((quantity) => strata[quantity]);
      const own = choleskyFactor(correlationOfScores(columns));
      if (own?.every((row, at) => row[at] > 0)) {
        rearranged(columns, own, factor).forEach((column, at) => {
          strata[quantities[at]] = column;
        });
        return strata;
      }
      for (const quantity of quantities) strata[quantity] = permutation(this.size, stream);
    }
    throw new RangeError(`Latin hypercube of ${this.size}: no independent permutations in ${TRIES} draws`);
  }
}

/** Each column's strata in the order of the correlated scores. */
function rearranged(
  columns: readonly Int32Array[],
  own: readonly (readonly number[])[],
  wanted: readonly (readonly number[])[],
): Int32Array[] {
  const size = columns[0].length;
  const scores = columns.map(scoresOf);
  const correlated = columns.map(() => new Float64Array(size));
  const white = new Float64Array(columns.length);
  for (let i = 0; i < size; i++) {
    for (let row = 0; row < columns.length; row++) {
      let rest = scores[row][i];
      for (let k = 0; k < row; k++) rest -= own[row][k] * white[k];
      white[row] = rest / own[row][row];
      let sum = 0;
      for (let k = 0; k <= row; k++) sum += wanted[row][k] * white[k];
      correlated[row][i] = sum;
    }
  }
  return correlated.map(ranksOf);
}

function correlationOfScores(columns: readonly Int32Array[]): number[][] {
  const scores = columns.map(scoresOf);
  const dot = (a: Float64Array, b: Float64Array): number => a.reduce((sum, value, i) => sum + value * b[i], 0);
  // Every column holds the same scores, of mean 0: one sum of squares serves all.
  const squares = dot(scores[0], scores[0]);
  return scores.map((a) => scores.map((b) => dot(a, b) / squares));
}

function scoresOf(strata: Int32Array): Float64Array {
  return Float64Array.from(strata, (stratum) => normalQuantile((stratum + 1) / (strata.length + 1)));
}

function ranksOf(values: Float64Array): Int32Array {
  const order = Array.from(values, (_, i) => i).sort((a, b) => values[a] - values[b] || a - b);
  const ranks = new Int32Array(values.length);
  order.forEach((i, rank) => {
    ranks[i] = rank;
  });
  return ranks;
}

function permutation(size: number, stream: RandomStream): Int32Array {
  const values = Int32Array.from({ length: size }, (_, at) => at);
  for (let at = size - 1; at > 0; at--) {
    const other = stream.integerBelow(at + 1);
    const value = values[at];
    values[at] = values[other];
    values[other] = value;
  }
  return values;
}
