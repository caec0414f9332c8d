import type { PlacedUnit } from '../draw/index.js';

/**
 * One line per rack, bottom slot at the left: S power shelf, B battery shelf, 1–9 a load by its power per slot (9 = the
 * densest of this rack), . an empty slot. A unit of several slots repeats its mark.
 *
 * @example placementPicture(units, 12) // '99..SS.4411.'
 */
export function placementPicture(units: readonly PlacedUnit[], slotCount: number): string {
  const marks = new Array<string>(slotCount).fill('.');
  const density = (unit: PlacedUnit) => unit.power / unit.heightSlots;
  const densest = Math.max(0, ...units.filter((u) => u.kind === 'load').map(density));
  for (const unit of units) {
    const mark = unit.kind === 'power-shelf' ? 'S' : unit.kind === 'battery-shelf' ? 'B' : loadMark(density(unit), densest);
    for (let s = unit.bottomSlot; s < unit.bottomSlot + unit.heightSlots; s++) marks[s - 1] = mark;
  }
  return marks.join('');
}

function loadMark(density: number, densest: number): string {
  return densest > 0 ? String(Math.min(9, Math.max(1, Math.ceil((9 * density) / densest - 1e-9)))) : '1';
}
