import { describe, expect, it } from 'vitest';
import { brokenRules, positionsKept, unitsCollide, type RuledUnit } from '../../lib/draw/brokenRules.js';
import type { Rule, SourcePositions } from '../../lib/rack/studyModel.js';

function shelf(bottomSlot: number, equipment = 'shelf', heightSlots = 1): RuledUnit {
  return { kind: 'power-shelf', equipment, bottomSlot, heightSlots, power: 0 };
}

function battery(bottomSlot: number): RuledUnit {
  return { kind: 'battery-shelf', equipment: 'battery', bottomSlot, heightSlots: 3, power: 0 };
}

function node(bottomSlot: number, power = 1000, heightSlots = 1): RuledUnit {
  return { kind: 'load', equipment: 'node', bottomSlot, heightSlots, power };
}

describe('a rule is kept or broken by a placement:', () => {
  it.each<[string, Rule, RuledUnit[], RuledUnit[]]>([
    [
      'only in a band, wholly',
      { rule: 'only-in-band', units: 'battery-shelves', fromSlot: 2, toSlot: 5 },
      [battery(3), node(9)],
      [battery(4)],
    ],
    [
      'kept out of a band, with every slot',
      { rule: 'keep-out', units: 'battery-shelves', fromSlot: 4, toSlot: 6 },
      [battery(1), battery(7)],
      [battery(2)],
    ],
    [
      'not next to each other, above or below',
      { rule: 'not-next-to', units: 'sources', neighbours: 'loads' },
      [battery(1), node(5)],
      [battery(2), node(5)],
    ],
    [
      'not next to, the other way up',
      { rule: 'not-next-to', units: 'sources', neighbours: { id: 'node' } },
      [node(1), shelf(3)],
      [node(2), shelf(3)],
    ],
    ['power per slot of height', { rule: 'max-power-per-slot', power: 500 }, [node(1, 1000, 2)], [node(1, 1002, 2)]],
    [
      'power in a band, by the share of slots',
      { rule: 'max-power-in-band', fromSlot: 1, toSlot: 3, power: 1500 },
      [node(1, 1000), node(3, 1000, 2)],
      [node(1, 1001), node(3, 1000, 2)],
    ],
    [
      'together',
      { rule: 'together', units: 'power-shelves' },
      [shelf(2), shelf(3, 'tall', 2), shelf(5)],
      [shelf(2), battery(3), shelf(6)],
    ],
    [
      'apart, whatever stands between',
      { rule: 'apart', units: 'sources', slotsBetween: 2 },
      [battery(1), node(4), node(5), shelf(6)],
      [battery(1), node(4), shelf(5)],
    ],
    [
      'free slots',
      { rule: 'min-free-slots', count: 5 },
      [battery(1), node(5), node(6)],
      [battery(1), node(5), node(6), node(8)],
    ],
    [
      'one id',
      { rule: 'only-in-band', units: { id: 'tall' }, fromSlot: 1, toSlot: 2 },
      [shelf(5), shelf(1, 'tall', 2)],
      [shelf(2, 'tall', 2)],
    ],
  ])('%s', (_, rule, kept, broken) => {
    expect(brokenRules([rule], 10, kept)).toEqual([]);
    expect(brokenRules([rule], 10, broken)).toEqual([0]);
    expect(brokenRules([rule], 10, [...kept].reverse())).toEqual([]);
    expect(brokenRules([rule], 10, [...broken].reverse())).toEqual([0]);
  });

  it('all broken ones are listed by their place in the list', () => {
    const rules: Rule[] = [
      { rule: 'keep-out', units: 'loads', fromSlot: 1, toSlot: 1 },
      { rule: 'together', units: 'sources' },
      { rule: 'apart', units: 'sources', slotsBetween: 4 },
    ];
    expect(brokenRules(rules, 10, [node(1), shelf(3), shelf(5)])).toEqual([0, 1, 2]);
  });
});

describe('positions are kept or not:', () => {
  it.each<[string, SourcePositions, RuledUnit[], RuledUnit[]]>([
    ['contiguous', { draw: 'contiguous' }, [shelf(4), battery(5), node(9)], [shelf(4), node(5), battery(6)]],
    [
      'groups in any order',
      { draw: 'groups', sizes: [1, 2] },
      [shelf(1), shelf(2), shelf(4)],
      [shelf(1), shelf(2), shelf(3)],
    ],
    [
      'bands',
      {
        draw: 'bands',
        bands: [
          { fromSlot: 1, toSlot: 3, count: 1 },
          { fromSlot: 4, toSlot: 9, count: 1 },
        ],
      },
      [shelf(3), battery(7)],
      [battery(2), shelf(8)],
    ],
    [
      'fixed',
      {
        draw: 'fixed',
        units: [
          { id: 'shelf', bottomSlot: 2 },
          { id: 'shelf', bottomSlot: 5 },
        ],
      },
      [shelf(5), shelf(2)],
      [shelf(2), shelf(4)],
    ],
  ])('%s', (_, positions, kept, broken) => {
    expect(positionsKept(positions, kept)).toBe(true);
    expect(positionsKept(positions, broken)).toBe(false);
  });
});

describe('units collide', () => {
  it('when they share a slot or leave the rack', () => {
    expect(unitsCollide(10, [node(4), battery(1), node(10)])).toBe(false);
    expect(unitsCollide(10, [node(3), battery(1)])).toBe(true);
    expect(unitsCollide(10, [battery(9)])).toBe(true);
    expect(unitsCollide(10, [node(0)])).toBe(true);
  });
});
