import { describe, expect, it } from 'vitest';
import { scenarioSource } from '../../lib/draw/scenarioSource.js';
import type { ObservedRack, ObservedUnit, Rule, Study } from '../../lib/rack/studyModel.js';
import { chiSquareScore, POOR_FIT } from './goodnessOfFit.js';
import { sampleStudy } from './sampleStudy.js';
import { drawnUnits, loadsOf, tally } from './scenarioHelpers.js';

function unit(equipment: string, bottomSlot: number, heightSlots: number, power: number): ObservedUnit {
  return { equipment, bottomSlot, heightSlots, power };
}

function study(
  slotCount: number,
  racks: ObservedRack[],
  places: 'observed' | 'shuffled',
  rules: Rule[] = [],
  shelfSlot = 3,
): Study {
  return sampleStudy(slotCount, {
    sources: { units: [], positions: { draw: 'fixed', units: [{ id: 'shelf', bottomSlot: shelfSlot }] } },
    loads: { draw: 'inventory', racks, places },
    rules,
  });
}

function places(given: Study): { places: string; leftOut: number } {
  const { scenario, unitsLeftOut } = scenarioSource(given).draw(0);
  return {
    places: loadsOf(scenario.units)
      .map(({ equipment, bottomSlot }) => `${equipment}@${bottomSlot}`)
      .join(' '),
    leftOut: unitsLeftOut,
  };
}

describe('loads from an inventory at their observed places', () => {
  it('keep their places and powers where they are free', () => {
    const rack = { rack: 'r', units: [unit('double', 5, 2, 900), unit('node', 1, 1, 400), unit('node', 8, 1, 0)] };
    const [units] = drawnUnits(study(8, [rack], 'observed'), 1);
    expect(loadsOf(units).map(({ bottomSlot, power, contactSlot }) => [bottomSlot, power, contactSlot])).toEqual([
      [1, 400, 1],
      [5, 900, 6],
      [8, 0, 8],
    ]);
  });

  it('go to the nearest free place, the lower of two, after all others have kept theirs', () => {
    const rack = (units: ObservedUnit[]): ObservedRack[] => [{ rack: 'r', units }];
    // The shelf stands in slot 3.
    expect(places(study(8, rack([unit('node', 3, 1, 1), unit('node', 2, 1, 1)]), 'observed'))).toEqual({
      places: 'node@2 node@4',
      leftOut: 0,
    });
    expect(places(study(8, rack([unit('node', 3, 1, 1)]), 'observed')).places).toBe('node@2');
    expect(places(study(8, rack([unit('double', 2, 2, 1), unit('node', 4, 1, 1)]), 'observed')).places).toBe(
      'double@1 node@4',
    );
  });

  it('come down from a higher observed rack', () => {
    const racks = [{ rack: 'r', units: [unit('double', 40, 2, 1), unit('node', 41, 1, 1)] }];
    expect(places(study(8, racks, 'observed')).places).toBe('node@6 double@7');
  });

  it('are left out and counted where no place is left or a rule on power breaks', () => {
    const racks = [
      {
        rack: 'r',
        units: [unit('quad', 4, 4, 1000), unit('quad', 1, 4, 1000), unit('node', 1, 1, 900), unit('node', 2, 1, 200)],
      },
    ];
    expect(places(study(8, racks, 'observed', [{ rule: 'max-power-per-slot', power: 500 }]))).toEqual({
      places: 'node@2 quad@4',
      leftOut: 2,
    });
    // The second node finds its power's place outside the capped band.
    expect(
      places(
        study(8, racks.slice(0, 1), 'observed', [{ rule: 'max-power-in-band', fromSlot: 1, toSlot: 2, power: 900 }]),
      ),
    ).toEqual({
      places: 'node@1 quad@4 node@8',
      leftOut: 1,
    });
  });

  it('resample every rack equally often', () => {
    const racks = [1, 2, 4, 5].map((slot) => ({ rack: `r${slot}`, units: [unit('node', slot, 1, 100)] }));
    const slots = drawnUnits(study(8, racks, 'observed'), 20_000).map((units) => String(loadsOf(units)[0].bottomSlot));
    expect(chiSquareScore(tally(slots, ['1', '2', '4', '5']), [5000, 5000, 5000, 5000])).toBeLessThan(POOR_FIT);
  });
});

describe('loads from an inventory, shuffled', () => {
  it('of one slot are uniform over all placements, each power in each of the places', () => {
    const racks = [{ rack: 'r', units: [unit('node', 1, 1, 100), unit('node', 2, 1, 200)] }];
    const names: string[] = [];
    for (const a of [1, 2, 4, 5]) for (const b of [1, 2, 4, 5]) if (a !== b) names.push(`${a} ${b}`);
    const drawn = drawnUnits(study(5, racks, 'shuffled'), 30_000).map((units) =>
      loadsOf(units)
        .sort((a, b) => a.power - b.power)
        .map((one) => one.bottomSlot)
        .join(' '),
    );
    expect(chiSquareScore(tally(drawn, names), new Array<number>(12).fill(2500))).toBeLessThan(POOR_FIT);
  });

  it('place the highest first, so that it is left out only where it cannot stand at all', () => {
    const racks = [
      {
        rack: 'r',
        units: [unit('node', 1, 1, 100), unit('quad', 5, 4, 100), unit('node', 2, 1, 100), unit('double', 2, 2, 100)],
      },
    ];
    for (let index = 0; index < 200; index++) {
      const { scenario, unitsLeftOut } = scenarioSource(study(8, racks, 'shuffled')).draw(index);
      expect(scenario.units.some(({ equipment }) => equipment === 'quad')).toBe(true);
      expect(unitsLeftOut).toBe(4 - loadsOf(scenario.units).length);
    }
  });
});

describe('an inventory that cannot be drawn is refused:', () => {
  it.each<[string, ObservedRack[], RegExp]>([
    ['no rack', [], /loads\.racks: found no rack/],
    [
      'a rack without power',
      [{ rack: 'idle', units: [unit('node', 1, 1, 0)] }],
      /racks\[0\]\.units: found no unit of "idle" that draws power/,
    ],
    [
      'a unit outside the catalogue',
      [{ rack: 'r', units: [unit('blade', 1, 1, 5)] }],
      /racks\[0\]\.units\[0\]\.equipment: found "blade"/,
    ],
    [
      'a unit lower than its contact',
      [{ rack: 'r', units: [unit('double', 1, 1, 5)] }],
      /units\[0\]\.heightSlots: found 1; "double" has its contact in slot 2/,
    ],
  ])('%s', (_, racks, message) => {
    expect(() => drawnUnits(study(8, racks, 'observed'), 1)).toThrow(message);
  });
});
