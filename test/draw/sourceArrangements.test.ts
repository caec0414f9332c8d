import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { enumerateSourceArrangements } from '../../lib/draw/enumerateSourceArrangements.js';
import { randomStream } from '../../lib/draw/randomStream.js';
import {
  compileSourceArrangements,
  countSourceArrangements,
  drawSourceArrangement,
  type StandingSource,
} from '../../lib/draw/sourceArrangements.js';
import type { Rule, SourceCount, SourcePositions, Study } from '../../lib/rack/studyModel.js';
import { chiSquareScore, POOR_FIT } from './goodnessOfFit.js';
import { sampleStudy } from './sampleStudy.js';
import { randomPositions, randomRules, randomSourceUnits } from './randomStudies.js';

function withSources(
  slotCount: number,
  units: SourceCount[],
  positions: SourcePositions = { draw: 'uniform' },
  rules: Rule[] = [],
): Study {
  return sampleStudy(slotCount, { sources: { units, positions }, rules });
}

function nameOf(arrangement: readonly StandingSource[]): string {
  return arrangement.map(({ id, bottomSlot }) => `${id}@${bottomSlot}`).join(' ');
}

function binomial(n: number, k: number): number {
  return Number(exactBinomial(n, k));
}

function exactBinomial(n: number, k: number): bigint {
  let value = 1n;
  for (let i = 1; i <= k; i++) value = (value * BigInt(n - k + i)) / BigInt(i);
  return value;
}

const shelves = (count: number): SourceCount[] => [{ id: 'shelf', count }];

