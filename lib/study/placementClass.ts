import type { PlacedUnit } from '../draw/scenario.js';

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
export function placementClassIndex(units: readonly PlacedUnit[], slotCount: number): number {
  let thirds = 0;
  for (const unit of units) {
    if (unit.kind === 'power-shelf') {
      thirds |= 1 << Math.min(2, Math.floor((3 * (unit.contactSlot - 1)) / slotCount));
    }
  }
  // A rack that runs on batteries alone is classed by those.
  if (thirds === 0) {
    for (const unit of units) {
      if (unit.kind === 'battery-shelf') {
        thirds |= 1 << Math.min(2, Math.floor((3 * (unit.contactSlot - 1)) / slotCount));
      }
    }
  }
  return thirds - 1;
}
