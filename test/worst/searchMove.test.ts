/** Moves of the search and what they leave of powers, by hand. */
import { describe, expect, it } from 'vitest';
import { ruleBook } from '../../lib/draw/ruleBook.js';
import type { LoadsDraw, Rule, Study } from '../../lib/rack/index.js';
import { bottomsOf, EMPTY, isLoad, isSource, type Item, itemsAt, sameItem, standingOf } from '../../lib/worst/searchLayout.js';
import { flowAround, rearranged } from '../../lib/worst/searchMove.js';
import { searchPowers } from '../../lib/worst/searchPowers.js';
import { smallStudy } from './smallStudies.js';

/** A shelf of one slot at the bottom of eight slots. Nodes draw 1.5 to 4 kW, doubles 2 to 7, triples 5. */
function studyOf(loads: LoadsDraw, rules: readonly Rule[] = []): Study {
  const study = smallStudy(0);
  return {
    ...study,
    rack: { ...study.rack, slotCount: 8 },
    sources: { units: [{ id: 'shelf', count: 1 }], positions: { draw: 'fixed', units: [{ id: 'shelf', bottomSlot: 1 }] } },
    loads, rules,
  };
}

const plain = studyOf({ draw: 'catalogue', totalPower: 9000, fill: 'anywhere' });
const { types } = ruleBook(plain);
const item = (id: string, power = 0, weight = 1): Item => {
  const type = power > 0 ? types.load(id, 'test') : types.source(id, 'test');
  return { type, heightSlots: type.heightSlots, power, weight };
};
const [shelf, tall] = [item('shelf'), item('tall-shelf')];
const [node, strong, double, triple] = [item('node', 2000), item('node', 4000), item('double', 3000), item('triple', 5000)];

describe('a layout', () => {
  it('gives each item its lowest slot, and comes back from standing items', () => {
    const items = [shelf, EMPTY, double, node, EMPTY, EMPTY, EMPTY];
    expect(bottomsOf(items)).toEqual([1, 2, 3, 5, 6, 7, 8]);
    const standing = standingOf(items);
    expect(standing.map(({ bottomSlot }) => bottomSlot)).toEqual([1, 3, 5]);
    expect(itemsAt(8, [...standing].reverse())).toEqual(items);
  });

  it('is none where items collide or leave the rack, up to the last slot', () => {
    expect(itemsAt(4, [{ item: double, bottomSlot: 3 }])).toEqual([EMPTY, EMPTY, double]);
    expect(itemsAt(4, [{ item: double, bottomSlot: 4 }])).toBeNull();
    expect(itemsAt(4, [{ item: double, bottomSlot: 1 }, { item: node, bottomSlot: 2 }])).toBeNull();
    expect(itemsAt(4, [{ item: double, bottomSlot: 1 }, { item: node, bottomSlot: 3 }])).toEqual([double, node, EMPTY]);
    expect(itemsAt(4, [{ item: node, bottomSlot: 0 }])).toBeNull();
  });

  it('knows sources from loads from empty slots, and what is alike', () => {
    expect([shelf, node, EMPTY].map(isSource)).toEqual([true, false, false]);
    expect([shelf, node, EMPTY].map(isLoad)).toEqual([false, true, false]);
    expect(sameItem(node, { ...node })).toBe(true);
    expect(sameItem(node, node)).toBe(true);
    for (const other of [{ ...node, power: 1 }, { ...node, weight: 2 }, { ...node, heightSlots: 2 }, { ...node, type: shelf.type }]) {
      expect(sameItem(node, other)).toBe(false);
    }
  });
});

describe('a move', () => {
  const items = [shelf, node, EMPTY, double, strong];
  it.each<[string, Parameters<typeof rearranged>[1], readonly Item[] | null]>([
    ['exchanges two', { move: 'exchange', one: 1, other: 3 }, [shelf, double, EMPTY, node, strong]],
    ['puts one further up', { move: 'insert', from: 0, to: 2 }, [node, EMPTY, shelf, double, strong]],
    ['puts one further down', { move: 'insert', from: 4, to: 1 }, [shelf, strong, node, EMPTY, double]],
    ['takes a run elsewhere', { move: 'insert-run', from: 0, count: 2, to: 3, turned: false }, [EMPTY, double, strong, shelf, node]],
    ['takes a run elsewhere, turned over', { move: 'insert-run', from: 0, count: 2, to: 1, turned: true }, [EMPTY, node, shelf, double, strong]],
    ['exchanges a stretch with one above it', { move: 'exchange-stretch', one: 3, from: 1, count: 2 }, [shelf, double, node, EMPTY, strong]],
    ['exchanges a stretch with one below it', { move: 'exchange-stretch', one: 1, from: 3, count: 2 }, [shelf, double, strong, EMPTY, node]],
    ['turns a part over', { move: 'reverse', from: 1, to: 3 }, [shelf, double, EMPTY, node, strong]],
    ['takes one out', { move: 'remove', at: 3 }, [shelf, node, EMPTY, EMPTY, EMPTY, strong]],
    ['puts one in the place of others', { move: 'put', at: 1, type: double.type as never, power: 3000 }, [shelf, double, double, strong]],
    ['puts one where more room is than it takes', { move: 'put', at: 2, type: double.type as never, power: 3000 }, [shelf, node, double, EMPTY, strong]],
    ['puts none beyond the end', { move: 'put', at: 4, type: double.type as never, power: 3000 }, null],
    ['puts none on a source', { move: 'put', at: 0, type: double.type as never, power: 3000 }, null],
  ])('%s', (_, move, expected) => {
    expect(rearranged(items, move)).toEqual(expected);
    expect(items).toEqual([shelf, node, EMPTY, double, strong]);
  });

  it('lets loads flow around sources in their order', () => {
    const sources = [{ item: tall, bottomSlot: 2 }, { item: shelf, bottomSlot: 5 }];
    const loads = [{ item: double, bottomSlot: 1 }, { item: node, bottomSlot: 4 }, { item: strong, bottomSlot: 8 }];
    // The double meets the tall shelf in slot 2, then the shelf in slot 5, and comes to stand above both.
    expect(flowAround(sources, loads)).toEqual([
      ...sources, { item: double, bottomSlot: 6 }, { item: node, bottomSlot: 8 }, { item: strong, bottomSlot: 9 },
    ]);
    expect(flowAround(sources, [{ item: node, bottomSlot: 1 }, { item: node, bottomSlot: 4 }])).toEqual([
      ...sources, { item: node, bottomSlot: 1 }, { item: node, bottomSlot: 4 },
    ]);
  });
});

