import { logGamma } from './gamma.js';
import type { RandomStream } from './randomStream.js';

/**
 * Splits a total at random over the first `count` entries of `parts`: symmetric Dirichlet.
 *
 * Parts are total·Gᵢ/ΣG with independent gamma variates of shape `concentration` (Devroye 1986, Non-Uniform Random
 * Variate Generation, XI.4). Mean total/count, variance of a share (count−1)/(count²·(count·concentration+1)):
 * 1 is uniform over all splits, large is nearly even, small leaves most of the total to few.
 * @param concentration > 0
 */
export function splitAtRandom(
  total: number,
  count: number,
  concentration: number,
  stream: RandomStream,
  parts: Float64Array,
): void {
  let largest = -Infinity;
  for (let at = 0; at < count; at++) {
    parts[at] = logGamma(concentration, stream);
    largest = Math.max(largest, parts[at]);
  }
  let sum = 0;
  for (let at = 0; at < count; at++) {
    parts[at] = Math.exp(parts[at] - largest);
    sum += parts[at];
  }
  for (let at = 0; at < count; at++) parts[at] *= total / sum;
}
