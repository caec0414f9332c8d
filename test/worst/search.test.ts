import { describe, expect, it } from 'vitest';
import { scenarioSource } from '../../lib/draw/index.js';
import { RackModel } from '../../lib/ladder/index.js';
import { loadStudy } from '../../lib/rack/index.js';
import { allowedPlacement } from '../../lib/worst/allowedPlacement.js';
import { enumeratePlacements } from '../../lib/worst/enumeratePlacements.js';
import { searchWorst } from '../../lib/worst/search.js';
import { SearchSpace } from '../../lib/worst/searchSpace.js';
import { toleranceRanges } from '../../lib/worst/toleranceRanges.js';
import { racks } from '../ladder/randomRack.js';
import { smallStudy } from './smallStudies.js';
import { trueWorst, worstBuild } from './trueWorst.js';

/** A rack of more placements than this is left to the search alone. */
const ENUMERABLE = 20_000;
/** The studies that follow one another hold every draw. `npm run prove` takes 200. */
const RACKS = Number(process.env.SEARCH_RACKS ?? 14);

const plainBar = loadStudy('data-demo/plain-bar-even.json').study;

describe('searchWorst against every placement rated', () => {
  it(`finds the true worst of ${RACKS} random small racks`, () => {
    let compared = 0;
    for (let seed = 0; compared < RACKS; seed++) {
      const study = smallStudy(seed);
      const ranges = toleranceRanges(study, null);
      const truth = trueWorst(study, ranges, ENUMERABLE);
      if (truth === null) continue;
      compared++;
      const found = searchWorst(study, ranges, { seed: `${seed}`, starts: 6, kicks: 4 });
      expect(Math.abs(found.rated.power / truth.power - 1), `study ${seed}`).toBeLessThan(1e-6);
    }
  });

  it('finds it with the inlet and the sharing weights at either end', () => {
    const count = racks(40);
    let compared = 0;
    for (let seed = 0; compared < count; seed++) {
      const study = smallStudy(seed);
      const ranges = toleranceRanges(study, 98);
      if (ranges.inlet.min === ranges.inlet.max) continue;
      const truth = trueWorst(study, ranges, 300);
      if (truth === null) continue;
      compared++;
      const found = searchWorst(study, ranges, { seed: `${seed}`, starts: 6, kicks: 4 });
      expect(Math.abs(found.rated.power / truth.power - 1), `study ${seed}`).toBeLessThan(1e-6);
    }
  });

  it('keeps an allowed placement as it is: every one can be stood on', () => {
    for (let seed = 0; seed < racks(140); seed++) {
      const study = smallStudy(seed);
      const space = new SearchSpace(study, toleranceRanges(study, null));
      // Observed loads that follow from the sources say not which rack they were.
      if (space.loadsFollow) continue;
      let looked = 0;
      for (const units of enumeratePlacements(study, { limit: 10 * ENUMERABLE })) {
        const kept = space.candidate(space.layoutOf(units))?.units.map(({ equipment, bottomSlot, power }) =>
          [equipment, bottomSlot, power]);
        expect(kept, `study ${seed}`).toEqual(units.map(({ equipment, bottomSlot, power }) =>
          [equipment, bottomSlot, power === 0 ? 0 : expect.closeTo(power, 6)]));
        if (++looked === 50) break;
      }
    }
  });
});

describe('searchWorst', () => {
  it('gives an allowed placement that carries what is said, and never more than 200 drawn ones', () => {
    for (let seed = 0; seed < racks(28); seed++) {
      const study = smallStudy(seed);
      const ranges = toleranceRanges(study, 98);
      const { rated, scenario, starts, agreeing } = searchWorst(study, ranges, { seed: 'a', starts: 6, kicks: 4 });
      expect(allowedPlacement(study).objection(scenario.units)).toBeNull();
      const model = new RackModel(study.rack);
      expect(model.rate(scenario)).toEqual(rated);
      expect(starts).toBe(6);
      expect(agreeing).toBeGreaterThan(0);
      const source = scenarioSource(study);
      for (let index = 0; index < 200; index++) {
        const { units } = source.draw(index).scenario;
        const { power } = model.rate({
          index,
          units: units.map((unit) => {
            const most = unit.kind === 'load' ? ranges.loadContact : ranges.sourceContact;
            const contactResistance = most === null ? unit.contactResistance : ([most.max, most.max] as const);
            return { ...unit, sharingWeight: 1, contactResistance };
          }),
          build: worstBuild(ranges, ranges.inlet.max),
        });
        expect(rated.power, `study ${seed}, scenario ${index}`).toBeLessThanOrEqual(power * (1 + 1e-7));
      }
    }
  });

  it('gives the same answer for the same seed', () => {
    const options = { seed: 'once', starts: 2, kicks: 1 };
    const [one, two] = [0, 1].map(() => searchWorst(plainBar, toleranceRanges(plainBar, 98), options));
    expect({ ...two, seconds: 0 }).toEqual({ ...one, seconds: 0 });
  });

  it('tells after each start the lowest so far, and ends at the time set, after one start at least', () => {
    const told: { start: number; starts: number; lowest: number }[] = [];
    const study = smallStudy(1);
    const ranges = toleranceRanges(study, null);
    const found = searchWorst(study, ranges, { seed: 'a', starts: 3, onProgress: (done) => told.push(done) });
    expect(told.map(({ start, starts }) => [start, starts])).toEqual([[1, 3], [2, 3], [3, 3]]);
    expect(told[1].lowest).toBeLessThanOrEqual(told[0].lowest);
    expect(told[2].lowest).toBe(found.rated.power);
    expect(searchWorst(study, ranges, { seed: 'a', starts: 1000, seconds: 0 }).starts).toBe(1);
  });

  it('refuses to search from no start', () => {
    expect(() => searchWorst(plainBar, toleranceRanges(plainBar, null), { seed: 'a', starts: 0 })).toThrow(RangeError);
  });
});
