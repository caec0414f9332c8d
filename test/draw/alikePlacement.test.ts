import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { AlikePlacement } from '../../lib/draw/alikePlacement.js';
import { randomStream } from '../../lib/draw/randomStream.js';
import { ruleBook } from '../../lib/draw/ruleBook.js';
import { slotLimits } from '../../lib/draw/slotLimits.js';
import { StandingUnits } from '../../lib/draw/standingUnits.js';
import type { Rule, Study } from '../../lib/rack/studyModel.js';
import { loadPlacements } from './enumeratePlacements.js';
import { chiSquareScore, POOR_FIT } from './goodnessOfFit.js';
import { randomRules } from './randomStudies.js';
import { sampleStudy } from './sampleStudy.js';

/** Placement of `id` beside one one-slot source. */
function besideShelf(study: Study, shelfSlot: number, id: string): AlikePlacement {
  const book = ruleBook(study);
  const type = book.types.load(id, 'id');
  const standing = new StandingUnits(book);
  standing.put(book.types.source('shelf', 'id').index, shelfSlot, 1, 0);
  const placement = new AlikePlacement(book, type.index, type.heightSlots);
  placement.prepare(standing);
  return placement;
}

function enumerated(study: Study, shelfSlot: number, id: string, count: number): string[] {
  const shelf = { kind: 'power-shelf', equipment: 'shelf', bottomSlot: shelfSlot, heightSlots: 1, power: 0 } as const;
  return loadPlacements(study, [shelf], id, count, 0).map((bottoms) => bottoms.join());
}

const cases: [string, string, number, Rule[]][] = [
  ['one-slot loads without rules', 'node', 3, []],
  ['more than half of the places', 'node', 7, []],
  ['loads two slots high', 'double', 3, []],
  ['loads apart', 'node', 3, [{ rule: 'apart', units: 'loads', slotsBetween: 1 }]],
  [
    'high loads that may not touch',
    'double',
    2,
    [{ rule: 'not-next-to', units: { id: 'double' }, neighbours: 'loads' }],
  ],
  ['loads not next to sources', 'node', 3, [{ rule: 'not-next-to', units: 'loads', neighbours: 'sources' }]],
  ['loads together', 'node', 2, [{ rule: 'together', units: 'loads' }]],
  ['a kept-out band', 'node', 4, [{ rule: 'keep-out', units: 'loads', fromSlot: 2, toSlot: 3 }]],
];

