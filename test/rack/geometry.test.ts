import { describe, expect, it } from 'vitest';
import { conductorMass, parseRack, sectionArea, sectionAt } from '../../lib/rack/index.js';
import { applied, rack, RACK } from './fixtures.js';

const section = (fromSlot: number, toSlot: number, count: number, material: string) => ({
  fromSlot,
  toSlot,
  material,
  plates: count === 1 ? { count, depthMm: 100, thicknessMm: 5 } : { count, depthMm: 100, thicknessMm: 5, gapMm: 5 },
  emissivity: 0.4,
});

const stepped = parseRack(applied(RACK, [['poles', {
  supply: { sections: [section(1, 4, 2, 'copper-iacs-100'), section(5, 10, 1, 'copper-iacs-100')] },
  return: { sections: [section(1, 10, 1, 'aluminium-61')] },
}]]));

describe('the geometry of a bar', () => {
  it('adds the areas of all plates of a section', () => {
    expect(stepped.supply.sections.map(sectionArea)).toEqual([1e-3, 0.5e-3]);
  });

  it('finds the section of a slot, ends included', () => {
    expect([1, 4, 5, 10].map((slot) => sectionAt(stepped.supply, slot).plates.count)).toEqual([2, 2, 1, 1]);
    expect(() => sectionAt(stepped.supply, 11)).toThrow(RangeError);
    expect(() => sectionAt(stepped.supply, 0)).toThrow('slot 0');
  });

  it('weighs each pole over the full height: copper 8890 kg/m³ (IEC 60028), aluminium 2700 kg/m³ (from memory)', () => {
    const mass = conductorMass(stepped);
    // 4 slots of 0.05 m at 1000 mm² and 6 at 500 mm²: 3.5e-4 m³.
    expect(mass.supply).toBeCloseTo(8890 * 3.5e-4, 12);
    expect(mass.return).toBeCloseTo(2700 * 2.5e-4, 12);
    expect(mass.total).toBeCloseTo(mass.supply + mass.return, 12);
  });

  it('weighs poles alike the same', () => {
    const mass = conductorMass(rack());
    expect(mass.supply).toBe(mass.return);
  });
});
