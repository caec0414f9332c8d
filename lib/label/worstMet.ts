import type { WorstFound } from '../worst/answers.js';
import type { LabelSample } from './labelSample.js';

/** The lowest rated power any search or sample met. */
export interface WorstMet {
  /** W. */
  readonly power: number;
  /** enumerated: of all allowed placements; searched: by a search; sample: lowest of the sample, none was searched. */
  readonly kind: WorstFound['kind'] | 'sample';
  /** Lowest rated power of the sample, W, with its index; scenarios that could not be rated are no placement met. */
  readonly lowestOfSample: number;
  readonly lowestIndex: number;
}

/** Relative difference up to which a floor and a worst found, both computed to about 1e-8, count as equal. */
const EQUAL = 1e-6;

/** The worst found by a search, or else the lowest of the sample. */
export function worstMet({ ratedPower, limit }: LabelSample, worstFound: WorstFound | null): WorstMet {
  let lowestIndex = -1;
  for (let i = 0; i < ratedPower.length; i++) {
    if (limit[i] !== null && (lowestIndex < 0 || ratedPower[i] < ratedPower[lowestIndex])) lowestIndex = i;
  }
  const lowestOfSample = ratedPower[lowestIndex];
  return worstFound === null
    ? { power: lowestOfSample, kind: 'sample', lowestOfSample, lowestIndex }
    : { power: worstFound.rated.power, kind: worstFound.kind, lowestOfSample, lowestIndex };
}

/** Rated scenarios that do not carry a label, W. */
export function ratedBelow({ ratedPower, limit }: LabelSample, label: number): number {
  let count = 0;
  for (let i = 0; i < ratedPower.length; i++) if (limit[i] !== null && ratedPower[i] < label) count++;
  return count;
}

/** @throws RangeError for a floor above the worst found (both W; null where not known), or a power below 0 */
export function requireBoundsAgree(floor: number | null, worstFound: number | null): void {
  for (const [name, power] of [['floor', floor], ['worstFound', worstFound]] as const) {
    if (power !== null && !(power >= 0 && Number.isFinite(power))) {
      throw new RangeError(`${name}: found ${power} W; a finite power of at least 0 W is needed`);
    }
  }
  if (floor !== null && worstFound !== null && floor > worstFound * (1 + EQUAL)) {
    throw new RangeError(
      `floor: found ${floor} W above the worst found of ${worstFound} W; a floor is at most the worst found: `
      + 'compute both for the same rack, rules and ranges',
    );
  }
}
