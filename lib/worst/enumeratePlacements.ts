/** All placements of small studies, one by one: what searches and proofs are checked against. */
import type { PlacedUnit, RuledUnit } from '../draw/index.js';
import { placedUnit } from '../draw/placedUnit.js';
import { preparePlacements } from '../draw/placements.js';
import { ruleBook } from '../draw/ruleBook.js';
import type { Study } from '../rack/index.js';
import { allowedPlacement } from './allowedPlacement.js';
import { loadsBesideOf } from './enumerateLoads.js';
import { sourceArrangementsOf } from './enumerateSources.js';

export interface EnumerateOptions {
  /** Most placements yielded, and a thousandth of the most branches tried for them. */
  readonly limit: number;
  /** For `random-split`: powers are multiples of total/powerSteps; left out: the corners of what is allowed. */
  readonly powerSteps?: number;
}

/** Branches per placement of the limit: most branches end without a placement. */
const BRANCHES = 1000;

/**
 * Every allowed placement of a study, units from the bottom up with the contact resistances of the catalogue.
 *
 * `even`, `all-or-nothing`, `fixed`, `inventory`: all there are. `catalogue`, `random-split`: every choice of places, with
 * powers at the corners of what is allowed there: each unit at an end of its range, or all but one, which takes what the
 * total or a band's cap leaves. The largest temperature and the largest current over shares of one total lie at such
 * corners where they are convex in the loads; several units between their ends at once (two caps that bind together)
 * are not visited.
 * @throws RangeError when there are more than `limit`, or so many branches that they would take too long
 */
export function* enumeratePlacements(study: Study, options: EnumerateOptions): Generator<PlacedUnit[]> {
  const { limit, powerSteps } = options;
  let branches = 0;
  let count = 0;
  const refuse = (): never => {
    const allowed = 'a smaller study or a higher limit is allowed';
    throw new RangeError(`found more than ${limit} placements to enumerate; ${allowed}`);
  };
  const step = (): void => {
    if (++branches > BRANCHES * limit) refuse();
  };
  const book = ruleBook(study);
  const { allows } = allowedPlacement(study);
  const toUnits = unitsOf(study);
  const loadsBeside = loadsBesideOf(study, book, powerSteps ?? null, step);
  for (const sources of sourceArrangementsOf(study, book, step)) {
    for (const loads of loadsBeside(sources)) {
      const units = [...sources, ...loads];
      if (!allows(units)) continue;
      if (++count > limit) refuse();
      yield toUnits(units);
    }
  }
}

/**
 * How many placements a study has at most, without visiting them; null where the draw leaves that open.
 *
 * `fixed`: the source arrangements around the loads, exactly. `inventory` with observed places: the source arrangements
 * times the racks. Both can be many and still be rated one by one.
 */
export function countPlacements(study: Study): number | null {
  const draw = study.loads;
  if (draw.draw === 'fixed') return preparePlacements(study).sources.count;
  if (draw.draw === 'inventory' && draw.places === 'observed') {
    return preparePlacements(study).sources.count * draw.racks.length;
  }
  return null;
}

/** Turns units as the rules see them into placed units of the catalogue, from the bottom up. */
export function unitsOf(study: Study): (units: readonly RuledUnit[]) => PlacedUnit[] {
  const { types } = ruleBook(study);
  return (units) =>
    [...units].sort((a, b) => a.bottomSlot - b.bottomSlot).map(({ kind, equipment, bottomSlot, heightSlots, power }) => {
      const type = kind === 'load' ? types.load(equipment, 'placement') : types.source(equipment, 'placement');
      const { resistance } = type.contact;
      return placedUnit(type, bottomSlot, heightSlots, power, [resistance, resistance], 1);
    });
}
