import type { Study } from '../../lib/rack/studyModel.js';
import { brokenRules, unitsCollide, type RuledUnit } from '../../lib/draw/brokenRules.js';
import { enumerateSourceArrangements } from '../../lib/draw/enumerateSourceArrangements.js';
import type { StandingSource } from '../../lib/draw/sourceArrangements.js';

/** An arrangement's sources as units. */
export function sourceUnits(study: Study, arrangement: readonly StandingSource[]): RuledUnit[] {
  return arrangement.map(({ id, bottomSlot }) => {
    const type = study.catalogue.sources.find((one) => one.id === id);
    if (!type) throw new Error(`no source ${id}`);
    return { kind: type.kind, equipment: id, bottomSlot, heightSlots: type.heightSlots, power: 0 };
  });
}

/**
 * Every way to place `count` alike loads of `power` W each beside these sources that keeps all rules: plain recursion
 * over lowest slots and a check of the finished placement.
 */
export function loadPlacements(
  study: Study,
  sources: readonly RuledUnit[],
  id: string,
  count: number,
  power: number,
): number[][] {
  const { heightSlots } = study.catalogue.loads.find((one) => one.id === id) ?? { heightSlots: NaN };
  const found: number[][] = [];
  const add = (from: number, bottoms: readonly number[]): void => {
    if (bottoms.length === count) {
      const loads = bottoms.map(
        (bottomSlot): RuledUnit => ({ kind: 'load', equipment: id, bottomSlot, heightSlots, power }),
      );
      const units = [...sources, ...loads];
      if (unitsCollide(study.rack.slotCount, units)) return;
      if (brokenRules(study.rules, study.rack.slotCount, units).length === 0) found.push([...bottoms]);
      return;
    }
    for (let bottom = from; bottom + heightSlots - 1 <= study.rack.slotCount; bottom++) {
      add(bottom + heightSlots, [...bottoms, bottom]);
    }
  };
  add(1, []);
  return found;
}

/** Source arrangements with their load placements, those without any left out. */
export function enumeratePlacements(
  study: Study,
  id: string,
  count: number,
  power: number,
): { sources: StandingSource[]; loads: number[][] }[] {
  return [...enumerateSourceArrangements(study)]
    .map((sources) => ({ sources, loads: loadPlacements(study, sourceUnits(study, sources), id, count, power) }))
    .filter(({ loads }) => loads.length > 0);
}
