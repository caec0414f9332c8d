import type { RuledUnit } from '../draw/index.js';
import type { StandingUnits } from '../draw/standingUnits.js';

/** Why a draw cannot put these loads beside these sources; null where it can. Places and rules are checked already. */
export type ObjectionToLoads = (sources: readonly RuledUnit[], loads: readonly RuledUnit[]) => string | null;

/** Relative: what a sum of powers may differ by. */
export const ROUNDING = 1e-9;

/** Puts placed sources into a rack that is empty but for them. */
export function standSources(standing: StandingUnits, sources: readonly RuledUnit[]): void {
  standing.clear();
  for (const { equipment, bottomSlot, heightSlots } of sources) {
    standing.put(standing.book.types.source(equipment, 'placement').index, bottomSlot, heightSlots, 0);
  }
}
