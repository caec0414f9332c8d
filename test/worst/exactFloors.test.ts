/** Floors without a gap, of studies whose worst order is known or whose placements can all be rated; and both sides together. */
import { describe, expect, it } from 'vitest';
import { NOMINAL_BUILD } from '../../lib/draw/index.js';
import { LIMIT_WORDS, RackModel, type RatedPower } from '../../lib/ladder/index.js';
import type { Catalogue, Frame, LoadsDraw, Rule, SourcePositions, Study } from '../../lib/rack/index.js';
import {
  countPlacements, enumeratedFloor, enumeratePlacements, type Floor, provenOrder, toleranceRanges, worstAnswer, type WorstOptions,
} from '../../lib/worst/index.js';
import { gapPercent } from '../../lib/worst/worstAnswer.js';
import { plainPole, sampleRack } from '../ladder/sampleRack.js';
import { smallStudy } from './smallStudies.js';

const noClock = () => 0;
const nominal = (study: Study) => toleranceRanges(study, null);

function lowestOf(study: Study): RatedPower {
  const model = new RackModel(study.rack);
  let lowest: RatedPower | null = null;
  for (const units of enumeratePlacements(study, { limit: 20_000 })) {
    const rated = model.rate({ index: 0, units, build: NOMINAL_BUILD });
    if (lowest === null || rated.power < lowest.power) lowest = rated;
  }
  if (lowest === null) throw new Error('a study without placements');
  return lowest;
}

/** Loads of one type that heat the bar through their current alone, beside two shelves at one end of nine slots. */
function endFed(id: 'node' | 'double', shelves: readonly number[], change: Partial<Study> = {}): Study {
  const study = smallStudy(0);
  const catalogue: Catalogue = {
    ...study.catalogue,
    sources: study.catalogue.sources.map((type) => ({ ...type, maxCurrent: Infinity, maxPower: Infinity })),
    loads: study.catalogue.loads.map((type) => ({
      ...type, contactSlot: 1, heatPath: { conductance: 0, rise: 0 },
      contact: { ...type.contact, resistance: 8e-5, thermalResistance: 0.2, heatShare: 0, edgeHeight: 0 },
    })),
  };
  const rack = sampleRack({
    slotCount: 9, pitch: 0.2, operatingStates: ['all-in-service', 'one-source-out'],
    limits: { barRise: 25, lowestLoadVoltage: 44 },
  });
  const positions: SourcePositions = { draw: 'fixed', units: shelves.map((bottomSlot) => ({ id: 'shelf', bottomSlot })) };
  return {
    ...study, catalogue, rack, rules: [],
    sources: { units: [{ id: 'shelf', count: shelves.length }], positions },
    loads: { draw: 'even', id, count: { min: 2, max: 3 }, totalPower: 9000 },
    ...change,
  };
}

