import { describe, expect, it } from 'vitest';
import { scenarioSource, type RuledUnit } from '../../lib/draw/index.js';
import { loadStudy, type LoadsDraw, type Rule, type Study } from '../../lib/rack/index.js';
import { allowedPlacement } from '../../lib/worst/allowedPlacement.js';
import { enumeratePlacements } from '../../lib/worst/enumeratePlacements.js';
import { smallStudy } from './smallStudies.js';

/** A shelf of one slot at the bottom of eight slots. Nodes draw 1.5 to 4 kW, doubles 2 to 7, triples 5. */
function studyOf(loads: LoadsDraw, rules: readonly Rule[] = []): Study {
  const study = smallStudy(0);
  return {
    ...study,
    rack: { ...study.rack, slotCount: 8 },
    sources: {
      units: [{ id: 'shelf', count: 1 }], positions: { draw: 'fixed', units: [{ id: 'shelf', bottomSlot: 1 }] },
    },
    loads,
    rules,
  };
}

const shelf: RuledUnit = { kind: 'power-shelf', equipment: 'shelf', bottomSlot: 1, heightSlots: 1, power: 0 };
const HEIGHTS = { node: 1, double: 2, triple: 3 };

function unit(equipment: keyof typeof HEIGHTS, bottomSlot: number, power: number): RuledUnit {
  return { kind: 'load', equipment, bottomSlot, heightSlots: HEIGHTS[equipment], power };
}

function objectionTo(study: Study, ...loads: readonly RuledUnit[]): string | null {
  return allowedPlacement(study).objection([shelf, ...loads]);
}