describe('placements of alike loads', () => {
  it.each(cases)('are uniform over all allowed ones: %s', (_, id, count, rules) => {
    const study = sampleStudy(10, { rules });
    const all = enumerated(study, 4, id, count);
    expect(all.length).toBeGreaterThan(3);
    const placement = besideShelf(study, 4, id);
    expect(placement.count(count)).toBe(all.length);
    const seen = new Map(all.map((name) => [name, 0]));
    const bottoms = new Int32Array(10);
    const draws = 40_000;
    const stream = randomStream('alike', 0, 'placement');
    for (let draw = 0; draw < draws; draw++) {
      placement.draw(count, stream, bottoms);
      const name = bottoms.subarray(0, count).join();
      seen.set(name, (seen.get(name) ?? NaN) + 1);
    }
    const expected = new Array<number>(all.length).fill(draws / all.length);
    expect(seen.size).toBe(all.length);
    expect(chiSquareScore([...seen.values()], expected)).toBeLessThan(POOR_FIT);
  });

  it('are counted as plain enumeration counts them, under random rules', () => {
    let nonempty = 0;
    fc.assert(
      fc.property(
        fc
          .integer({ min: 3, max: 9 })
          .chain((slots) =>
            fc.tuple(
              fc.constant(slots),
              fc.integer({ min: 1, max: slots }),
              randomRules(slots),
              fc.constantFrom('node', 'double'),
            ),
          ),
        ([slots, shelfSlot, rules, id]) => {
          const study = sampleStudy(slots, { rules });
          const placement = besideShelf(study, shelfSlot, id);
          // The shelf itself may break a rule; then only the loads' own placements are compared.
          const own = { ...study, rules: rules.filter((rule) => !breaksAlone(study, rule, shelfSlot)) };
          if (own.rules.length < rules.length) return;
          for (let count = 1; count <= slots; count++) {
            const wanted = enumerated(own, shelfSlot, id, count).length;
            expect(placement.count(count)).toBe(wanted);
            expect(count <= placement.most).toBe(wanted > 0);
            nonempty += wanted > 0 ? 1 : 0;
          }
        },
      ),
      { numRuns: 1500, seed: 3 },
    );
    expect(nonempty).toBeGreaterThan(1500);
  });

  it('stay uniform under a condition that rejection almost never meets', () => {
    // At most one of eight loads in slots 1..20: about one placement in a thousand.
    const study = sampleStudy(30);
    const placement = besideShelf(study, 30, 'node');
    const limit = { fromSlot: 1, toSlot: 20, slots: 1 };
    const accepted = (bottoms: Int32Array): boolean => bottoms.subarray(0, 8).filter((slot) => slot <= 20).length <= 1;
    const draws = 10_000;
    const bottoms = new Int32Array(30);
    const low = new Array<number>(21).fill(0);
    const high = new Array<number>(9).fill(0);
    for (let index = 0; index < draws; index++) {
      const stream = randomStream('rare', index, 'placement');
      expect(placement.drawWhere(8, stream, bottoms, accepted, () => slotLimits(1, [limit]))).toBe(true);
      const slots = [...bottoms.subarray(0, 8)];
      expect(accepted(bottoms)).toBe(true);
      low[slots[0] <= 20 ? slots[0] : 0]++;
      if (slots[0] <= 20) high[[21, 22, 23, 24, 25, 26, 27, 28, 29].findIndex((slot) => !slots.includes(slot))]++;
    }
    // C(9, 8) = 9 placements with none below 21, C(9, 7)·20 = 720 with one.
    expect(
      chiSquareScore(
        low,
        [9, ...new Array<number>(20).fill(36)].map((n) => (n / 729) * draws),
      ),
    ).toBeLessThan(POOR_FIT);
    // With two of nine upper slots free, slot 21+j is the lower of them in 8−j of 36 cases.
    const one = high.reduce((sum, n) => sum + n, 0);
    expect(
      chiSquareScore(
        high.slice(0, 8),
        [8, 7, 6, 5, 4, 3, 2, 1].map((n) => (n / 36) * one),
      ),
    ).toBeLessThan(POOR_FIT);
  });

  it('are none when the condition leaves none', () => {
    const placement = besideShelf(sampleStudy(10), 10, 'node');
    const limit = { fromSlot: 1, toSlot: 9, slots: 2 };
    const none = placement.drawWhere(
      3,
      randomStream('n', 0, 'placement'),
      new Int32Array(10),
      () => false,
      () => slotLimits(1, [limit]),
    );
    expect(none).toBe(false);
  });

  it('cover the slots evenly where they outnumber 2^53', () => {
    const study = sampleStudy(128, { rules: [{ rule: 'apart', units: 'loads', slotsBetween: 1 }] });
    const placement = besideShelf(study, 128, 'node');
    // C(127−40+1, 40) placements; the lowest load is in slot 1 in C(86, 39) of them: 40/88.
    expect(placement.count(40)).toBeGreaterThan(2 ** 53);
    const bottoms = new Int32Array(128);
    let first = 0;
    let mirrored = 0;
    const draws = 20_000;
    const stream = randomStream('wide', 0, 'placement');
    for (let draw = 0; draw < draws; draw++) {
      placement.draw(40, stream, bottoms);
      if (bottoms[0] === 1) first++;
      if (bottoms[39] === 127) mirrored++;
    }
    const tolerance = 4.4 * Math.sqrt((40 / 88) * (48 / 88) * draws);
    expect(Math.abs(first - (draws * 40) / 88)).toBeLessThan(tolerance);
    expect(Math.abs(mirrored - (draws * 40) / 88)).toBeLessThan(tolerance);
  });
});

function breaksAlone(study: Study, rule: Rule, shelfSlot: number): boolean {
  return enumerated({ ...study, rules: [rule] }, shelfSlot, 'node', 0).length === 0;
}
