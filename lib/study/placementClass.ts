import { BATTERY_SHELF, POWER_SHELF, UNIT, UNIT_FIELDS, type UnitRows } from '../draw/unitRows.js';

/** Which thirds of the rack's height hold power shelves. */
export const PLACEMENT_CLASSES = [
  'sources at the bottom',
  'sources in the middle',
  'sources at the bottom and in the middle',
  'sources at the top',
  'sources at the bottom and at the top',
  'sources in the middle and at the top',
  'sources in all thirds',
] as const;
export type PlacementClass = (typeof PLACEMENT_CLASSES)[number];

/** Index into PLACEMENT_CLASSES: thirds are those of the slot count, a shelf belongs to the third of its contact. */
export function placementClassIndex(rows: UnitRows, slotCount: number): number {
  // A rack that runs on batteries alone is classed by those.
  const thirds = thirdsWith(POWER_SHELF, rows, slotCount) || thirdsWith(BATTERY_SHELF, rows, slotCount);
  return thirds - 1;
}

/** One bit for each third that holds a contact of the kind. */
function thirdsWith(kind: number, { count, numbers }: UnitRows, slotCount: number): number {
  let thirds = 0;
  for (let at = 0; at < UNIT_FIELDS * count; at += UNIT_FIELDS) {
    if (numbers[at + UNIT.kind] !== kind) continue;
    thirds |= 1 << Math.min(2, Math.floor((3 * (numbers[at + UNIT.contactSlot] - 1)) / slotCount));
  }
  return thirds;
}
