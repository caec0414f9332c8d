import { ascendingOrder } from '../statistics/index.js';
import type { LabelSample } from './labelSample.js';

interface Ascending {
  /** Scenarios, lowest rated power first, ties by index, `[rank]`. */
  readonly order: Uint32Array;
  /** W, `[rank]`. */
  readonly powers: Float64Array;
}

const known = new WeakMap<LabelSample['ratedPower'], Ascending>();

/** Says what the powers of a sample are in order, where that is known already. */
export function keepAscending(ratedPower: LabelSample['ratedPower'], ascending: Ascending): void {
  known.set(ratedPower, ascending);
}

/**
 * Rated powers of all scenarios in ascending order, W, `[rank]`; those that could not be rated carry nothing. Sorted once
 * for each sample, and to be read only.
 */
export function ascendingPowers(sample: Pick<LabelSample, 'ratedPower'>): Float64Array {
  return ascending(sample).powers;
}

/** Indices of all scenarios in the order of {@link ascendingPowers}. */
export function ascendingScenarios(sample: Pick<LabelSample, 'ratedPower'>): Uint32Array {
  return ascending(sample).order;
}

function ascending({ ratedPower }: Pick<LabelSample, 'ratedPower'>): Ascending {
  let found = known.get(ratedPower);
  if (found === undefined) {
    const order = ascendingOrder(ratedPower);
    found = { order, powers: Float64Array.from(order, (i) => ratedPower[i]) };
    known.set(ratedPower, found);
  }
  return found;
}
