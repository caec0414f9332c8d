import { describe, expect, it } from 'vitest';
import { scenarioSource } from '../../lib/draw/index.js';
import { ruleBook } from '../../lib/draw/ruleBook.js';
import type { Study } from '../../lib/rack/index.js';
import { loadFamilies, powerWithin } from '../../lib/worst/loadFamilies.js';
import { smallStudy } from './smallStudies.js';

/** Whether a family holds these loads: a total in range and every unit's power and place among its options. */
function holds(study: Study, units: readonly { equipment: string; heightSlots: number; bottomSlot: number; power: number }[]): boolean {
  const slack = 1 + 1e-9;
  return loadFamilies(study, ruleBook(study)).some((family) => {
    // Families that count units give each of them the power 1.
    const unit = family.counts ? units[0].power : 1;
    const total = units.reduce((sum, { power }) => sum + power, 0) / unit;
    if (total * slack < family.total.min || total > family.total.max * slack) return false;
    return units.every(({ equipment, heightSlots, bottomSlot, power }) => family.options.some((option, o) => {
      const { min, max } = powerWithin(family, family.total, o);
      return option.type.id === equipment && option.heightSlots === heightSlots && option.bottoms[bottomSlot] === 1
        && (power / unit) * slack >= min && power / unit <= max * slack;
    }));
  });
}

describe('the families of a study', () => {
  it('hold every placement drawn, of every draw and rule', () => {
    const kinds = new Set<string>();
    for (let seed = 0; seed < 140; seed++) {
      const study = smallStudy(seed);
      const source = scenarioSource(study);
      kinds.add(study.loads.draw);
      for (let i = 0; i < 25; i++) {
        const loads = source.draw(i).scenario.units.filter(({ kind }) => kind === 'load');
        expect(holds(study, loads), `seed ${seed}, ${study.loads.draw}, scenario ${i}`).toBe(true);
      }
    }
    expect(kinds.size).toBe(6);
  });

  it('let tall units of an inventory be missing where sources at fixed places leave no stretch for them', () => {
    const inventory = Array.from({ length: 200 }, (_, seed) => smallStudy(seed)).find(({ loads }) => loads.draw === 'inventory');
    if (inventory?.loads.draw !== 'inventory') throw new Error('some study resamples an inventory');
    const tall = inventory.catalogue.loads.find(({ contactSlot }) => contactSlot === 1);
    if (!tall) throw new Error('some load has its contact in its lowest slot');
    const unit = (bottomSlot: number, power: number) => ({ equipment: tall.id, bottomSlot, heightSlots: 3, power });
    const study: Study = {
      ...inventory, rules: [], rack: { ...inventory.rack, slotCount: 11 },
      sources: {
        units: [],
        positions: { draw: 'fixed', units: [3, 6, 9].map((bottomSlot) => ({ id: inventory.catalogue.sources[0].id, bottomSlot })) },
      },
      loads: { draw: 'inventory', places: 'shuffled', racks: [{ rack: 'a', units: [unit(1, 3000), { ...unit(5, 400), heightSlots: 1 }] }] },
    };
    const [family] = loadFamilies(study, ruleBook(study));
    expect(family.total).toEqual({ min: 400, max: 3400 });
  });

  it('count a catalogue’s rack as full only where some load of one slot may stand in every slot', () => {
    const base = Array.from({ length: 20 }, (_, seed) => smallStudy(seed)).find(({ loads }) => loads.draw === 'catalogue');
    if (base?.loads.draw !== 'catalogue') throw new Error('some study fills its rack from the catalogue');
    const loads = { ...base.loads, totalPower: 60e3 };
    const of = (study: Study) => loadFamilies(study, ruleBook(study));
    const free = of({ ...base, rules: [], loads });
    expect(free).toHaveLength(2);
    expect(free[1].mayLeaveEmpty).toBe(false);
    // Where nodes keep out of any one slot, or none is in the catalogue, slots may stay empty: the total may be the least load's.
    for (const slot of [1, 4, base.rack.slotCount]) {
      const kept = of({ ...base, loads, rules: [{ rule: 'keep-out', units: { id: 'node' }, fromSlot: slot, toSlot: slot }] });
      expect(kept.map(({ total, mayLeaveEmpty }) => ({ total, mayLeaveEmpty }))).toEqual([{ total: { min: 1500, max: 60e3 }, mayLeaveEmpty: true }]);
    }
    const tall = { ...base.catalogue, loads: base.catalogue.loads.filter(({ heightSlots }) => heightSlots > 1) };
    expect(of({ ...base, rules: [], loads, catalogue: tall }).map(({ total }) => total)).toEqual([{ min: 2000, max: 60e3 }]);
  });
});
