import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { brokenRules, type RuledUnit } from '../../lib/draw/brokenRules.js';
import { checkRules } from '../../lib/draw/checkRules.js';
import { enumerateSourceArrangements } from '../../lib/draw/enumerateSourceArrangements.js';
import { ImpossibleRules } from '../../lib/draw/errors.js';
import { scenarioSource } from '../../lib/draw/scenarioSource.js';
import type { LoadsDraw, Rule, SourceCount, Study } from '../../lib/rack/studyModel.js';
import { enumeratePlacements, loadPlacements, sourceUnits } from './enumeratePlacements.js';
import { randomPositions, randomRules, randomSourceUnits } from './randomStudies.js';
import { sampleStudy } from './sampleStudy.js';

function problem(study: Study): ImpossibleRules {
  try {
    checkRules(study);
  } catch (error) {
    if (error instanceof ImpossibleRules) return error;
    throw error;
  }
  throw new Error('the rules are possible');
}

/** −2 possible, −1 impossible without rules, else the first rule with which nothing is left; by brute force. */
function firstImpossible(study: Study, exists: (study: Study) => boolean): number {
  for (let count = 0; count <= study.rules.length; count++) {
    if (!exists({ ...study, rules: study.rules.slice(0, count) })) return count - 1;
  }
  return -2;
}

function found(study: Study): number {
  try {
    checkRules(study);
    return -2;
  } catch (error) {
    if (!(error instanceof ImpossibleRules)) throw error;
    expect(error.proven).toBe(true);
    expect(error.message).toMatch(/; allowed: ./);
    expect(error.rule).toBe(error.ruleIndex === null ? null : study.rules[error.ruleIndex]);
    return error.ruleIndex ?? -1;
  }
}

/** Random studies of one kind of load draw; fails when too few are possible or impossible. */
function compareWithBruteForce(
  loads: LoadsDraw,
  exists: (study: Study) => boolean,
  powers: number,
  runs: number,
): void {
  const seen = new Map<number, number>();
  fc.assert(
    fc.property(
      fc
        .integer({ min: 4, max: 7 })
        .chain((slots) =>
          randomSourceUnits.chain((units) =>
            fc.tuple(fc.constant(slots), fc.constant(units), randomPositions(slots, units), randomRules(slots, powers)),
          ),
        ),
      ([slots, units, positions, rules]) => {
        const study = sampleStudy(slots, { sources: { units, positions }, loads, rules });
        const wanted = firstImpossible(study, exists);
        seen.set(Math.max(wanted, -2), (seen.get(wanted) ?? 0) + 1);
        expect(found(study)).toBe(wanted);
        // Whatever is possible can be drawn, and keeps the rules.
        if (wanted !== -2) return;
        const drawn = scenarioSource(study).draw(0).scenario.units;
        expect(brokenRules(rules, slots, drawn)).toEqual([]);
      },
    ),
    { numRuns: runs, seed: 17 },
  );
  expect(seen.get(-2)).toBeGreaterThan(runs / 20);
  expect(seen.get(-1)).toBeGreaterThan(runs / 20);
  expect((seen.get(0) ?? 0) + (seen.get(1) ?? 0) + (seen.get(2) ?? 0)).toBeGreaterThan(runs / 20);
}