describe('the floor in closed form', () => {
  it.each([
    ['nodes fed from the bottom', 'node' as const, [1, 2]], ['nodes fed from the top', 'node' as const, [8, 9]],
    ['doubles fed from the bottom', 'double' as const, [1, 2]], ['doubles fed from the top', 'double' as const, [8, 9]],
  ])('is what the worst of all placements carries: %s', (_, id, shelves) => {
    const study = endFed(id, shelves);
    const lowest = lowestOf(study);
    const floor = provenOrder(study, nominal(study));
    expect(floor).toMatchObject({ kind: 'proven order', classes: 1, seconds: 0, finished: true, ranges: nominal(study) });
    expect((floor?.power ?? 0) / lowest.power).toBeCloseTo(1, 7);
    expect(floor?.limitedBy).toBe(`${LIMIT_WORDS[lowest.limit]} at slot ${lowest.slot}`);
    // Fewer and larger loads nearer to the feed carry more.
    expect(provenOrder({ ...study, loads: { ...study.loads, count: { min: 3, max: 3 } } as LoadsDraw }, nominal(study))?.power)
      .toBeGreaterThan(1.001 * lowest.power);
  });

  const study = endFed('node', [1, 2]);
  const loadsWith = (change: object) => ({
    ...study.catalogue, loads: study.catalogue.loads.map((type) => ({ ...type, ...change })),
  });
  const { contact } = study.catalogue.loads[0];
  const far: Rule = { rule: 'min-free-slots', count: 1 };
  const frame: Frame = { resistancePerMetre: 1e-5, bonds: [{ slot: 1, resistance: 1e-6, maxCurrent: Infinity }, { slot: 9, resistance: 1e-6, maxCurrent: Infinity }] };
  it.each<[string, Partial<Study>]>([
    ['a rule', { rules: [far] }],
    ['another draw', { loads: { draw: 'random-split', id: 'node', count: { min: 2, max: 3 }, totalPower: 9000, concentration: 1 } }],
    ['sources drawn', { sources: { units: [{ id: 'shelf', count: 2 }], positions: { draw: 'contiguous' } } }],
    ['sources with a slot between', { sources: endFed('node', [1, 3]).sources }],
    ['sources with a slot beyond', { sources: endFed('node', [7, 8]).sources }],
    ['sources at both ends', { sources: endFed('node', [1, 9]).sources }],
    ['a frame', { rack: { ...study.rack, frame } }],
    ['exhaust', { rack: { ...study.rack, air: { ...study.rack.air, exhaustRise: 1e-4 } } }],
    ['a heat path', { catalogue: loadsWith({ heatPath: { conductance: 0.1, rise: 0 } }) }],
    ['contacts over a part of the depth', { catalogue: loadsWith({ contact: { ...contact, edgeHeight: 0.01 } }) }],
    ['contacts that heat the bar', { catalogue: loadsWith({ contact: { ...contact, heatShare: 0.5 } }) }],
  ])('is not known with %s', (_, change) => {
    expect(provenOrder({ ...study, ...change }, nominal(study))).toBeNull();
  });

  it('would be too high beside a frame tied to the return pole at both ends: loads in the middle carry less', () => {
    const thin = plainPole(9, { plates: { count: 1, depth: 0.06, thickness: 0.005, gap: 0 } });
    const tied = endFed('node', [1, 2], {
      rack: { ...study.rack, return: thin, frame, operatingStates: ['all-in-service'] },
      loads: { draw: 'even', id: 'node', count: { min: 2, max: 2 }, totalPower: 9000 },
    });
    const model = new RackModel(tied.rack);
    const packed = [...enumeratePlacements(tied, { limit: 100 })].filter((units) => units[2].bottomSlot === 8 && units[3].bottomSlot === 9);
    expect(packed).toHaveLength(1);
    const atFarEnd = model.rate({ index: 0, units: packed[0], build: NOMINAL_BUILD }).power;
    expect(lowestOf(tied).power).toBeLessThan(0.92 * atFarEnd);
    expect(() => worstAnswer(tied, nominal(tied), { seed: 'frame', starts: 1, seconds: 1e-9, now: noClock })).toThrow(/a frame that carries return current/);
  });

  it('is not known within ranges, and is where contacts have no resistance to heat by', () => {
    const uncertain = { perScenario: {}, sourceContact: null, loadContact: null, sharingWeight: null };
    expect(provenOrder(study, toleranceRanges({ ...study, uncertain }, 90))).toBeNull();
    const cold = { ...study, catalogue: loadsWith({ contact: { ...contact, resistance: 0, heatShare: 1 } }) };
    expect(provenOrder(cold, nominal(cold))?.kind).toBe('proven order');
  });
});

describe('the floor by rating every placement', () => {
  it('is the lowest of them, and tells which limit it has', () => {
    const words = new Set<string>();
    for (const seed of [4, 11, 18, 25, 32, 39]) {
      const study = smallStudy(seed);
      const lowest = lowestOf(study);
      const floor = enumeratedFloor(study, nominal(study), noClock);
      expect(floor, `seed ${seed}`).toMatchObject({
        kind: 'enumerated', classes: countPlacements(study), seconds: 0, finished: true, ranges: nominal(study),
        limitedBy: `${LIMIT_WORDS[lowest.limit]} at slot ${lowest.slot}`,
      });
      expect((floor?.power ?? 0) / lowest.power).toBeCloseTo(1, 8);
      words.add(floor?.limitedBy ?? '');
    }
    expect(words.size).toBeGreaterThan(2);
  });

  it('is left where ranges are asked for, or placements are not counted or more than 200,000', () => {
    const study = smallStudy(4);
    expect(enumeratedFloor(study, toleranceRanges(study, 90), noClock)).toBeNull();
    expect(enumeratedFloor(smallStudy(0), nominal(smallStudy(0)), noClock)).toBeNull();
    // Six shelves in 45 slots beside one load: 8,145,060 arrangements, which must not be begun.
    const tall = sampleRack({ slotCount: 46 });
    const many: Study = {
      ...study, rack: tall, rules: [], sources: { units: [{ id: 'shelf', count: 6 }], positions: { draw: 'uniform' } },
      loads: { draw: 'fixed', units: [{ id: 'node', bottomSlot: 1, power: 3000 }] },
    };
    expect(countPlacements(many)).toBe(8_145_060);
    const started = performance.now();
    expect(enumeratedFloor(many, nominal(many), noClock, 0)).toBeNull();
    expect(performance.now() - started).toBeLessThan(300);
  });

  it('is given up at a look at the clock after the time, and tells how long it took in seconds', () => {
    // Three shelves of one slot in 13 slots beside a load: 286 placements, with one look at the clock at 256.
    const rack = sampleRack({ slotCount: 14 });
    const base = smallStudy(4);
    const study: Study = {
      ...base, rack, rules: [], sources: { units: [{ id: 'shelf', count: 3 }], positions: { draw: 'uniform' } },
      loads: { draw: 'fixed', units: [{ id: 'node', bottomSlot: 1, power: 3000 }] },
    };
    expect(countPlacements(study)).toBe(286);
    const ticking = () => {
      let clock = 7000;
      return () => {
        clock += 3000;
        return clock;
      };
    };
    expect(enumeratedFloor(study, nominal(study), ticking(), 2.9)).toBeNull();
    expect(enumeratedFloor(study, nominal(study), ticking(), 3)).toMatchObject({ classes: 286, seconds: 6 });
    expect(enumeratedFloor(study, nominal(study), ticking())).toMatchObject({ classes: 286, seconds: 3 });
  });
});

