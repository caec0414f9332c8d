/** Source arrangements and powers at corners, listed by hand or by trying everything. */
import { describe, expect, it } from 'vitest';
import { brokenRules, positionsKept, type RuledUnit } from '../../lib/draw/index.js';
import { ruleBook } from '../../lib/draw/ruleBook.js';
import type { LoadsDraw, Rule, SourcePositions, Study } from '../../lib/rack/index.js';
import { enumeratePlacements } from '../../lib/worst/enumeratePlacements.js';
import { cornerPowers, edgeTotals, powerRangeOf } from '../../lib/worst/enumeratePowers.js';
import { sourceArrangementsOf } from '../../lib/worst/enumerateSources.js';
import { sampleRack } from '../ladder/sampleRack.js';
import { smallStudy } from './smallStudies.js';

const SLOTS = 8;
const even: LoadsDraw = { draw: 'even', id: 'node', count: { min: 1, max: 1 }, totalPower: 3000 };
/** Two shelves of one slot and one of two. Nodes draw 1.5 to 4 kW, doubles 2 to 7, triples 5. */
function studyOf(positions: SourcePositions, rules: readonly Rule[] = [], loads = even, slotCount = SLOTS): Study {
  const units = [{ id: 'shelf', count: 2 }, { id: 'tall-shelf', count: 1 }];
  return { ...smallStudy(0), rack: sampleRack({ slotCount }), sources: { units, positions }, rules, loads };
}
const words = (units: readonly RuledUnit[]) => (
  [...units].sort((a, b) => a.bottomSlot - b.bottomSlot).map(({ equipment, bottomSlot }) => `${bottomSlot} ${equipment}`).join(', '));

/** Every choice of three lowest slots, kept where nothing overlaps and positions and rules hold. */
function tried({ sources: { positions }, rules }: Study): string[] {
  const at = (id: string, bottomSlot: number, heightSlots: number): RuledUnit => (
    { kind: 'power-shelf', equipment: id, bottomSlot, heightSlots, power: 0 });
  const kept: string[] = [];
  for (let one = 1; one <= SLOTS; one++) {
    for (let other = one + 1; other <= SLOTS; other++) {
      for (let tall = 1; tall < SLOTS; tall++) {
        if ([tall, tall + 1].some((slot) => slot === one || slot === other)) continue;
        const units = [at('shelf', one, 1), at('shelf', other, 1), at('tall-shelf', tall, 2)];
        if (positionsKept(positions, units) && brokenRules(rules, SLOTS, units).length === 0) kept.push(words(units));
      }
    }
  }
  return kept.sort();
}

describe('source arrangements', () => {
  const bands = [{ fromSlot: 1, toSlot: 3, count: 1 }, { fromSlot: 5, toSlot: 8, count: 2 }];
  it.each<[string, SourcePositions, readonly Rule[], number, number]>([
    // The two shelves and the tall one on eight slots: 7 places for the tall one, 6 · 5 / 2 for the others.
    ['anywhere', { draw: 'uniform' }, [], 105, 310],
    ['in one block', { draw: 'contiguous' }, [], 15, 50],
    ['in groups', { draw: 'groups', sizes: [2, 1] }, [], 60, 290],
    ['in bands', { draw: 'bands', bands }, [], 0, 110],
    ['apart', { draw: 'uniform' }, [{ rule: 'apart', units: 'sources', slotsBetween: 1 }], 0, 310],
    ['out of some slots', { draw: 'uniform' }, [{ rule: 'keep-out', units: { id: 'tall-shelf' }, fromSlot: 1, toSlot: 4 }], 45, 150],
    ['where they are said to stand', {
      draw: 'fixed', units: [{ id: 'shelf', bottomSlot: 2 }, { id: 'tall-shelf', bottomSlot: 4 }, { id: 'shelf', bottomSlot: 8 }],
    }, [], 1, 20],
  ])('are all that there are, each once, in few steps: %s', (_, positions, rules, count, most) => {
    const study = studyOf(positions, rules);
    let steps = 0;
    const found = [...sourceArrangementsOf(study, ruleBook(study), () => steps++)].map(words);
    expect(found.sort()).toEqual(tried(study));
    if (count > 0) expect(found).toHaveLength(count);
    expect(found.length).toBeGreaterThan(0);
    expect(steps).toBeLessThan(most);
  });

  it('end in words where branches end without a placement', () => {
    const none: Rule = { rule: 'max-power-per-slot', power: 100 };
    const loads: LoadsDraw = { draw: 'even', id: 'node', count: { min: 6, max: 6 }, totalPower: 9000 };
    const study = studyOf({ draw: 'contiguous' }, [none], loads, 16);
    expect(() => [...enumeratePlacements(study, { limit: 1 })]).toThrow(/more than 1 placements to enumerate/);
  });
});

