/** The floor of a study with so few placements that every one can be rated. */
import { NOMINAL_BUILD } from '../draw/scenario.js';
import { LIMIT_WORDS, RackModel, type RatedPower } from '../ladder/index.js';
import type { Study } from '../rack/index.js';
import type { Floor } from './answers.js';
import { countPlacements, enumeratePlacements } from './enumeratePlacements.js';
import type { ToleranceRanges } from './toleranceRanges.js';

/** Placements that are rated one by one rather than bounded. */
const LIMIT = 200_000;

/**
 * The lowest rated power of all placements of a study, everything as the files say; null where the placements cannot be
 * counted or are too many, and where ranges are asked for: within a range no end need be the worst.
 *
 * @param until given the time, may say to stop; the answer is then null
 */
export function enumeratedFloor(study: Study, ranges: ToleranceRanges, now: () => number, seconds?: number): Floor | null {
  if (ranges.coverPercent !== null) return null;
  const count = countPlacements(study);
  if (count === null || count > LIMIT) return null;
  const started = now();
  const model = new RackModel(study.rack);
  let lowest: RatedPower | null = null;
  let rated = 0;
  for (const units of enumeratePlacements(study, { limit: LIMIT })) {
    const found = model.rateBelow({ index: rated++, units, build: NOMINAL_BUILD }, lowest?.power ?? Number.POSITIVE_INFINITY);
    if (found !== null) lowest = found;
    if (seconds !== undefined && rated % 256 === 0 && now() - started > 1000 * seconds) return null;
  }
  if (lowest === null) return null;
  return {
    kind: 'enumerated', power: lowest.power, ranges, classes: rated, seconds: (now() - started) / 1000, finished: true,
    limitedBy: `${LIMIT_WORDS[lowest.limit]} at slot ${lowest.slot}`,
  };
}