describe('the check of the rules agrees with brute force on random small racks for', () => {
  it('even loads of one slot', () => {
    const loads: LoadsDraw = { draw: 'even', id: 'node', count: { min: 1, max: 3 }, totalPower: 3000 };
    const exists = (study: Study): boolean =>
      [1, 2, 3].every((count) => enumeratePlacements(study, 'node', count, 3000 / count).length > 0);
    compareWithBruteForce(loads, exists, 1499, 1500);
  });

  it('even loads of two slots', () => {
    const loads: LoadsDraw = { draw: 'even', id: 'double', count: { min: 2, max: 2 }, totalPower: 3000 };
    compareWithBruteForce(loads, (study) => enumeratePlacements(study, 'double', 2, 1500).length > 0, 1499, 1000);
  });

  it('randomly split loads', () => {
    // Caps in steps of 500 W on runs of one-slot units: an interval matrix, so that a split exists exactly when one in
    // steps of 500 W does (total unimodularity: Hoffman & Kruskal 1956).
    const loads: LoadsDraw = {
      draw: 'random-split',
      id: 'node',
      count: { min: 3, max: 3 },
      totalPower: 3000,
      concentration: 1,
    };
    const splits: number[][] = [];
    for (let a = 0; a <= 6; a++) for (let b = 0; a + b <= 6; b++) splits.push([a * 500, b * 500, (6 - a - b) * 500]);
    const exists = (study: Study): boolean => {
      const places = { ...study, rules: study.rules.filter(({ rule }) => !rule.startsWith('max-power')) };
      return [...enumerateSourceArrangements(study)].some((arrangement) => {
        const sources = sourceUnits(study, arrangement);
        return loadPlacements(places, sources, 'node', 3, 0).some((bottoms) =>
          splits.some((powers) => {
            const units = bottoms.map(
              (bottomSlot, at): RuledUnit => ({
                kind: 'load',
                equipment: 'node',
                bottomSlot,
                heightSlots: 1,
                power: powers[at],
              }),
            );
            return brokenRules(study.rules, study.rack.slotCount, [...sources, ...units]).length === 0;
          }),
        );
      });
    };
    compareWithBruteForce(loads, exists, 5000, 1000);
  });

  it('all-or-nothing loads', () => {
    const loads: LoadsDraw = { draw: 'all-or-nothing', id: 'double', cap: 1500, chanceFull: 0.5 };
    compareWithBruteForce(loads, (study) => enumeratePlacements(study, 'double', 1, 1500).length > 0, 1499, 1000);
  });

  it('catalogue loads', () => {
    const loads: LoadsDraw = { draw: 'catalogue', totalPower: 3500, fill: 'anywhere' };
    const exists = (study: Study): boolean =>
      study.catalogue.loads.some(({ id, power }) => enumeratePlacements(study, id, 1, power.min).length > 0);
    compareWithBruteForce(loads, exists, 999, 1000);
  });

  it('inventory loads', () => {
    const units = [
      { equipment: 'node', bottomSlot: 2, heightSlots: 1, power: 1200 },
      { equipment: 'double', bottomSlot: 3, heightSlots: 2, power: 700 },
    ];
    const loads: LoadsDraw = { draw: 'inventory', racks: [{ rack: 'r', units }], places: 'observed' };
    const exists = (study: Study): boolean =>
      units.some(({ equipment, power }) => enumeratePlacements(study, equipment, 1, power).length > 0);
    compareWithBruteForce(loads, exists, 999, 1000);
  });

  it('hand-picked loads', () => {
    const units = [
      { id: 'node', bottomSlot: 2, power: 1200 },
      { id: 'double', bottomSlot: 3, power: 700 },
    ];
    const placed = units.map(
      ({ id, bottomSlot, power }, at): RuledUnit => ({
        kind: 'load',
        equipment: id,
        bottomSlot,
        heightSlots: at + 1,
        power,
      }),
    );
    const exists = (study: Study): boolean =>
      [...enumerateSourceArrangements(study)].some((arrangement) => {
        const sources = sourceUnits(study, arrangement);
        const free = sources.every((one) =>
          placed.every(
            (other) =>
              one.bottomSlot >= other.bottomSlot + other.heightSlots ||
              other.bottomSlot >= one.bottomSlot + one.heightSlots,
          ),
        );
        return free && brokenRules(study.rules, study.rack.slotCount, [...sources, ...placed]).length === 0;
      });
    compareWithBruteForce({ draw: 'fixed', units }, exists, 999, 1000);
  });
});