describe('allowedPlacement', () => {
  it('allows no placement of a whole draw that is never drawn', () => {
    let looked = 0;
    for (let seed = 0; seed < 210; seed++) {
      const study = smallStudy(seed);
      if (study.loads.draw === 'catalogue' || study.loads.draw === 'random-split') continue;
      const key = (units: readonly RuledUnit[]): string =>
        units.map(({ equipment, bottomSlot, power }) => `${bottomSlot} ${equipment} ${power.toFixed(3)}`).join(', ');
      let allowed: Set<string>;
      try {
        allowed = new Set([...enumeratePlacements(study, { limit: 40 })].map(key));
      } catch (error) {
        if (error instanceof RangeError) continue;
        throw error;
      }
      const source = scenarioSource(study);
      const drawn = new Set<string>();
      for (let index = 0; index < 3000; index++) drawn.add(key(source.draw(index).scenario.units));
      expect([...allowed].sort(), `study ${seed}`).toEqual([...drawn].sort());
      looked++;
    }
    expect(looked).toBeGreaterThan(50);
  });

  it('asks for equal parts of the total, and a number of loads within the range', () => {
    const study = studyOf({ draw: 'even', id: 'node', count: { min: 2, max: 3 }, totalPower: 6000 });
    expect(objectionTo(study, unit('node', 3, 3000), unit('node', 8, 3000))).toBeNull();
    expect(objectionTo(study, unit('node', 3, 3001), unit('node', 8, 2999))).toMatch(/equal parts/);
    expect(objectionTo(study, unit('node', 3, 6000))).toMatch(/1 loads/);
    expect(objectionTo(study, unit('double', 3, 3000), unit('double', 5, 3000))).toMatch(/not the load of the draw/);
  });

  it('asks a split for powers above 0 that add up to the total', () => {
    const study = studyOf({
      draw: 'random-split', id: 'node', count: { min: 2, max: 2 }, totalPower: 6000, concentration: 1,
    });
    expect(objectionTo(study, unit('node', 3, 5999), unit('node', 8, 1))).toBeNull();
    expect(objectionTo(study, unit('node', 3, 6000), unit('node', 8, 0))).toMatch(/without power/);
    expect(objectionTo(study, unit('node', 3, 5000), unit('node', 8, 999))).toMatch(/add up/);
  });

  it('cuts places for tall loads from the bottom of each free stretch', () => {
    const study = studyOf({ draw: 'all-or-nothing', id: 'double', cap: 3000, chanceFull: 0.5 });
    expect(objectionTo(study, unit('double', 2, 3000), unit('double', 6, 3000))).toBeNull();
    expect(objectionTo(study, unit('double', 3, 3000))).toMatch(/no place is cut at slot 3/);
    expect(objectionTo(study, unit('double', 2, 2999))).toMatch(/not at its cap/);
    expect(objectionTo(study)).toMatch(/no place is full/);
    const certain = studyOf({ draw: 'all-or-nothing', id: 'double', cap: 3000, chanceFull: 1 });
    expect(objectionTo(certain, unit('double', 2, 3000), unit('double', 6, 3000))).toMatch(/more places could be full/);
    expect(objectionTo(certain, ...[2, 4, 6].map((slot) => unit('double', slot, 3000)))).toBeNull();
  });

  it('asks of a catalogue that no unit is left that could be added, by power or by place', () => {
    const study = studyOf({ draw: 'catalogue', totalPower: 9000, fill: 'anywhere' });
    expect(objectionTo(study, unit('double', 2, 7000), unit('node', 7, 1600))).toBeNull();
    expect(objectionTo(study, unit('double', 2, 7000))).toMatch(/could be added/);
    expect(objectionTo(study, unit('double', 2, 7000), unit('node', 7, 2100))).toMatch(/more power than the total/);
    expect(objectionTo(study, unit('double', 2, 7100), unit('node', 7, 1800))).toMatch(/power of a "double"/);
    // Six of seven slots taken, only a node would fit the last one; with a rule that keeps it free, none would.
    const full = studyOf({ draw: 'catalogue', totalPower: 50_000, fill: 'anywhere' });
    const six = [unit('triple', 2, 5000), unit('triple', 5, 5000)];
    expect(objectionTo(full, ...six)).toMatch(/a "node" could be added/);
    expect(objectionTo(full, ...six, unit('node', 8, 2000))).toBeNull();
    expect(objectionTo({ ...full, rules: [{ rule: 'min-free-slots', count: 1 }] }, ...six)).toBeNull();
  });

  it('allows the edges of a total that draws come near to, and not those that they do not', () => {
    const total = (totalPower: number) => studyOf({ draw: 'catalogue', totalPower, fill: 'anywhere' });
    // What is left falls below the 1.5 kW of a node only where more can be drawn: not by two nodes at their most.
    expect(objectionTo(total(9500), unit('node', 3, 4000), unit('node', 8, 4000))).toMatch(/could be added/);
    expect(objectionTo(total(9500), unit('double', 3, 4000), unit('node', 8, 4000))).toBeNull();
    // Three nodes within 4.5 kW would have to draw their very least, which has no chance.
    expect(objectionTo(total(4500), ...[3, 5, 8].map((slot) => unit('node', slot, 1500)))).toMatch(/very least/);
  });

  it('allows loads up to the cap of a band, and not where only their very least would keep it', () => {
    const rules: Rule[] = [{ rule: 'max-power-in-band', fromSlot: 3, toSlot: 4, power: 3000 }];
    const study = studyOf({ draw: 'catalogue', totalPower: 9000, fill: 'anywhere' }, rules);
    const others = [unit('node', 6, 4000), unit('node', 8, 1500)];
    expect(objectionTo(study, unit('node', 3, 3000), ...others)).toBeNull();
    expect(objectionTo(study, unit('node', 3, 1500), unit('node', 4, 1500), ...others)).toMatch(/band reaches its cap/);
  });

  it('asks of a filled catalogue that each unit found no place nearer to the end it is filled from', () => {
    const fill = (from: 'bottom-up' | 'top-down') => studyOf({ draw: 'catalogue', totalPower: 9000, fill: from });
    const low = [unit('double', 2, 6000), unit('node', 4, 2000)];
    const high = [unit('double', 7, 6000), unit('node', 6, 2000)];
    expect(objectionTo(fill('bottom-up'), ...low)).toBeNull();
    expect(objectionTo(fill('top-down'), ...high)).toBeNull();
    expect(objectionTo(fill('bottom-up'), ...high)).toMatch(/bottom-up/);
    expect(objectionTo(fill('top-down'), ...low)).toMatch(/top-down/);
  });

  it('knows hand-picked and observed loads by power and place', () => {
    const fixed = studyOf({ draw: 'fixed', units: [{ id: 'node', bottomSlot: 4, power: 2000 }] });
    expect(objectionTo(fixed, unit('node', 4, 2000))).toBeNull();
    expect(objectionTo(fixed, unit('node', 5, 2000))).toMatch(/hand-picked/);
    const units = [
      { equipment: 'node', bottomSlot: 1, heightSlots: 1, power: 900 },
      { equipment: 'double', bottomSlot: 4, heightSlots: 2, power: 5000 },
    ];
    const racks = [{ rack: 'one', units }];
    // The node's own slot is the shelf's: it goes to the nearest free one.
    const observed = studyOf({ draw: 'inventory', racks, places: 'observed' });
    expect(objectionTo(observed, unit('node', 2, 900), unit('double', 4, 5000))).toBeNull();
    expect(objectionTo(observed, unit('node', 3, 900), unit('double', 4, 5000))).toMatch(/no observed rack/);
    const shuffled = studyOf({ draw: 'inventory', racks, places: 'shuffled' });
    expect(objectionTo(shuffled, unit('node', 3, 900), unit('double', 4, 5000))).toBeNull();
    expect(objectionTo(shuffled, unit('double', 4, 5000))).toMatch(/no observed rack/);
    expect(objectionTo(shuffled, unit('node', 3, 901), unit('double', 4, 5000))).toMatch(/no observed rack/);
  });

  it('names the rule that is broken, and sources that do not stand as asked', () => {
    const study = studyOf(
      { draw: 'even', id: 'node', count: { min: 2, max: 2 }, totalPower: 6000 },
      [{ rule: 'keep-out', units: 'loads', fromSlot: 8, toSlot: 8 }],
    );
    expect(objectionTo(study, unit('node', 3, 3000), unit('node', 8, 3000))).toMatch(/broken: /);
    const moved = [{ ...shelf, bottomSlot: 2 }, unit('node', 3, 3000), unit('node', 4, 3000)];
    expect(allowedPlacement(study).objection(moved)).toMatch(/sources do not stand/);
    expect(objectionTo(study, unit('node', 1, 3000), unit('node', 4, 3000))).toMatch(/two units take one slot/);
  });

  it('allows whatever a small study draws, and says no to a load or source too many or too few', () => {
    for (let seed = 0; seed < 300; seed++) {
      const study = smallStudy(seed);
      const { allows, objection } = allowedPlacement(study);
      const source = scenarioSource(study);
      for (let index = 0; index < 20; index++) {
        const { units } = source.draw(index).scenario;
        expect(objection(units), `study ${seed}, scenario ${index}`).toBeNull();
        const sources = units.filter(({ kind }) => kind !== 'load');
        const loads = units.filter(({ kind }) => kind === 'load');
        expect(allows(sources)).toBe(false);
        expect(allows([...sources.slice(1), ...loads])).toBe(false);
        expect(allows([...units, { ...units[0] }])).toBe(false);
        const stronger = loads.map((one) => ({ ...one, power: 1.01 * one.power + 7000 }));
        expect(allows([...sources, ...stronger])).toBe(false);
      }
    }
  });

  it.each(['deep-bar-anywhere', 'deep-bar-inventory', 'plain-bar-even'])('allows what %s draws', (name) => {
    const { study } = loadStudy(`data-demo/${name}.json`);
    const { objection } = allowedPlacement(study);
    const source = scenarioSource(study);
    for (let index = 0; index < 100; index++) expect(objection(source.draw(index).scenario.units)).toBeNull();
  });
});
