/** The search on the demonstration racks, too large to rate every placement. */
import { describe, expect, it } from 'vitest';
import { RackModel } from '../../lib/ladder/index.js';
import { loadStudy, type Study } from '../../lib/rack/index.js';
import { allowedPlacement } from '../../lib/worst/allowedPlacement.js';
import { unitsOf } from '../../lib/worst/enumeratePlacements.js';
import { searchWorst } from '../../lib/worst/search.js';
import { toleranceRanges } from '../../lib/worst/toleranceRanges.js';
import { worstBuild } from './trueWorst.js';

const deepBar = loadStudy('data-demo/deep-bar-anywhere.json').study;
const plainBar = loadStudy('data-demo/plain-bar-even.json').study;

describe('searchWorst on the demonstration racks', () => {
  it.each([
    ['deep bar', deepBar, null], ['deep bar', deepBar, 98], ['plain bar', plainBar, null], ['plain bar', plainBar, 98],
  ])(
    'agrees within 0.5 % from three seeds: %s, %#', (_, study, cover) => {
      const ranges = toleranceRanges(study, cover);
      const powers = ['a', 'b', 'c']
        .map((seed) => searchWorst(study, ranges, { seed, starts: 2, kicks: 2 }).rated.power);
      expect(Math.max(...powers)).toBeLessThan(1.005 * Math.min(...powers));
    },
  );

  it('fills the deep bar with the lightest loads beside one strong one, below 88.6 kW', () => {
    const ranges = toleranceRanges(deepBar, null);
    const { rated, scenario } = searchWorst(deepBar, ranges, { seed: 'd', starts: 1, kicks: 1 });
    expect(rated.power).toBeLessThan(88_600);
    expect(rated.limit).toBe('contact-temperature');
    const loads = scenario.units.filter(({ kind }) => kind === 'load').map(({ power }) => power);
    expect(loads.filter((power) => power > 1500)).toHaveLength(1);
  });

  it('comes, started blind, to a placement as bad as sources at the top and sixteen loads at the bottom', () => {
    // The worst of three named layouts; common practice, no published source.
    const study: Study = {
      ...deepBar,
      rack: { ...deepBar.rack, operatingStates: ['all-in-service'] },
      sources: { units: [{ id: 'shelf-33', count: 3 }], positions: { draw: 'uniform' } },
      loads: { draw: 'even', id: 'node-1', count: { min: 16, max: 16 }, totalPower: 92_000 },
    };
    const ranges = toleranceRanges(study, null);
    const unit = (kind: 'power-shelf' | 'load', equipment: string, bottomSlot: number, power: number) =>
      ({ kind, equipment, bottomSlot, heightSlots: 1, power });
    const topFed = [
      ...[42, 43, 44].map((slot) => unit('power-shelf', 'shelf-33', slot, 0)),
      ...Array.from({ length: 16 }, (_, at) => unit('load', 'node-1', 1 + at, 5750)),
    ];
    expect(allowedPlacement(study).objection(topFed)).toBeNull();
    const units = unitsOf(study)(topFed);
    const named = new RackModel(study.rack).rate({ index: 0, units, build: worstBuild(ranges, ranges.inlet.max) });
    const found = searchWorst(study, ranges, { seed: 'blind', starts: 2, kicks: 2 });
    expect(found.rated.power).toBeLessThanOrEqual(named.power * (1 + 1e-9));
  });
});
