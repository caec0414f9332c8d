import { describe, expect, it } from 'vitest';
import { preparePlacements } from '../../lib/draw/placements.js';
import { scenarioSource, type PlacedUnit } from '../../lib/draw/index.js';
import { loadStudy, type LoadsDraw, type Study } from '../../lib/rack/index.js';
import { allowedPlacement } from '../../lib/worst/allowedPlacement.js';
import { countPlacements, enumeratePlacements } from '../../lib/worst/enumeratePlacements.js';
import { racks } from '../ladder/randomRack.js';
import { smallStudy } from './smallStudies.js';

const LIMIT = 3000;

/** Where what stands, powers left out. */
function places(units: readonly PlacedUnit[]): string {
  return [...units].sort((a, b) => a.bottomSlot - b.bottomSlot)
    .map(({ equipment, bottomSlot }) => `${bottomSlot} ${equipment}`).join(', ');
}

function withPowers(units: readonly PlacedUnit[]): string {
  return units.map(({ equipment, bottomSlot, power }) => `${bottomSlot} ${equipment} ${power}`).join(', ');
}

/** The placements of a study; null where they are too many for a test. */
function placementsOf(study: Study): PlacedUnit[][] | null {
  try {
    return [...enumeratePlacements(study, { limit: LIMIT })];
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}

/** A rack of `slotCount` slots with one shelf of one slot at the bottom and no rules. */
function bareStudy(slotCount: number, loads: LoadsDraw): Study {
  const study = smallStudy(0);
  const pole = { sections: [{ ...study.rack.supply.sections[0], fromSlot: 1, toSlot: slotCount }], joints: [] };
  const profile = new Array<number>(slotCount).fill(0);
  return {
    ...study,
    rack: { ...study.rack, slotCount, supply: pole, return: pole, air: { ...study.rack.air, profile } },
    sources: {
      units: [{ id: 'shelf', count: 1 }], positions: { draw: 'fixed', units: [{ id: 'shelf', bottomSlot: 1 }] },
    },
    loads,
    rules: [],
  };
}

const placed = (study: Study): string[] => [...enumeratePlacements(study, { limit: LIMIT })].map(places);

describe('enumeratePlacements', () => {
  it('meets the places of every drawn scenario, no placement twice, and only allowed ones', () => {
    let looked = 0;
    const seeds = racks(140);
    for (let seed = 0; seed < seeds; seed++) {
      const study = smallStudy(seed);
      const all = placementsOf(study);
      if (all === null) continue;
      looked++;
      const { objection } = allowedPlacement(study);
      for (const units of all) expect(objection(units), `study ${seed}`).toBeNull();
      // Corners of the powers may coincide where a range has no width, placements of whole draws may not.
      const keys = new Set(all.map(withPowers));
      if (study.loads.draw !== 'catalogue' && study.loads.draw !== 'random-split') expect(keys.size).toBe(all.length);
      const met = new Set(all.map(places));
      const source = scenarioSource(study);
      for (let index = 0; index < 60; index++) {
        const drawn = places(source.draw(index).scenario.units);
        // Which types a catalogue's rack is full of depends on the powers: corners need not hold all of those.
        if (study.loads.draw !== 'catalogue') expect(met, `study ${seed}, scenario ${index}`).toContain(drawn);
      }
    }
    expect(looked).toBeGreaterThan(0.7 * seeds);
  });

  it('puts two equal loads on five free slots in all ten ways', () => {
    const all = placed(bareStudy(6, { draw: 'even', id: 'node', count: { min: 2, max: 2 }, totalPower: 4000 }));
    expect(all).toHaveLength(10);
    expect(new Set(all).size).toBe(10);
  });

  it('splits a total over two loads on a grid of fifths in four ways for each choice of places', () => {
    const study = bareStudy(6, {
      draw: 'random-split', id: 'node', count: { min: 2, max: 2 }, totalPower: 5000, concentration: 1,
    });
    const all = [...enumeratePlacements(study, { limit: LIMIT, powerSteps: 5 })];
    expect(all).toHaveLength(40);
    const powers = all.filter((units) => places(units) === places(all[0]))
      .map((units) => units.filter(({ kind }) => kind === 'load').map(({ power }) => power));
    expect(powers).toEqual([[1000, 4000], [2000, 3000], [3000, 2000], [4000, 1000]]);
  });

  it('fills every place or leaves it empty, all empty left out', () => {
    expect(placed(bareStudy(6, { draw: 'all-or-nothing', id: 'node', cap: 3000, chanceFull: 0.5 }))).toHaveLength(31);
    expect(placed(bareStudy(6, { draw: 'all-or-nothing', id: 'node', cap: 3000, chanceFull: 1 }))).toHaveLength(1);
  });

  it('fills a catalogue rack until no unit could be added: at least, at most, or up to the total', () => {
    // One node of 1.5 to 4 kW alone in 5 kW: any power above 3.5 kW leaves no room for another one.
    const node = bareStudy(3, { draw: 'catalogue', totalPower: 5000, fill: 'anywhere' });
    const [type] = node.catalogue.loads.filter(({ id }) => id === 'node');
    const all = [...enumeratePlacements({ ...node, catalogue: { ...node.catalogue, loads: [type] } }, { limit: LIMIT })];
    const powers = all.map((units) => units.filter(({ kind }) => kind === 'load').map(({ power }) => power).join('+'));
    // Two of them at the least of each, at 5 kW in all, or at the 3.5 kW in all below which a third could be paid for.
    expect(new Set(powers)).toEqual(
      new Set(['3500', '4000', '1500+1500', '1500+3500', '3500+1500', '1500+2000', '2000+1500']),
    );
  });

  it('refuses more placements than the limit, in words', () => {
    const study = bareStudy(6, { draw: 'even', id: 'node', count: { min: 2, max: 2 }, totalPower: 4000 });
    expect([...enumeratePlacements(study, { limit: 10 })]).toHaveLength(10);
    expect(() => [...enumeratePlacements(study, { limit: 9 })]).toThrow(/more than 9 placements/);
  });

  it('visits the arrangements around hand-picked loads, as many as are counted', () => {
    for (let seed = 4; seed < 140; seed += 7) {
      const study = smallStudy(seed);
      expect(study.loads.draw).toBe('fixed');
      const all = [...enumeratePlacements(study, { limit: 20_000 })];
      expect(all, `study ${seed}`).toHaveLength(countPlacements(study) ?? -1);
      expect(all).toHaveLength(preparePlacements(study).sources.count);
    }
  });

  it('counts no fewer placements of observed racks than it visits, and leaves other draws uncounted', () => {
    for (let seed = 5; seed < 140; seed += 7) {
      const study = smallStudy(seed);
      const visited = [...enumeratePlacements(study, { limit: 20_000 })].length;
      expect(visited, `study ${seed}`).toBeLessThanOrEqual(countPlacements(study) ?? -1);
    }
    expect(countPlacements(smallStudy(0))).toBeNull();
  });

  it('counts three of eight slots at either end, for each observed rack of the demonstration', () => {
    const { study } = loadStudy('data-demo/deep-bar-inventory.json');
    if (study.loads.draw !== 'inventory') throw new Error('the demonstration study has changed');
    expect(countPlacements(study)).toBe(56 * 56 * study.loads.racks.length);
  });
});
