import type { ProblemLog } from '../text/problemLog.js';

/** Logs a band upside down or past the rack; true where it is neither. */
export function logBand(
  band: { readonly fromSlot: number; readonly toSlot: number }, path: string, slotCount: number | null, log: ProblemLog,
): boolean {
  if (band.fromSlot > band.toSlot) {
    log.add(`${path}.toSlot`, String(band.toSlot), `give a slot from "fromSlot" (${band.fromSlot}) upwards`);
    return false;
  }
  if (slotCount !== null && band.toSlot > slotCount) {
    log.add(`${path}.toSlot`, String(band.toSlot), `give at most ${slotCount}, the number of slots of the rack`);
    return false;
  }
  return true;
}
