import type { Build, PlacedUnit } from '../../lib/draw/index.js';
import { RackModel } from '../../lib/ladder/index.js';
import type { Study } from '../../lib/rack/index.js';
import { enumeratePlacements } from '../../lib/worst/enumeratePlacements.js';
import type { ToleranceRanges } from '../../lib/worst/toleranceRanges.js';

/** Every placement of a study rated, the build at the ends that leave least: inlet and sharing weights at both ends. */
export interface TrueWorst {
  /** W. */
  readonly power: number;
  readonly placements: number;
}

/**
 * The lowest rated power of all placements of a small study, by brute force.
 * @returns null where there are more than `limit`
 */
export function trueWorst(study: Study, ranges: ToleranceRanges, limit: number): TrueWorst | null {
  const model = new RackModel(study.rack);
  let power = Infinity;
  let placements = 0;
  try {
    for (const units of enumeratePlacements(study, { limit })) {
      placements++;
      for (const weighted of builds(units, study, ranges)) {
        for (const inlet of new Set([ranges.inlet.min, ranges.inlet.max])) {
          power = Math.min(power, model.rate({ index: 0, units: weighted, build: worstBuild(ranges, inlet) }).power);
        }
      }
    }
  } catch (error) {
    if (error instanceof RangeError && error.message.includes('to enumerate')) return null;
    throw error;
  }
  return { power, placements };
}

export function worstBuild(ranges: ToleranceRanges, inlet: number): Build {
  return {
    contactFactor: ranges.contactFactor.max, filmFactor: ranges.filmFactor.min,
    emissivity: ranges.emissivity?.min ?? null, areaFactor: ranges.areaFactor.min, inlet,
  };
}

/** Contacts at their most; under equal sharing each source at either end of its weights. */
function* builds(units: readonly PlacedUnit[], study: Study, ranges: ToleranceRanges): Generator<PlacedUnit[]> {
  const { sourceContact, loadContact, sharingWeight: { min, max } } = ranges;
  const built = units.map((unit): PlacedUnit => {
    const most = unit.kind === 'load' ? loadContact?.max : sourceContact?.max;
    return most === undefined ? unit : { ...unit, contactResistance: [most, most] };
  });
  yield built;
  if (min === max || study.rack.sharing.model === 'droop') return;
  const sources = built.flatMap(({ kind }, at) => (kind === 'load' ? [] : [at]));
  for (let heavy = 1; heavy < 2 ** sources.length - 1; heavy++) {
    yield built.map((unit, at) => {
      const source = sources.indexOf(at);
      return source < 0 ? unit : { ...unit, sharingWeight: (heavy >> source) % 2 === 1 ? max : min };
    });
  }
}