describe('an impossible study', () => {
  const shelves: SourceCount[] = [{ id: 'shelf', count: 4 }];
  const even = (count: number): LoadsDraw => ({
    draw: 'even',
    id: 'node',
    count: { min: count, max: count },
    totalPower: 92_000,
  });
  const rack = (rules: Rule[], loads = even(16)): Study =>
    sampleStudy(44, { sources: { units: shelves, positions: { draw: 'uniform' } }, loads, rules });

  it('whose units do not fit says so, and by how many', () => {
    expect(problem(rack([], even(41))).message).toBe(
      'the units do not fit even without rules: 41 units of "node" (1 slot each) cannot stand beside any allowed ' +
        'arrangement of the sources; at most 40 can stand; allowed: fewer or lower units, other source positions, or a higher rack',
    );
    expect(problem(rack([], even(41))).ruleIndex).toBeNull();
  });

  it('names the first rule that leaves nothing, not one before or after', () => {
    const rules: Rule[] = [
      { rule: 'keep-out', units: 'loads', fromSlot: 41, toSlot: 44 },
      { rule: 'only-in-band', units: 'sources', fromSlot: 1, toSlot: 3 },
      { rule: 'apart', units: 'loads', slotsBetween: 9 },
    ];
    const error = problem(rack(rules));
    expect(error.ruleIndex).toBe(1);
    expect(error.message).toBe(
      'rule 2 of 3 (rules[1]: sources only in slots 1–3) leaves no placement together with the rules before it: the ' +
        'sources have no allowed arrangement; allowed: a wider band here, such as slots 1–4',
    );
  });

  it.each<[string, Rule[], string]>([
    ['free slots', [{ rule: 'min-free-slots', count: 30 }], 'at most 24 free slots here'],
    ['loads apart', [{ rule: 'apart', units: 'loads', slotsBetween: 5 }], 'at most 1 slot here'],
    ['the power of a slot', [{ rule: 'max-power-per-slot', power: 5000 }], 'a cap of at least 5.75 kW here'],
    ['the power of a slot in words', [{ rule: 'max-power-per-slot', power: 5000 }], 'at least 19 units are needed'],
    // Eight of the loads, 5.75 kW each, can stand in the eight slots outside the band; the sources then stand in it.
    [
      'the power of a band',
      [{ rule: 'max-power-in-band', fromSlot: 1, toSlot: 36, power: 20_000 }],
      'a cap of at least 46 kW here',
    ],
    [
      'a band kept free',
      [{ rule: 'keep-out', units: 'loads', fromSlot: 1, toSlot: 40 }],
      'a smaller band here, such as slots 1–28',
    ],
    [
      'a narrow band',
      [{ rule: 'only-in-band', units: 'loads', fromSlot: 20, toSlot: 30 }],
      'a wider band here, such as slots 20–35 or slots 15–30',
    ],
    [
      'neighbours',
      [
        { rule: 'only-in-band', units: 'loads', fromSlot: 1, toSlot: 17 },
        { rule: 'not-next-to', units: 'loads', neighbours: 'loads' },
      ],
      'leave this rule or an earlier one out, ask for fewer units, or take other source positions',
    ],
  ])('says what would be allowed in place of a rule on %s', (_, rules, words) => {
    expect(problem(rack(rules)).message).toContain(words);
  });

  it('with a range of counts names the count that fails', () => {
    const loads: LoadsDraw = { draw: 'even', id: 'node', count: { min: 2, max: 20 }, totalPower: 10_000 };
    const error = problem(rack([{ rule: 'max-power-per-slot', power: 2000 }], loads));
    expect(error.message).toContain(
      '2 units of "node" (1 slot each) cannot be placed anywhere: 10 kW over 2 units is 5 kW per slot',
    );
    expect(error.message).toContain('at least 5 units are needed');
  });

  it('that could not be searched to the end says so', () => {
    // Three overlapping bands make too many kinds of places to count all ways of spreading 16 units over them.
    const rules = [1, 14, 27].map(
      (fromSlot): Rule => ({ rule: 'max-power-in-band', fromSlot, toSlot: fromSlot + 15, power: 25_000 }),
    );
    const keepOut: Rule = { rule: 'keep-out', units: 'loads', fromSlot: 43, toSlot: 44 };
    const loads: LoadsDraw = {
      draw: 'random-split',
      id: 'node',
      count: { min: 16, max: 16 },
      totalPower: 92_000,
      concentration: 1,
    };
    const error = problem(rack([keepOut, ...rules], loads));
    expect(error.proven).toBe(false);
    expect(error.message).toContain('leaves no placement that could be found');
    expect(error.message).toContain('there are too many to try all');
  });

  it('is found before any scenario', () => {
    expect(() => scenarioSource(rack([{ rule: 'min-free-slots', count: 30 }]))).toThrow(ImpossibleRules);
  });

  it('with hand-picked loads says when they collide or break a rule by themselves', () => {
    const fixed = (bottomSlot: number): LoadsDraw => ({
      draw: 'fixed',
      units: [
        { id: 'double', bottomSlot: 3, power: 1000 },
        { id: 'node', bottomSlot, power: 1000 },
      ],
    });
    expect(problem(rack([], fixed(4))).message).toContain('the hand-picked loads overlap or stand outside the rack');
    expect(problem(rack([], fixed(45))).message).toContain('the hand-picked loads overlap or stand outside the rack');
    const apart: Rule[] = [{ rule: 'apart', units: 'loads', slotsBetween: 1 }];
    expect(problem(rack(apart, fixed(5))).message).toContain('the hand-picked loads break it by themselves');
    expect(() => checkRules(rack(apart, fixed(6)))).not.toThrow();
  });
});

