import type { LabelSample } from './labelSample.js';

const known = new WeakMap<LabelSample['ratedPower'], Float64Array>();

/**
 * Rated powers of all scenarios in ascending order, W, `[rank]`; those that could not be rated carry nothing. Sorted once
 * for each sample, and to be read only.
 */
export function ascendingPowers({ ratedPower }: Pick<LabelSample, 'ratedPower'>): Float64Array {
  let sorted = known.get(ratedPower);
  if (sorted === undefined) {
    sorted = new Float64Array(ratedPower).sort();
    known.set(ratedPower, sorted);
  }
  return sorted;
}
