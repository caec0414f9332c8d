/** When a proof ends, and what it says then. */
import { beforeEach, describe, expect, it } from 'vitest';
import { InputError } from '../../lib/rack/index.js';
import type { Floor } from '../../lib/worst/answers.js';
import { type FloorOptions, proveFloor } from '../../lib/worst/floor.js';
import { FloorSearch } from '../../lib/worst/floorSearch.js';
import { toleranceRanges } from '../../lib/worst/toleranceRanges.js';
import { floorStudy } from './floorStudies.js';

const study = floorStudy(11);
const ranges = toleranceRanges(study, null);
const noClock = () => 0;
const prove = (options: FloorOptions, now = noClock) => proveFloor(study, ranges, options, now);
/** W: far above what any placement carries. */
const HIGH = 40e3;

describe('a proof', () => {
  let coarse: Floor;
  beforeEach(() => { coarse = prove({ below: HIGH, mostClasses: 1 }); });

  it('bounds the roots at least, and no more classes than asked for but the parts of the last one split', () => {
    expect(coarse).toMatchObject({ kind: 'bounded', classes: study.rack.operatingStates.length, finished: false, ranges });
    const finer = prove({ below: HIGH, mostClasses: 9 });
    expect(finer.classes).toBeGreaterThanOrEqual(9);
    expect(finer.classes).toBeLessThanOrEqual(10);
    expect(finer.power).toBeGreaterThan(coarse.power);
  });

  it('ends, and says so, where nothing can be refined or the floor reaches what it is sought below', () => {
    const low = prove({ below: 0.5 * coarse.power });
    expect(low).toMatchObject({ power: 0.5 * coarse.power, finished: true, limitedBy: 'the lowest power found' });
    const aimed = prove({ below: 1.5 * coarse.power, gap: 0.6 });
    expect(aimed.finished).toBe(false);
    expect(aimed.classes).toBe(coarse.classes);
    const all = prove({ below: HIGH });
    expect(all.finished).toBe(true);
    expect(all.power).toBeLessThan(HIGH);
    expect(all.limitedBy).toMatch(/^(bar rise|bar temperature|contact temperature) at slot \d+$/);
  });

  it('gives no less than a floor known already, and no more for one that is lower', () => {
    expect(prove({ below: HIGH, mostClasses: 1, atLeast: 2 * coarse.power }).power).toBe(2 * coarse.power);
    expect(prove({ below: HIGH, mostClasses: 1, atLeast: 0.5 * coarse.power }).power).toBe(coarse.power);
  });

  it('ends at the time given and tells how far it is every half second', () => {
    let clock = 5000;
    const told: [number, number][] = [];
    const options = { below: HIGH, seconds: 2, onProgress: (floor: number, open: number) => told.push([floor, open]) };
    // A quarter of a second passes at each look at the clock.
    const { seconds, finished } = prove(options, () => (clock += 250));
    expect(finished).toBe(false);
    expect(seconds).toBeGreaterThanOrEqual(2);
    expect(seconds).toBeLessThan(3);
    expect(told.length).toBeGreaterThanOrEqual(1);
    expect(told.length).toBeLessThanOrEqual(3);
    for (const [floor, open] of told) {
      expect(floor).toBeGreaterThanOrEqual(coarse.power * (1 - 1e-9));
      expect(open).toBeGreaterThan(0);
    }
    const quiet: number[] = [];
    prove({ below: HIGH, mostClasses: 9, onProgress: (floor) => quiet.push(floor) });
    expect(quiet).toEqual([]);
  });

  it('is limited by what contacts and sources carry themselves where that is least', () => {
    const { rack, catalogue } = study;
    const limits = { ...rack.limits, barRise: 500, barTemperature: 900, contactTemperature: 1200, loadContactCurrent: 1 };
    const contact = proveFloor({ ...study, rack: { ...rack, limits } }, ranges, { below: 2e3 }, noClock);
    expect(contact.limitedBy).toBe('load-contact current');
    const sources = catalogue.sources.map((source) => ({ ...source, maxPower: 100 }));
    const unlimited = { ...limits, loadContactCurrent: Number.POSITIVE_INFINITY };
    const fed = proveFloor({ ...study, rack: { ...rack, limits: unlimited }, catalogue: { ...catalogue, sources } }, ranges, { below: 2e3 }, noClock);
    expect(fed.limitedBy).toMatch(/^source power of /);
    // No source carries more than 100 W, and any one may have to carry the most.
    expect(fed.power).toBeLessThanOrEqual(100 * study.sources.units.reduce((sum, { count }) => sum + count, 0));
    expect(fed.power).toBeGreaterThan(40);
  });

  it('is the same for two poles alike, bounded as one, and for poles that only say the same in other words', () => {
    for (const seed of [11, 35, 53]) {
      const base = floorStudy(seed);
      const { supply } = base.rack;
      const reworded = { joints: [...supply.joints, { aboveSlot: 1, resistance: 0 }], sections: supply.sections };
      const floors = [supply, reworded].map((back) => proveFloor(
        { ...base, rack: { ...base.rack, return: back } }, toleranceRanges(base, null), { below: HIGH, mostClasses: 5 }, noClock));
      expect(floors[0].power).toBeGreaterThan(1000);
      expect(floors[0].power / floors[1].power).toBeCloseTo(1, 9);
      expect(floors[0].limitedBy).toBe(floors[1].limitedBy);
    }
  });

  it('is refused for a rack with a frame', () => {
    const frame = {} as NonNullable<typeof study.rack.frame>;
    const make = () => new FloorSearch({ ...study, rack: { ...study.rack, frame } }, ranges, HIGH);
    expect(make).toThrow(InputError);
    expect(make).toThrow(/rack.*frame: found a frame that carries return current; .*leave it out where a floor is asked for/s);
  });
});
