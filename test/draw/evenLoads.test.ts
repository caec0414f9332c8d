import { describe, expect, it } from 'vitest';
import type { Rule, Study } from '../../lib/rack/studyModel.js';
import { enumeratePlacements } from './enumeratePlacements.js';
import { chiSquareScore, POOR_FIT } from './goodnessOfFit.js';
import { sampleStudy } from './sampleStudy.js';
import { drawnUnits, loadsOf, placeNames, sourcesOf, tally } from './scenarioHelpers.js';

const DRAWS = 100_000;

function even(slotCount: number, id: string, count: number, rules: Rule[], sources = 2): Study {
  return sampleStudy(slotCount, {
    sources: { units: [{ id: 'shelf', count: sources }], positions: { draw: 'uniform' } },
    loads: { draw: 'even', id, count: { min: count, max: count }, totalPower: 6000 },
    rules,
  });
}

describe('even loads', () => {
  it('share the total equally over a number of units that is uniform over its range', () => {
    const study = sampleStudy(12, { loads: { draw: 'even', id: 'node', count: { min: 2, max: 6 }, totalPower: 9000 } });
    const counts = new Array<number>(5).fill(0);
    for (const units of drawnUnits(study, 20_000)) {
      const loads = loadsOf(units);
      counts[loads.length - 2]++;
      expect(loads.every((unit) => unit.power === 9000 / loads.length)).toBe(true);
    }
    expect(chiSquareScore(counts, new Array<number>(5).fill(4000))).toBeLessThan(POOR_FIT);
  });

  it.each<[string, Study]>([
    ['one slot high, no rules', even(7, 'node', 3, [])],
    ['two slots high: some source arrangements leave no room', even(9, 'double', 3, [])],
    ['not next to the sources', even(8, 'node', 3, [{ rule: 'not-next-to', units: 'loads', neighbours: 'sources' }])],
    [
      'together, so that few source arrangements admit them',
      even(8, 'node', 4, [{ rule: 'together', units: 'loads' }]),
    ],
    [
      'apart and in a band',
      even(11, 'node', 3, [
        { rule: 'apart', units: 'loads', slotsBetween: 1 },
        { rule: 'only-in-band', units: { id: 'node' }, fromSlot: 3, toSlot: 9 },
      ]),
    ],
    // 2000 W each: at most one of three in slots 1..6.
    [
      'under a cap on a band',
      even(9, 'node', 3, [{ rule: 'max-power-in-band', fromSlot: 1, toSlot: 6, power: 3999 }], 1),
    ],
    // 3000 W each on two slots: half a unit counts half, so at most one and a half units in slots 2..7.
    [
      'two slots high under overlapping caps',
      even(
        11,
        'double',
        2,
        [
          { rule: 'max-power-in-band', fromSlot: 2, toSlot: 7, power: 4500 },
          { rule: 'max-power-in-band', fromSlot: 6, toSlot: 9, power: 3000 },
        ],
        1,
      ),
    ],
  ])('stand uniformly beside sources that are uniform over those that leave room: %s', (_, study) => {
    const draw = study.loads as Extract<Study['loads'], { draw: 'even' }>;
    const pairs = enumeratePlacements(study, draw.id, draw.count.min, draw.totalPower / draw.count.min);
    const names: string[] = [];
    const expected: number[] = [];
    for (const { sources, loads } of pairs) {
      const sourceNames = sources.map(({ id, bottomSlot }) => `${id}@${bottomSlot}`).join(' ');
      for (const bottoms of loads) {
        names.push(`${sourceNames} | ${bottoms.join(' ')}`);
        expected.push(DRAWS / pairs.length / loads.length);
      }
    }
    expect(names.length).toBeGreaterThan(20);
    expect(Math.min(...expected)).toBeGreaterThan(5);
    const drawn = drawnUnits(study, DRAWS).map(
      (units) =>
        `${placeNames(sourcesOf(units))} | ${loadsOf(units)
          .map((unit) => unit.bottomSlot)
          .join(' ')}`,
    );
    expect(chiSquareScore(tally(drawn, names), expected)).toBeLessThan(POOR_FIT);
  });

  it('keep a cap on a band that a free draw would break in nearly every scenario', () => {
    const rules: Rule[] = [{ rule: 'max-power-in-band', fromSlot: 1, toSlot: 20, power: 6000 }];
    const study = sampleStudy(44, {
      sources: { units: [{ id: 'shelf', count: 4 }], positions: { draw: 'uniform' } },
      loads: { draw: 'even', id: 'node', count: { min: 16, max: 16 }, totalPower: 92_000 },
      rules,
    });
    for (const units of drawnUnits(study, 1000)) {
      expect(loadsOf(units)).toHaveLength(16);
      expect(loadsOf(units).filter((unit) => unit.bottomSlot <= 20).length).toBeLessThanOrEqual(1);
    }
  });

  it('name a load the catalogue lacks', () => {
    expect(() => drawnUnits(even(8, 'server', 2, []), 1)).toThrow(
      'study: loads.id: found "server"; a load of the equipment catalogue is allowed: node, double, quad',
    );
  });
});
