import type { Study } from '../rack/studyModel.js';
import { brokenRules, positionsKept, type RuledUnit } from './brokenRules.js';
import type { StandingSource } from './sourceArrangements.js';

/**
 * Every source arrangement the rules and positions allow, one after the other, each from the bottom up.
 *
 * Plain recursion over the slots with a check of the finished arrangement: nothing in common with the counting in
 * `SourceArrangements`, which it is there to check. Takes as many steps as there are arrangements without rules, so
 * keep to small racks. `max-power-…` rules and rules on loads hold by themselves, no load being there.
 */
export function* enumerateSourceArrangements(study: Study): Generator<StandingSource[]> {
  const { catalogue, rack, rules, sources } = study;
  const { positions } = sources;
  const ids: readonly string[] =
    positions.draw === 'fixed'
      ? positions.units.map((unit) => unit.id)
      : sources.units.flatMap(({ id, count }) => new Array<string>(count).fill(id));
  const left = new Map<string, number>();
  for (const id of ids) left.set(id, (left.get(id) ?? 0) + 1);

  for (const units of arrange(1, [])) {
    if (positionsKept(positions, units) && brokenRules(rules, rack.slotCount, units).length === 0) {
      yield units.map(({ equipment, bottomSlot }) => ({ id: equipment, bottomSlot }));
    }
  }

  function* arrange(slot: number, below: readonly RuledUnit[]): Generator<readonly RuledUnit[]> {
    if (below.length === ids.length) yield below;
    if (below.length === ids.length || slot > rack.slotCount) return;
    yield* arrange(slot + 1, below);
    for (const [id, count] of left) {
      const type = catalogue.sources.find((source) => source.id === id);
      if (count === 0 || !type || slot + type.heightSlots - 1 > rack.slotCount) continue;
      left.set(id, count - 1);
      const { kind, heightSlots } = type;
      yield* arrange(slot + heightSlots, [...below, { kind, equipment: id, bottomSlot: slot, heightSlots, power: 0 }]);
      left.set(id, count);
    }
  }
}
