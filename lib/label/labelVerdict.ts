import type { Floor } from '../worst/answers.js';
import { countOfScenarios, kilowattsDown, rangesWords } from './words.js';
import type { WorstMet } from './worstMet.js';

/** What is known about a label over all allowed placements. */
export interface LabelVerdict {
  /** label ≤ floor. */
  readonly provenByFloor: boolean;
  /** A placement was met that does not carry it: label > worst found, or a scenario of the sample rated below it. */
  readonly placementFails: boolean;
  /**
   * proven: every allowed placement carries it, within the ranges of the floor; refuted: a placement was met that does
   * not; open: neither, between the floor and the worst found.
   */
  readonly verdict: 'proven' | 'refuted' | 'open';
  readonly verdictWords: string;
}

/** The verdict on one label, W; `failing` rated scenarios of the sample do not carry it. */
export function verdictOf(
  label: number, floor: Floor | null, worst: WorstMet, failing: number, scenarios: number,
): LabelVerdict {
  const provenByFloor = floor !== null && label <= floor.power;
  const placementFails = label > worst.power || failing > 0;
  if (floor !== null && provenByFloor) {
    const words = `proven: every allowed placement carries it, ${rangesWords(floor.ranges)} `
      + `(floor ${kilowattsDown(floor.power)})`;
    const verdictWords = words + beyondRanges(worst, failing, scenarios);
    return { provenByFloor, placementFails, verdict: 'proven', verdictWords };
  }
  const floorWords = floor === null ? 'no floor is proven yet' : `the floor is ${kilowattsDown(floor.power)}`;
  if (placementFails) {
    const met = label > worst.power
      ? { power: worst.power, by: worst.kind === 'sample' ? 'in the sample' : 'by the search' }
      : { power: worst.lowestOfSample, by: 'in the sample, below what the search met' };
    return {
      provenByFloor, placementFails, verdict: 'refuted',
      verdictWords: `refuted: a placement rated at ${kilowattsDown(met.power)} was found ${met.by}; ${floorWords}`,
    };
  }
  return {
    provenByFloor, placementFails, verdict: 'open',
    verdictWords: `open: ${floorWords}, the lowest rated power found is ${kilowattsDown(worst.power)}; `
      + 'a placement that does not carry it may exist',
  };
}

/** A sample may hold builds rarer than those a floor is proven for; the reader has to know. */
export function beyondRanges({ lowestIndex }: WorstMet, failing: number, scenarios: number): string {
  if (failing === 0) return '';
  return `; but ${countOfScenarios(failing, scenarios)} of the sample do not carry it: either their builds lie outside `
    + `these ranges or the floor is wrong, replay scenario ${lowestIndex} to see`;
}