describe('the check of the rules takes less than a second', () => {
  const types: SourceCount[] = [
    { id: 'shelf', count: 3 },
    { id: 'tall-shelf', count: 3 },
    { id: 'battery', count: 2 },
  ];
  const cases: [string, Rule[], LoadsDraw][] = [
    [
      'free slots',
      [{ rule: 'min-free-slots', count: 100 }],
      { draw: 'even', id: 'node', count: { min: 40, max: 40 }, totalPower: 92_000 },
    ],
    [
      'loads apart',
      [{ rule: 'apart', units: 'loads', slotsBetween: 6 }],
      { draw: 'even', id: 'node', count: { min: 30, max: 30 }, totalPower: 92_000 },
    ],
    [
      'one block',
      [
        { rule: 'apart', units: 'sources', slotsBetween: 8 },
        { rule: 'together', units: 'loads' },
      ],
      { draw: 'even', id: 'node', count: { min: 80, max: 80 }, totalPower: 92_000 },
    ],
  ];
  it.each(cases)('at 128 slots with eight sources of three types, impossible by %s', (_, rules, loads) => {
    const study = sampleStudy(128, { sources: { units: types, positions: { draw: 'uniform' } }, loads, rules });
    const before = process.cpuUsage().user;
    expect(problem(study).proven).toBe(true);
    expect((process.cpuUsage().user - before) / 1e6).toBeLessThan(1);
  });

  it.each<[string, Rule]>([
    ['a cap on a band', { rule: 'max-power-in-band', fromSlot: 1, toSlot: 36, power: 20_000 }],
    ['loads apart', { rule: 'apart', units: 'loads', slotsBetween: 5 }],
    ['free slots', { rule: 'min-free-slots', count: 30 }],
  ])('at 44 slots, impossible by %s', (_, rule) => {
    const study = sampleStudy(44, {
      sources: { units: [{ id: 'shelf', count: 4 }], positions: { draw: 'uniform' } },
      loads: { draw: 'even', id: 'node', count: { min: 16, max: 16 }, totalPower: 92_000 },
      rules: [rule],
    });
    const before = process.cpuUsage().user;
    expect(problem(study).ruleIndex).toBe(0);
    expect((process.cpuUsage().user - before) / 1e6).toBeLessThan(1);
  });
});
