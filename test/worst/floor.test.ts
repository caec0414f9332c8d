/** The floor against every placement of small studies, rated one by one. */
import { describe, expect, it } from 'vitest';
import { NOMINAL_BUILD, scenarioSource } from '../../lib/draw/index.js';
import { RackModel } from '../../lib/ladder/index.js';
import { loadStudy, type Study } from '../../lib/rack/index.js';
import { enumeratePlacements } from '../../lib/worst/enumeratePlacements.js';
import { proveFloor } from '../../lib/worst/floor.js';
import { onlyNarrows } from '../../lib/worst/onlyNarrows.js';
import { type ToleranceRanges, toleranceRanges } from '../../lib/worst/toleranceRanges.js';
import { atEnds, builds, floorStudy, rangesOf, varied } from './floorStudies.js';
import { smallStudy } from './smallStudies.js';

/** `npm run prove` takes 500, which lasts two minutes. */
const CASES = Number(process.env.FLOOR_CASES ?? 28);
const PLACEMENTS = 4000;
const noClock = () => 0;

function lowestOf(study: Study, ranges: ToleranceRanges): number {
  const model = new RackModel(study.rack);
  let lowest = Number.POSITIVE_INFINITY;
  let index = 0;
  for (const units of enumeratePlacements(study, { limit: PLACEMENTS, powerSteps: 4 })) {
    for (const build of builds(ranges)) {
      const scenario = { index: 0, units: atEnds(units, ranges, index++), build };
      lowest = Math.min(lowest, model.rate(scenario).power);
    }
  }
  return lowest;
}

function lowestDrawn(study: Study): number {
  const source = scenarioSource(study);
  const model = new RackModel(study.rack);
  return Math.min(...Array.from({ length: 20 }, (_, i) => (
    model.rate({ ...source.draw(i).scenario, build: NOMINAL_BUILD }).power)));
}

describe('the floor', () => {
  it(`is carried by every placement of ${CASES} small studies`, () => {
    let compared = 0;
    let near = 0;
    for (let seed = 0; compared < CASES; seed++) {
      const study = floorStudy(seed);
      const { limits } = study.rack;
      if (!Number.isFinite(limits.barRise) && !Number.isFinite(limits.barTemperature)) continue;
      const ranges = rangesOf(study, seed);
      let lowest: number;
      try {
        lowest = lowestOf(study, ranges);
      } catch (error) {
        if (error instanceof RangeError) continue;
        throw error;
      }
      compared++;
      // Sought above the true worst, so that a floor that is too high can show itself.
      const floor = proveFloor(study, ranges, { below: 1.1 * lowest, mostClasses: 12 }, noClock);
      expect(floor.power, `seed ${seed}, ${study.loads.draw}, ${floor.limitedBy}`).toBeLessThanOrEqual(lowest * (1 + 1e-6));
      if (floor.power > 0.9 * lowest) near++;
    }
    // A floor that is far too low would pass the test above whatever it did.
    expect(near).toBeGreaterThan(CASES / 3);
  }, 600_000);

  it('rises as its classes are split, and never above the power it is sought below', () => {
    for (const seed of [7, 9, 19, 42, 63]) {
      const study = varied(smallStudy(seed), seed);
      const below = 2 * lowestDrawn(study);
      let before = 0;
      for (const mostClasses of [2, 6, 20, 60]) {
        const floor = proveFloor(study, toleranceRanges(study, null), { below, mostClasses }, noClock);
        expect(floor.power, `seed ${seed}`).toBeGreaterThanOrEqual(before * (1 - 1e-9));
        expect(floor.power).toBeLessThanOrEqual(below);
        before = floor.power;
      }
    }
  });

  it('is no higher over wider ranges', () => {
    for (const seed of [1, 7, 10, 13, 14, 23]) {
      const study = varied(smallStudy(seed), seed);
      const below = 2 * lowestDrawn(study);
      const floors = [null, 50, 90].map((cover) => (
        proveFloor(study, toleranceRanges(study, cover), { below, mostClasses: 20 }, noClock).power));
      expect(floors[2], `seed ${seed}`).toBeLessThanOrEqual(floors[1] * (1 + 1e-9));
    }
  });

  it('is no lower where a rule is added that only narrows what is drawn', () => {
    let compared = 0;
    for (let seed = 0; seed < 35; seed++) {
      const study = varied(smallStudy(seed), seed);
      if (study.rules.length === 0 || !onlyNarrows({ ...study, rules: [] }, study.rules)) continue;
      const ranges = toleranceRanges(study, null);
      const below = lowestDrawn(study);
      const free = proveFloor({ ...study, rules: [] }, ranges, { below, mostClasses: 10 }, noClock);
      const ruled = proveFloor(study, ranges, { below, mostClasses: 10, atLeast: free.power }, noClock);
      expect(ruled.power, `seed ${seed}`).toBeGreaterThanOrEqual(free.power);
      const alone = proveFloor(study, ranges, { below, mostClasses: 40 }, noClock);
      expect(alone.power, `seed ${seed}`).toBeGreaterThan(0.97 * free.power);
      compared++;
    }
    expect(compared).toBeGreaterThan(8);
  });

  it('is raised where the sources of the plain bar keep to its middle third', () => {
    const { study } = loadStudy('data-demo/plain-bar-even.json');
    const ranges = toleranceRanges(study, null);
    const free = proveFloor(study, ranges, { below: 42e3, mostClasses: 60 }, noClock);
    const middle = { rule: 'only-in-band', units: 'sources', fromSlot: 13, toSlot: 24 } as const;
    const ruled = proveFloor({ ...study, rules: [...study.rules, middle] }, ranges, { below: 60e3, mostClasses: 60 }, noClock);
    expect(free.power).toBeGreaterThan(41e3);
    expect(ruled.power).toBeGreaterThan(1.03 * free.power);
  });

  it('is refused where neither rise nor temperature of the bar is limited', () => {
    const study = smallStudy(0);
    const { limits } = study.rack;
    const rack = {
      ...study.rack, limits: { ...limits, barRise: Number.POSITIVE_INFINITY, barTemperature: Number.POSITIVE_INFINITY },
    };
    expect(() => proveFloor({ ...study, rack }, toleranceRanges(study, null), { below: 1e5 }, noClock))
      .toThrow(/no limit on bar rise or bar temperature; give one/);
  });
});
