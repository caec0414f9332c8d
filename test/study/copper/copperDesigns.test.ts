import { describe, expect, it } from 'vitest';
import { type BarChange, loadStudy, type NamedChange } from '../../../lib/rack/index.js';
import { scenarioSource } from '../../../lib/draw/index.js';
import { copperDesigns } from '../../../lib/study/index.js';

const { study } = loadStudy('data-demo/deep-bar-anywhere.json');
const design = (change: BarChange) => copperDesigns(study, [{ name: 'one', change }]);
const plates = (change: BarChange) => design(change).designs[0].rack.supply.sections.map((section) => section.plates);

describe('designs of a bar', () => {
  it('change what they name and nothing else', () => {
    expect(plates({ depth: 0.2 })).toEqual([{ count: 2, depth: 0.2, thickness: 0.006, gap: 0.012 }]);
    expect(plates({ thickness: 0.0085 })).toEqual([{ count: 2, depth: 0.156, thickness: 0.0085, gap: 0.012 }]);
    expect(plates({ count: 3, gap: 0.02 })).toEqual([{ count: 3, depth: 0.156, thickness: 0.006, gap: 0.02 }]);
    expect(plates({ count: 1 })).toEqual([{ count: 1, depth: 0.156, thickness: 0.006, gap: 0 }]);
    expect(plates({ scale: 1.5 })).toEqual([{ count: 2, depth: 0.234, thickness: 0.009, gap: 0.012 }]);
    const [{ rack }] = design({ material: 'aluminium-61' }).designs;
    expect(rack.supply.sections[0].material.id).toBe('aluminium-61');
    expect({ ...rack, supply: null, return: null }).toEqual({ ...study.rack, supply: null, return: null });
  });

  it('change one pole alone where they say so', () => {
    const [{ rack }] = design({ poles: 'return', depth: 0.2 }).designs;
    expect(rack.supply).toBe(study.rack.supply);
    expect(rack.return.sections[0].plates.depth).toBe(0.2);
  });

  it('move the joint, and lay joints where sections of a stepped bar meet', () => {
    expect(design({ jointAboveSlot: 30 }).designs[0].rack.supply.joints).toEqual([{ aboveSlot: 30, resistance: 1e-6 }]);
    const [{ rack }] = design({
      sections: [{ fromSlot: 1, toSlot: 15 }, { fromSlot: 16, toSlot: 30, thickness: 0.01 }, { fromSlot: 31, toSlot: 44, count: 1 }],
    }).designs;
    expect(rack.supply.joints).toEqual([{ aboveSlot: 15, resistance: 1e-6 }, { aboveSlot: 30, resistance: 1e-6 }]);
    expect(rack.supply.sections.map((section) => [section.plates.thickness, section.plates.count])).toEqual([
      [0.006, 2], [0.01, 2], [0.006, 1],
    ]);
    const bare = { ...study, rack: { ...study.rack, supply: { ...study.rack.supply, joints: [] } } };
    const [stepped] = copperDesigns(bare, [{
      name: 'one', change: { poles: 'supply', sections: [{ fromSlot: 1, toSlot: 22 }, { fromSlot: 23, toSlot: 44, depth: 0.1 }] },
    }]).designs;
    expect(stepped.rack.supply.joints).toEqual([]);
  });

  it('that no rack file could say are named with why, and the others stand', () => {
    const changes: NamedChange[] = [
      { name: 'good', change: { depth: 0.2 } },
      { name: 'overlap', change: { sections: [{ fromSlot: 1, toSlot: 20 }, { fromSlot: 20, toSlot: 44 }] } },
      { name: 'bare', change: { sections: [{ fromSlot: 1, toSlot: 20 }] } },
      { name: 'metal', change: { material: 'coper-56' } },
      { name: 'gap', change: { count: 1, gap: 0.01 } },
      { name: 'joint', change: { jointAboveSlot: 44 } },
      { name: 'negative', change: { depth: -1 } },
      { name: 'nothing', change: { depth: Number.NaN } },
      { name: 'same', change: { depth: 0.156 } },
    ];
    const { designs, impossible, sameAsBase } = copperDesigns(study, changes);
    expect(designs.map(({ name }) => name)).toEqual(['good']);
    expect(sameAsBase).toEqual(['same']);
    const why = Object.fromEntries(impossible.map(({ name, problems }) => [name, problems.map(({ allowed, found }) => `${found}; ${allowed}`).join()]));
    expect(Object.keys(why)).toEqual(['overlap', 'bare', 'metal', 'gap', 'joint', 'negative', 'nothing']);
    expect(why.overlap).toMatch(/sections may not overlap/);
    expect(why.bare).toMatch(/no section for slots 21 to 44/);
    expect(why.metal).toMatch(/did you mean "copper-56"/);
    expect(why.gap).toMatch(/one plate has no gap/);
    expect(why.joint).toMatch(/give 1 to 43/);
    expect(why.negative).toMatch(/above 0/);
    expect(why.nothing).toMatch(/above 0/);
  });

  it('leave every drawn scenario as it is: placements, contacts, sharing and build', () => {
    const { designs } = copperDesigns(study, [
      { name: 'deep', change: { depth: 0.25 } }, { name: 'light', change: { material: 'aluminium-61', count: 3 } },
      { name: 'stepped', change: { sections: [{ fromSlot: 1, toSlot: 10 }, { fromSlot: 11, toSlot: 44, thickness: 0.012 }] } },
    ]);
    const base = scenarioSource(study);
    for (const { rack } of designs) {
      const source = scenarioSource({ ...study, rack });
      for (let i = 0; i < 200; i++) expect(source.draw(i)).toEqual(base.draw(i));
    }
    // The check itself can fail.
    expect(scenarioSource({ ...study, seed: 'other' }).draw(0)).not.toEqual(base.draw(0));
  });
});