describe('the worst placement from both sides', () => {
  const asked: WorstOptions = { seed: 'both', starts: 2, now: noClock };

  it('takes the closed form where there is one, then the rating of all, then the bound', () => {
    const proven = endFed('node', [1, 2]);
    const order = worstAnswer(proven, nominal(proven), { ...asked, starts: 1 });
    expect(order.floor).toEqual(provenOrder(proven, nominal(proven)));
    expect(order.gapPercent).toBeCloseTo(0, 5);
    const fixed = smallStudy(4);
    const all = worstAnswer(fixed, nominal(fixed), { ...asked, starts: 1 });
    expect(all.floor).toEqual(enumeratedFloor(fixed, nominal(fixed), noClock));
    expect(all.found.rated.power / all.floor.power).toBeCloseTo(1, 8);
    const drawn = endFed('node', [4, 5]);
    const { found, floor, gapPercent: gap } = worstAnswer(drawn, nominal(drawn), { ...asked, starts: 1 });
    expect(floor.kind).toBe('bounded');
    expect(floor.power).toBeLessThanOrEqual(found.rated.power);
    expect(gap).toBe(100 * (1 - floor.power / found.rated.power));
    // A gap of 1 % is enough where none is asked for.
    expect(gap).toBeLessThan(1.5);
  });

  const study = endFed('node', [4, 5], { loads: { draw: 'even', id: 'node', count: { min: 2, max: 2 }, totalPower: 9000 } });
  const once = { ...asked, starts: 1 };

  it('tells each start of the search, and ends a floor by its gap, or takes one known', () => {
    const starts: [number, number, number][] = [];
    const { found, floor } = worstAnswer(study, nominal(study), {
      ...asked, gap: 0.9, onSearch: (start, of, lowest) => starts.push([start, of, lowest]),
    });
    expect(starts.map(([start, of]) => [start, of])).toEqual([[1, 2], [2, 2]]);
    expect(starts[1][2]).toBe(found.rated.power);
    const near = worstAnswer(study, nominal(study), { ...once, gap: 1e-4 }).floor;
    expect(near.classes).toBeGreaterThan(floor.classes);
    const known = 0.5 * (floor.power + found.rated.power);
    expect(worstAnswer(study, nominal(study), { ...once, gap: 0.9, atLeast: known }).floor.power).toBe(known);
  });

  it('leaves the floor the time that the search has not taken', () => {
    // 50 of 60 s are over once the search is; each later look at the clock takes 2 s more.
    let clock = 20_000;
    let over = false;
    const told: number[] = [];
    const timed: Floor = worstAnswer(study, nominal(study), {
      ...once, gap: 1e-9, seconds: 60, onFloor: (power, open) => told.push(power, open),
      onSearch: () => {
        clock += 48_000;
        over = true;
      },
      now: () => {
        if (over) clock += 2000;
        return clock;
      },
    }).floor;
    expect(timed.finished).toBe(false);
    expect(timed.seconds).toBeGreaterThanOrEqual(10);
    expect(timed.seconds).toBeLessThan(20);
    expect(told.length).toBeGreaterThan(0);
  });

  it('ends the search after a start where its time is over, and not without a time', () => {
    const few = smallStudy(4);
    const starts = (options: Partial<WorstOptions>) => worstAnswer(few, nominal(few), { ...asked, ...options }).found.starts;
    expect(starts({ starts: 50, seconds: 1e-9 })).toBe(1);
    expect(starts({ starts: 3 })).toBe(3);
  });

  it('leaves a gap of per cents of the worst found, none where nothing was carried or the floor is higher by rounding', () => {
    expect(gapPercent(75, 100)).toBe(25);
    expect(gapPercent(0, 0)).toBe(0);
    expect(gapPercent(100.1, 100)).toBe(0);
    expect(gapPercent(0, 0.5)).toBe(100);
  });
});