describe('the number of source arrangements', () => {
  it.each([
    [10, 3],
    [44, 4],
    [48, 10],
  ])('is a binomial coefficient for alike one-slot sources: %i slots, %i sources', (slots, count) => {
    expect(countSourceArrangements(withSources(slots, shelves(count)))).toBe(binomial(slots, count));
  });

  it('counts units two slots high as one slot each in a rack shorter by one slot for each', () => {
    expect(countSourceArrangements(withSources(20, [{ id: 'tall-shelf', count: 3 }]))).toBe(binomial(17, 3));
  });

  it('tells types apart but not units of a type: multinomial', () => {
    const units = [
      { id: 'shelf', count: 2 },
      { id: 'tall-shelf', count: 1 },
      { id: 'shelf', count: 1 },
    ];
    // 10 slots: 3 one-slot units, one of two slots, 5 empty slots: 9!/(3!·1!·5!)
    expect(countSourceArrangements(withSources(10, units))).toBe(504);
  });

  it('counts two units at least d slots apart as C(n−d, 2)', () => {
    const rules: Rule[] = [{ rule: 'apart', units: 'sources', slotsBetween: 5 }];
    expect(countSourceArrangements(withSources(20, shelves(2), undefined, rules))).toBe(binomial(15, 2));
  });

  it('counts k units of which no two are neighbours as C(n−k+1, k)', () => {
    const rules: Rule[] = [{ rule: 'not-next-to', units: 'sources', neighbours: 'sources' }];
    expect(countSourceArrangements(withSources(16, shelves(5), undefined, rules))).toBe(binomial(12, 5));
  });

  it('counts a block of k as n−k+1, by position and by rule', () => {
    expect(countSourceArrangements(withSources(44, shelves(4), { draw: 'contiguous' }))).toBe(41);
    const rules: Rule[] = [{ rule: 'together', units: 'power-shelves' }];
    expect(countSourceArrangements(withSources(44, shelves(4), undefined, rules))).toBe(41);
  });

  it('counts groups in any order that do not touch', () => {
    // Blocks of 1 and 2 in 6 slots: 2 orders of 2 blocks among 3 empty slots, C(4, 2) ways each.
    expect(countSourceArrangements(withSources(6, shelves(3), { draw: 'groups', sizes: [2, 1] }))).toBe(12);
    expect(countSourceArrangements(withSources(7, shelves(4), { draw: 'groups', sizes: [2, 2] }))).toBe(binomial(4, 2));
  });

  it('counts bands as a product', () => {
    const bands = [
      { fromSlot: 15, toSlot: 20, count: 1 },
      { fromSlot: 1, toSlot: 8, count: 2 },
    ];
    expect(countSourceArrangements(withSources(20, shelves(3), { draw: 'bands', bands }))).toBe(binomial(8, 2) * 6);
  });

  it('is 1 for fixed positions that keep the rules and 0 for ones that do not', () => {
    const units = [
      { id: 'tall-shelf', bottomSlot: 9 },
      { id: 'shelf', bottomSlot: 2 },
      { id: 'tall-shelf', bottomSlot: 11 },
    ];
    const positions: SourcePositions = { draw: 'fixed', units };
    expect(countSourceArrangements(withSources(12, [], positions))).toBe(1);
    const apart: Rule[] = [{ rule: 'apart', units: { id: 'tall-shelf' }, slotsBetween: 1 }];
    expect(countSourceArrangements(withSources(12, [], positions, apart))).toBe(0);
    const clash: SourcePositions = { draw: 'fixed', units: [units[0], { id: 'shelf', bottomSlot: 10 }] };
    expect(countSourceArrangements(withSources(12, [], clash))).toBe(0);
  });

  it('is 0 when the sources would leave fewer slots free than asked', () => {
    const free = (count: number): Rule[] => [{ rule: 'min-free-slots', count }];
    expect(countSourceArrangements(withSources(10, [{ id: 'battery', count: 2 }], undefined, free(4)))).toBe(15);
    expect(countSourceArrangements(withSources(10, [{ id: 'battery', count: 2 }], undefined, free(5)))).toBe(0);
  });

  it('is exact up to 2^53 and close beyond', () => {
    expect(countSourceArrangements(withSources(56, shelves(25)))).toBe(Number(exactBinomial(56, 25)));
    expect(exactBinomial(56, 25)).toBeGreaterThan(2n ** 52n);
    const large = countSourceArrangements(withSources(128, shelves(64)));
    expect(Math.abs(large / Number(exactBinomial(128, 64)) - 1)).toBeLessThan(1e-13);
  });

  it('equals plain enumeration on random small racks under random rules and positions', () => {
    let placements = 0;
    let empty = 0;
    fc.assert(
      fc.property(
        fc
          .integer({ min: 3, max: 9 })
          .chain((slots) =>
            randomSourceUnits.chain((units) =>
              fc.tuple(fc.constant(slots), fc.constant(units), randomPositions(slots, units), randomRules(slots)),
            ),
          ),
        ([slots, units, positions, rules]) => {
          const study = withSources(slots, units, positions, rules);
          const all = [...enumerateSourceArrangements(study)].map(nameOf);
          expect(new Set(all).size).toBe(all.length);
          const compiled = compileSourceArrangements(study);
          expect(compiled.count).toBe(all.length);
          placements += all.length;
          if (all.length === 0) empty++;
          for (let draw = 0; draw < Math.min(all.length, 3); draw++) {
            expect(all).toContain(nameOf(drawSourceArrangement(compiled, randomStream('p', draw, 'placement'))));
          }
        },
      ),
      { numRuns: 3000, seed: 11 },
    );
    // The comparison would mean little if nearly every random study were impossible.
    expect(placements).toBeGreaterThan(20_000);
    expect(empty).toBeLessThan(1800);
  });
});