describe('powers of a search', () => {
  const capped = studyOf(plain.loads, [{ rule: 'max-power-in-band', fromSlot: 3, toSlot: 4, power: 3000 }]);
  const split = studyOf({ draw: 'random-split', id: 'node', count: { min: 2, max: 3 }, totalPower: 9000, concentration: 1 });
  const of = (study: Study) => searchPowers(study, ruleBook(study));
  const powersOf = (items: readonly Item[] | null) => items?.filter(isLoad).map(({ power }) => power) ?? null;

  it('range from the catalogue, or over the whole total of a split, and stay where nothing is chosen', () => {
    expect(of(plain).rangeOf(node)).toEqual({ low: 1500, high: 4000 });
    expect(of(plain).rangeOf(shelf)).toEqual({ low: 0, high: 0 });
    expect(of(split).rangeOf(node)).toEqual({ low: expect.closeTo(0.009, 9), high: 9000 });
    const even = of(studyOf({ draw: 'even', id: 'node', count: { min: 2, max: 2 }, totalPower: 6000 }));
    expect(even.rangeOf(node)).toEqual({ low: 2000, high: 2000 });
    expect([of(plain).chosen, of(split).chosen, even.chosen]).toEqual([true, true, false]);
  });

  it('are brought into their ranges and down to the total, from either end, the pinned one last', () => {
    const settle = (powers: readonly number[], fromTop: boolean, pinned: number) => powersOf(of(plain).settle(
      [shelf, ...powers.map((power) => ({ ...strong, power })), EMPTY, EMPTY, EMPTY, EMPTY], false, fromTop, pinned));
    expect(settle([1000, 9000, 2000], false, -1)).toEqual([1500, 4000, 2000]);
    expect(settle([4000, 4000, 4000], false, -1)).toEqual([1500, 3500, 4000]);
    expect(settle([4000, 4000, 4000], true, -1)).toEqual([4000, 3500, 1500]);
    expect(settle([4000, 4000, 4000], false, 1)).toEqual([4000, 1500, 3500]);
    expect(of(plain).settle([triple, triple, EMPTY, EMPTY], false, false, -1)).toBeNull();
  });

  it('are raised to the total where asked, no further than ranges and bands let them', () => {
    const settle = (study: Study, full: boolean) => powersOf(of(study).settle(
      [shelf, EMPTY, { ...node, power: 1500 }, EMPTY, { ...node, power: 1500 }, EMPTY, EMPTY, EMPTY], full, false, -1));
    expect(settle(plain, false)).toEqual([1500, 1500]);
    expect(settle(plain, true)).toEqual([4000, 4000]);
    expect(settle(capped, true)).toEqual([3000, 4000]);
    expect(settle(studyOf({ draw: 'catalogue', totalPower: 5000, fill: 'anywhere' }), true)).toEqual([3500, 1500]);
  });

  it('are lowered until a band keeps its cap', () => {
    const items = [shelf, EMPTY, node, node, strong, EMPTY, EMPTY, EMPTY];
    expect(powersOf(of(capped).settle(items, false, false, -1))).toEqual([1500, 1500, 4000]);
    expect(powersOf(of(capped).settle([shelf, EMPTY, EMPTY, double, strong, EMPTY, EMPTY], false, false, -1))).toEqual([3000, 4000]);
  });

  it('have corners at ends of ranges and where the total, another unit’s least, or a band leaves them', () => {
    const items = [shelf, EMPTY, node, EMPTY, strong, EMPTY, EMPTY, EMPTY];
    // 9 kW less 4; less 1.5, 2 or 5 kW of a unit that could be added; the band's 3 kW.
    expect(of(plain).corners(items, 2).sort((a, b) => a - b)).toEqual([1500, 3000, 3500, 4000]);
    expect(of(capped).corners(items, 2).sort((a, b) => a - b)).toEqual([1500, 3000, 3000, 3500, 4000]);
    expect(of(plain).corners(items, 4)).not.toContain(4000);
  });

  it('move between two units as far as either range goes, or to a band’s cap', () => {
    const items = [shelf, EMPTY, node, EMPTY, strong, EMPTY, EMPTY, EMPTY];
    // 6 kW together, 1.5 to 4 kW each: 2 to 4 kW; at 2 kW already.
    expect(of(plain).transfers(items, 2, 4)).toEqual([4000]);
    expect(of(capped).transfers(items, 2, 4)).toEqual([4000, 3000]);
    expect(of(plain).transfers(items, 4, 2)).toEqual([2000]);
  });
});