describe('powers at corners', () => {
  const catalogue: LoadsDraw = { draw: 'catalogue', totalPower: 9000, fill: 'anywhere' };
  const unit = (equipment: string, bottomSlot: number, heightSlots: number): RuledUnit => ({ kind: 'load', equipment, bottomSlot, heightSlots, power: 0 });
  const units = [unit('node', 3, 1), unit('double', 4, 2)];
  const ranges = [{ low: 1500, high: 4000 }, { low: 2000, high: 7000 }];
  const cornersOf = (totals: readonly number[], rules: readonly Rule[] = []) => (
    [...cornerPowers(units, ranges, totals, ruleBook(studyOf({ draw: 'uniform' }, rules, catalogue)))]);
  const ends = [[1500, 2000], [1500, 7000], [4000, 2000], [4000, 7000]];

  it('are both ends of each range, or what a total leaves to one strictly within its range', () => {
    expect(cornersOf([])).toEqual(ends);
    expect(cornersOf([9000])).toEqual([...ends, [2000, 7000], [4000, 5000]]);
    // 7 kW for the double, 1.5 or 4 kW for the node are ends already.
    expect(cornersOf([8500])).toEqual([...ends, [4000, 4500]]);
    expect(cornersOf([11_000])).toEqual(ends);
    expect(cornersOf([6000])).toEqual([...ends, [1500, 4500]]);
    expect(cornersOf([9000, 9000])).toEqual([...ends, [2000, 7000], [4000, 5000]]);
  });

  it('are what the cap of a band leaves, by the part of a unit within it', () => {
    const band: Rule = { rule: 'max-power-in-band', fromSlot: 3, toSlot: 4, power: 3000 };
    // Half of the double counts: 3 kW less 1 kW for the node; 1.5 kW twice for the double.
    expect(cornersOf([], [band])).toEqual([...ends, [2000, 2000], [1500, 3000]]);
    expect(cornersOf([], [{ ...band, fromSlot: 6, toSlot: 7 }])).toEqual(ends);
  });

  it('come from ranges and totals of the draw', () => {
    const cap: Rule = { rule: 'max-power-per-slot', power: 3000 };
    const of = (loads: LoadsDraw, rules: readonly Rule[] = []) => {
      const study = studyOf({ draw: 'uniform' }, rules, loads);
      return { range: (id: string) => powerRangeOf(study, ruleBook(study), id), totals: edgeTotals(study) };
    };
    expect(of(catalogue).range('double')).toEqual({ low: 2000, high: 7000 });
    expect(of(catalogue, [cap]).range('double')).toEqual({ low: 2000, high: 6000 });
    expect(of(catalogue).totals).toEqual([9000, 7500, 7000, 4000]);
    const split: LoadsDraw = { draw: 'random-split', id: 'double', count: { min: 1, max: 2 }, totalPower: 9000, concentration: 1 };
    expect(of(split).range('double')).toEqual({ low: expect.closeTo(0.009, 12), high: 9000 });
    expect(of(split, [cap]).range('double').high).toBe(6000);
    expect(of(split).totals).toEqual([9000]);
    expect(of(even).totals).toEqual([]);
    expect(() => of(even).range('node')).toThrow(/found "even"; "catalogue" or "random-split"/);
  });
});
