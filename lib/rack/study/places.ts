import type { ProblemLog } from '../text/problemLog.js';
import { describeSpan, overlaps } from '../text/spans.js';

/** A unit at a given place. */
export interface FixedPlace {
  readonly id: string;
  readonly bottomSlot: number;
  readonly heightSlots: number;
  /** Path of the unit in the file. */
  readonly path: string;
}

/** Logs units that pass the top of the rack or share a slot. */
export function logPlaces(places: readonly FixedPlace[], slotCount: number, log: ProblemLog): void {
  const spans = places.map(({ bottomSlot, heightSlots }) => ({ from: bottomSlot, to: bottomSlot + heightSlots - 1 }));
  const inside = places.map(({ id, path, heightSlots }, index) => {
    if (spans[index].to > slotCount) {
      log.add(`${path}.bottomSlot`, `${spans[index].from}, for "${id}" of ${heightSlots} slots`,
        `give 1 to ${slotCount - heightSlots + 1}: the rack has ${slotCount} slots`);
    }
    return spans[index].to <= slotCount;
  });
  const kept = places.map((_, index) => index).filter((index) => inside[index]);
  for (const [lower, upper] of overlaps(kept.map((index) => spans[index]))) {
    const above = kept[upper];
    const below = kept[lower];
    log.add(`${places[above].path}.bottomSlot`,
      `${spans[above].from}, for "${places[above].id}" on ${describeSpan(spans[above])}`,
      `units may not overlap, and ${places[below].path} takes ${describeSpan(spans[below])}`);
  }
}

/** Logs a unit that is taller than the rack; true where it fits. */
export function logTooTall(
  type: { readonly id: string; readonly heightSlots: number }, path: string, slotCount: number, log: ProblemLog,
): boolean {
  if (type.heightSlots > slotCount) {
    log.add(path, `"${type.id}", ${type.heightSlots} slots high`,
      `give units that fit: the rack has ${slotCount} slots`);
  }
  return type.heightSlots <= slotCount;
}
