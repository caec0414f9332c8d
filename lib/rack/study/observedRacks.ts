import type { Catalogue } from '../model.js';
import type { ObservedRack } from '../studyModel.js';
import type { ProblemLog } from '../text/problemLog.js';
import { findLoad } from './catalogueIds.js';

/** A problem with its place, before those of one kind are put together. */
interface Case {
  readonly where: string;
  readonly found: string;
  readonly allowed: string;
}

/** One message for all cases of one kind: an inventory repeats its mistakes in hundreds of lines. */
function logCases(cases: readonly Case[], log: ProblemLog): void {
  const others = cases.length - 1;
  if (others >= 0) {
    const more = others === 0 ? '' : ` (and ${others} more like it)`;
    log.add(cases[0].where, cases[0].found + more, cases[0].allowed);
  }
}

/** Equipment must be a load of the catalogue, with the catalogue's height. */
function logEquipment(racks: readonly ObservedRack[], catalogue: Catalogue, log: ProblemLog): void {
  const units = racks.flatMap(({ rack, units: inRack }) => inRack.map((unit) => ({ rack, unit })));
  for (const id of new Set(units.map(({ unit }) => unit.equipment))) {
    const those = units.filter(({ unit }) => unit.equipment === id);
    const where = (index: number): string => `rack ${those[index].rack}, bottomSlot ${those[index].unit.bottomSlot}`;
    const type = findLoad(id, `${where(0)}, column equipment`, catalogue, log);
    const cases = those.flatMap(({ unit }, index): Case[] => (
      type === null || unit.heightSlots === type.heightSlots ? [] : [{
        where: `${where(index)}, column heightSlots`,
        found: `${unit.heightSlots} for "${id}"`,
        allowed: `give ${type.heightSlots}, its height in the catalogue`,
      }]
    ));
    logCases(cases, log);
  }
}

/** Units must stand within the rack, and leave room for the study's sources. */
function logRoom(racks: readonly ObservedRack[], slotCount: number, sourceSlots: number | null, log: ProblemLog): void {
  const past = racks.flatMap(({ rack, units }) => units
    .filter(({ bottomSlot, heightSlots }) => bottomSlot + heightSlots - 1 > slotCount)
    .map(({ bottomSlot, heightSlots }): Case => ({
      where: `rack ${rack}, bottomSlot ${bottomSlot}`,
      found: `a unit up to slot ${bottomSlot + heightSlots - 1}`,
      allowed: `the rack of the study has ${slotCount} slots`,
    })));
  logCases(past, log);
  if (past.length > 0 || sourceSlots === null) {
    return;
  }
  logCases(racks.flatMap(({ rack, units }): Case[] => {
    const height = units.reduce((sum, { heightSlots }) => sum + heightSlots, 0);
    return height <= slotCount - sourceSlots ? [] : [{
      where: `rack ${rack}`,
      found: `units of ${height} slots`,
      allowed: `at most ${slotCount - sourceSlots} fit: the rack of the study has ${slotCount} slots and its sources `
        + `need ${sourceSlots}; leave such racks out of the inventory or give fewer sources`,
    }];
  }), log);
}

/** Checks an inventory against the catalogue and the rack it is to be placed in; null skips what needs that input. */
export function logObservedRacks(
  racks: readonly ObservedRack[], catalogue: Catalogue | null, slotCount: number | null, sourceSlots: number | null,
  log: ProblemLog,
): void {
  if (catalogue !== null) {
    logEquipment(racks, catalogue, log);
  }
  if (slotCount !== null) {
    logRoom(racks, slotCount, sourceSlots, log);
  }
}