describe('a drawn source arrangement', () => {
  const cases: [string, Study][] = [
    ['two one-slot sources in 12 slots', withSources(12, shelves(2))],
    [
      'three types of different height',
      withSources(9, [
        { id: 'shelf', count: 1 },
        { id: 'tall-shelf', count: 1 },
        { id: 'battery', count: 1 },
      ]),
    ],
    ['groups', withSources(9, shelves(4), { draw: 'groups', sizes: [2, 1, 1] })],
    [
      'bands with a kept-out slot',
      withSources(
        14,
        shelves(3),
        {
          draw: 'bands',
          bands: [
            { fromSlot: 1, toSlot: 6, count: 1 },
            { fromSlot: 8, toSlot: 14, count: 2 },
          ],
        },
        [{ rule: 'keep-out', units: 'sources', fromSlot: 10, toSlot: 10 }],
      ),
    ],
    [
      'batteries apart, shelves together',
      withSources(
        16,
        [
          { id: 'battery', count: 2 },
          { id: 'shelf', count: 2 },
        ],
        undefined,
        [
          { rule: 'apart', units: 'battery-shelves', slotsBetween: 4 },
          { rule: 'together', units: { id: 'shelf' } },
        ],
      ),
    ],
    [
      'forbidden neighbours between types',
      withSources(
        8,
        [
          { id: 'tall-shelf', count: 1 },
          { id: 'shelf', count: 2 },
        ],
        undefined,
        [{ rule: 'not-next-to', units: { id: 'tall-shelf' }, neighbours: { id: 'shelf' } }],
      ),
    ],
  ];

  it.each(cases)('is uniform over all arrangements: %s', (_, study) => {
    const draws = 100_000;
    const all = [...enumerateSourceArrangements(study)].map(nameOf);
    const seen = new Map(all.map((name) => [name, 0]));
    expect(all.length).toBeGreaterThan(15);
    const compiled = compileSourceArrangements(study);
    for (let index = 0; index < draws; index++) {
      const name = nameOf(drawSourceArrangement(compiled, randomStream('uniform', index, 'placement')));
      const count = seen.get(name);
      if (count === undefined) throw new Error(`${name} is not allowed`);
      seen.set(name, count + 1);
    }
    const expected = new Array<number>(all.length).fill(draws / all.length);
    expect(chiSquareScore([...seen.values()], expected)).toBeLessThan(POOR_FIT);
  });

  it('takes every slot equally often where the arrangements outnumber 2^53', () => {
    const compiled = compileSourceArrangements(withSources(128, shelves(64)));
    const draws = 4000;
    const taken = new Array<number>(128).fill(0);
    const neighbours = { both: 0 };
    for (let index = 0; index < draws; index++) {
      const arrangement = drawSourceArrangement(compiled, randomStream('many', index, 'placement'));
      const slots = new Set(arrangement.map(({ bottomSlot }) => bottomSlot));
      expect(slots.size).toBe(64);
      for (const slot of slots) taken[slot - 1]++;
      if (slots.has(127) && slots.has(128)) neighbours.both++;
    }
    // Each count is binomial(draws, 1/2); their sum is fixed, which shrinks the statistic by 127/128 per slot.
    const score = taken.reduce((sum, count) => sum + (count - draws / 2) ** 2 / (draws / 4), 0);
    expect(score).toBeLessThan(127 + 4.3 * Math.sqrt(2 * 127));
    const share = (64 * 63) / (128 * 127);
    expect(Math.abs(neighbours.both / draws - share)).toBeLessThan(4.4 * Math.sqrt((share * (1 - share)) / draws));
  });

  it('is refused when there is none', () => {
    const compiled = compileSourceArrangements(withSources(3, shelves(4)));
    expect(compiled.count).toBe(0);
    expect(() => drawSourceArrangement(compiled, randomStream('s', 0, 'placement'))).toThrow(/no source arrangement/);
  });

  it('names a source the catalogue lacks', () => {
    expect(() => countSourceArrangements(withSources(5, [{ id: 'rectifier', count: 1 }]))).toThrow(
      'study: sources.units[0].id: found "rectifier"; a source of the equipment catalogue is allowed: shelf, tall-shelf, battery',
    );
  });

  it('names an id in a rule that the catalogue lacks', () => {
    const rules: Rule[] = [{ rule: 'together', units: { id: 'nothing' } }];
    expect(() => countSourceArrangements(withSources(5, shelves(1), undefined, rules))).toThrow(
      /rules\[0\]\.units\.id: found "nothing"/,
    );
  });
});
