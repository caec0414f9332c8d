/** What a search starts from, fills up and rates, by hand. */
import { describe, expect, it } from 'vitest';
import { randomStream, scenarioSource } from '../../lib/draw/index.js';
import { ruleBook } from '../../lib/draw/ruleBook.js';
import { RackModel } from '../../lib/ladder/index.js';
import type { LoadsDraw, Rule, SourcePositions, Study } from '../../lib/rack/index.js';
import { lightestFill } from '../../lib/worst/searchFill.js';
import { bottomsOf, type Candidate, EMPTY, type Item, standingOf } from '../../lib/worst/searchLayout.js';
import { SearchRating } from '../../lib/worst/searchRating.js';
import { SearchSpace } from '../../lib/worst/searchSpace.js';
import { SearchStarts } from '../../lib/worst/searchStarts.js';
import { toleranceRanges } from '../../lib/worst/toleranceRanges.js';
import { load, sampleRack, scenarioOf, shelf as shelfAt } from '../ladder/sampleRack.js';
import { smallStudy } from './smallStudies.js';

/** A shelf of one slot in eight slots. Nodes draw 1.5 to 4 kW, doubles 2 to 7, triples 5. */
function studyOf(loads: LoadsDraw, rules: readonly Rule[] = [], positions: SourcePositions = { draw: 'uniform' }): Study {
  const study = smallStudy(0);
  return {
    ...study, rack: sampleRack({ slotCount: 8 }), loads, rules, sources: { units: [{ id: 'shelf', count: 1 }], positions },
  };
}
const catalogue: LoadsDraw = { draw: 'catalogue', totalPower: 9000, fill: 'anywhere' };
const { types } = ruleBook(studyOf(catalogue));
const item = (id: string, power = 0, weight = 1): Item => {
  const type = power > 0 ? types.load(id, 'test') : types.source(id, 'test');
  return { type, heightSlots: type.heightSlots, power, weight };
};
const shelf = item('shelf');
const node = (power: number) => item('node', power);
const double = (power: number) => item('double', power);
const told = (items: readonly Item[] | null) => items && standingOf(items).map(({ item: { type, power }, bottomSlot }) => (
  power > 0 ? [type?.id, bottomSlot, power] : [type?.id, bottomSlot]));
const empty = (count: number) => new Array<Item>(count).fill(EMPTY);
const spaceOf = (study: Study, cover: number | null = null) => new SearchSpace(study, toleranceRanges(study, cover));
const placedBy = (candidate: Candidate | null) => candidate?.units.map(({ equipment, bottomSlot, power }) => (
  power > 0 ? [equipment, bottomSlot, power] : [equipment, bottomSlot])) ?? null;

describe('a fill with the lightest loads', () => {
  const fill = (items: readonly Item[], fromTop: boolean, rules: readonly Rule[] = [], study = studyOf(catalogue, rules)) => (
    told(lightestFill(study, ruleBook(study))?.(items, fromTop) ?? null));
  const items = [shelf, EMPTY, node(2000), ...empty(5)];

  it('puts the least power per slot first, each at its least, until the total is used up', () => {
    expect(fill(items, false)).toEqual([
      ['shelf', 1], ['node', 2, 1500], ['node', 3, 2000], ['double', 4, 2000], ['double', 6, 2000], ['node', 8, 1500]]);
    expect(fill(items, true)).toEqual([
      ['shelf', 1], ['node', 2, 1500], ['node', 3, 2000], ['node', 4, 1500], ['double', 5, 2000], ['double', 7, 2000]]);
    // 4.5 kW of 9 kW drawn already: two doubles leave 500 W.
    expect(fill([shelf, node(2000), ...empty(5), node(2500)], false)).toEqual([
      ['shelf', 1], ['node', 2, 2000], ['double', 3, 2000], ['double', 5, 2000], ['node', 8, 2500]]);
  });

  it('keeps caps of bands and slots, and leaves out types that are never drawn', () => {
    const band: Rule = { rule: 'max-power-in-band', fromSlot: 4, toSlot: 5, power: 1500 };
    expect(fill(items, false, [band])).toEqual([
      ['shelf', 1], ['node', 2, 1500], ['node', 3, 2000], ['double', 5, 2000], ['double', 7, 2000]]);
    const perSlot = (power: number): Rule => ({ rule: 'max-power-per-slot', power });
    expect(fill(items, false, [perSlot(1000)])).toEqual([
      ['shelf', 1], ['node', 3, 2000], ['double', 4, 2000], ['double', 6, 2000]]);
    const study = studyOf(catalogue);
    const loads = study.catalogue.loads.map((type) => (type.id === 'double' ? { ...type, mixWeight: 0 } : type));
    expect(fill(items, false, [], { ...study, catalogue: { ...study.catalogue, loads } })).toEqual([
      ['shelf', 1], ['node', 2, 1500], ['node', 3, 2000], ['node', 4, 1500], ['node', 5, 1500], ['node', 6, 1500]]);
  });

  it('is for catalogues alone', () => {
    const study = studyOf({ draw: 'even', id: 'node', count: { min: 1, max: 2 }, totalPower: 3000 });
    expect(lightestFill(study, ruleBook(study))).toBeNull();
  });
});

describe('a candidate', () => {
  const layout = (items: readonly Item[], inlet = 298.15) => ({ items, rack: 0, inlet });

  it('shares an even total among as many loads as there are, where their number is allowed', () => {
    const space = spaceOf(studyOf({ draw: 'even', id: 'node', count: { min: 2, max: 3 }, totalPower: 6000 }));
    expect(placedBy(space.candidate(layout([shelf, node(1), EMPTY, node(1), ...empty(4)])))).toEqual(
      [['shelf', 1], ['node', 2, 3000], ['node', 4, 3000]]);
    expect(placedBy(space.candidate(layout([shelf, node(1), node(1), node(1), ...empty(4)])))?.[3]).toEqual(['node', 4, 2000]);
    expect(space.candidate(layout([shelf, node(1), ...empty(6)]))).toBeNull();
  });

  it('puts loads alike to the nearest place that is cut beside the sources, the lower of two as near unless from the top', () => {
    const study = studyOf({ draw: 'all-or-nothing', id: 'double', cap: 3000, chanceFull: 0.5 });
    const space = spaceOf(study);
    // Places begin at slots 2, 4 and 6.
    const items = (...before: readonly number[]) => before.flatMap((count) => [...empty(count), double(3000)]);
    const put = (list: readonly Item[], fromTop = false) => placedBy(space.candidate(layout([shelf, ...list]), fromTop));
    expect(put([...items(1), ...empty(4)])).toEqual([['shelf', 1], ['double', 2, 3000]]);
    expect(put([...items(1), ...empty(4)], true)).toEqual([['shelf', 1], ['double', 4, 3000]]);
    expect(put([...items(1, 0), ...empty(2)])).toEqual([['shelf', 1], ['double', 2, 3000], ['double', 4, 3000]]);
    expect(put([...items(1, 0), ...empty(2)], true)).toEqual([['shelf', 1], ['double', 4, 3000], ['double', 6, 3000]]);
    expect(put([...items(5), ...empty(0)])).toEqual([['shelf', 1], ['double', 6, 3000]]);
    expect(put(empty(7))).toBeNull();
  });

  it('takes every place where all are to be full, as far as a band lets it', () => {
    const all: LoadsDraw = { draw: 'all-or-nothing', id: 'double', cap: 3000, chanceFull: 1 };
    const one = layout([shelf, ...empty(2), double(3000), ...empty(3)]);
    expect(placedBy(spaceOf(studyOf(all)).candidate(one))).toEqual(
      [['shelf', 1], ['double', 2, 3000], ['double', 4, 3000], ['double', 6, 3000]]);
    const band: Rule = { rule: 'max-power-in-band', fromSlot: 2, toSlot: 5, power: 4000 };
    expect(placedBy(spaceOf(studyOf(all, [band])).candidate(one))).toEqual(
      [['shelf', 1], ['double', 4, 3000], ['double', 6, 3000]]);
  });

  it('leaves as many slots free as a rule asks for', () => {
    const all: LoadsDraw = { draw: 'all-or-nothing', id: 'double', cap: 3000, chanceFull: 1 };
    const one = layout([shelf, ...empty(2), double(3000), ...empty(3)]);
    const free = (count: number) => placedBy(spaceOf(studyOf(all, [{ rule: 'min-free-slots', count }])).candidate(one));
    expect(free(1)).toHaveLength(4);
    expect(free(3)).toEqual([['shelf', 1], ['double', 2, 3000], ['double', 4, 3000]]);
  });

  it('has another key with other powers', () => {
    const split = spaceOf(studyOf({ draw: 'random-split', id: 'node', count: { min: 2, max: 2 }, totalPower: 6000, concentration: 1 }));
    const keys = [1000, 2000, 3000].map((power) => split.candidate(layout([shelf, node(power), node(6000 - power), ...empty(5)]))?.key);
    expect(new Set(keys).size).toBe(3);
  });

  it('is stacked from the end that a catalogue is filled from', () => {
    const packed = (fill: 'bottom-up' | 'top-down', rules: readonly Rule[] = []) => placedBy(spaceOf(studyOf({ draw: 'catalogue', totalPower: 8000, fill }, rules))
      .candidate(layout([EMPTY, shelf, EMPTY, node(4000), EMPTY, node(3800), ...empty(2)])));
    expect(packed('bottom-up')).toEqual([['node', 1, 4000], ['shelf', 2], ['node', 3, 3800]]);
    expect(packed('top-down')).toEqual([['shelf', 2], ['node', 7, 4000], ['node', 8, 3800]]);
  });

  it('is raised to the total where nothing can be added, or filled up with the lightest', () => {
    const space = spaceOf(studyOf(catalogue));
    // 3.5 kW are left: a double of 2 kW and a node of 1.5 kW.
    expect(placedBy(space.candidate(layout([shelf, node(4000), node(1500), ...empty(5)])))).toEqual(
      [['shelf', 1], ['node', 2, 4000], ['node', 3, 1500], ['double', 4, 2000], ['node', 6, 1500]]);
    const split = spaceOf(studyOf({ draw: 'random-split', id: 'node', count: { min: 2, max: 2 }, totalPower: 6000, concentration: 1 }));
    expect(placedBy(split.candidate(layout([shelf, node(1000), node(2000), ...empty(5)])))).toEqual(
      [['shelf', 1], ['node', 2, 4000], ['node', 3, 2000]]);
    expect(placedBy(split.candidate(layout([shelf, node(1000), node(2000), ...empty(5)]), true))).toEqual(
      [['shelf', 1], ['node', 2, 1000], ['node', 3, 5000]]);
    expect(placedBy(split.candidate(layout([shelf, node(1000), node(2000), ...empty(5)]), false, 1))).toEqual(
      [['shelf', 1], ['node', 2, 1000], ['node', 3, 5000]]);
  });

  it('has contacts at the most, sources of its weights, the build at its worst end, and a key of its own', () => {
    const base = studyOf({ draw: 'even', id: 'node', count: { min: 1, max: 1 }, totalPower: 3000 });
    const uniform = (min: number, max: number) => ({ distribution: 'uniform', min, max }) as const;
    const study: Study = {
      ...base, uncertain: {
        perScenario: { inlet: uniform(290, 300), contactFactor: uniform(1, 2) }, sourceContact: uniform(1e-5, 2e-5),
        loadContact: uniform(3e-5, 4e-5), sharingWeight: uniform(0.5, 0.9),
      },
    };
    const space = spaceOf(study, 100);
    const of = (items: readonly Item[], inlet: number) => {
      const candidate = space.candidate(layout(items, inlet));
      if (candidate === null) throw new Error('must be allowed');
      return candidate;
    };
    const items = [item('shelf', 0, 0.7), node(1), ...empty(6)];
    const candidate = of(items, 291);
    expect(space.scenario(candidate)).toMatchObject({ index: 0, build: { inlet: 291, contactFactor: 2 } });
    expect(candidate.units).toMatchObject([
      { contactResistance: [2e-5, 2e-5], sharingWeight: 0.7 }, { contactResistance: [4e-5, 4e-5], sharingWeight: 1, power: 3000 }]);
    expect(of([...items], 291).key).toBe(candidate.key);
    const others = [of(items, 300), of([item('shelf', 0, 0.8), node(1), ...empty(6)], 291), of([item('shelf', 0, 0.7), EMPTY, node(1), ...empty(5)], 291)];
    expect(new Set([candidate, ...others].map(({ key }) => key)).size).toBe(4);
    const again = space.layoutOf(candidate.units);
    expect(again).toMatchObject({ rack: 0, inlet: 300 });
    // All sources share equally, as near to 1 as the range lets them.
    expect(again.items[0].weight).toBe(0.9);
    expect(bottomsOf(again.items)).toEqual([1, 2, 3, 4, 5, 6, 7, 8]);
    expect(() => space.layoutOf([...candidate.units, candidate.units[0]])).toThrow(/overlap/);
  });
});

describe('a start', () => {
  const startsOf = (study: Study, seed = 'starts') => {
    const space = spaceOf(study);
    return { space, starts: new SearchStarts(study, seed, space) };
  };

  it('stands sources at the top, the bottom, the middle, loads strongest or weakest at the far end', () => {
    const study = studyOf({ draw: 'random-split', id: 'node', count: { min: 3, max: 3 }, totalPower: 9000, concentration: 1 });
    const { starts } = startsOf(study);
    const stream = randomStream('built', 0, 'worst');
    const built = [0, 1, 2, 3, 4, 5, 6].map((which) => {
      const candidate = starts.build(which, 0, stream);
      if (candidate === null) throw new Error('nothing forbids it');
      const source = candidate.units.find(({ kind }) => kind !== 'load');
      const loads = candidate.units.filter(({ kind }) => kind === 'load');
      return { source: source?.bottomSlot, slots: loads.map(({ bottomSlot }) => bottomSlot), powers: loads.map(({ power }) => power) };
    });
    expect(built.map(({ source }) => source).map((slot) => (slot === 5 ? 4 : slot))).toEqual([8, 1, 4, 8, 1, 4, 8]);
    const rising = [...built[0].powers].sort((a, b) => a - b);
    const falling = [...rising].reverse();
    expect(new Set(rising).size).toBe(3);
    expect(built.map(({ slots }) => slots)).toEqual([[1, 2, 3], [6, 7, 8], [1, 2, 3], [1, 2, 3], [6, 7, 8], [1, 2, 3], [1, 2, 3]]);
    // Weakest first from the end away from the sources, or strongest first.
    expect(built.map(({ powers }) => powers)).toEqual([falling, rising, falling, rising, falling, rising, falling]);
  });

  it('orders loads of all heights by power per slot, around the sources', () => {
    const unit = (equipment: string, power: number) => ({ equipment, heightSlots: equipment === 'double' ? 2 : 1, bottomSlot: 1, power });
    const units = [unit('node', 500), unit('double', 5000), unit('node', 300), unit('node', 3500), unit('node', 1000), unit('node', 400)];
    const study = studyOf({ draw: 'inventory', racks: [{ rack: 'full', units }], places: 'shuffled' });
    const { starts } = startsOf(study);
    const built = (which: number) => placedBy(starts.build(which, 0, randomStream('built', 0, 'worst')))?.map(([id, slot, power]) => power ?? `${id} ${slot}`);
    expect(built(0)).toEqual([3500, 5000, 1000, 500, 400, 300, 'shelf 8']);
    expect(built(1)).toEqual(['shelf 1', 300, 400, 500, 1000, 5000, 3500]);
    expect(built(3)).toEqual([300, 400, 500, 1000, 5000, 3500, 'shelf 8']);
    expect(built(2)).toEqual(built(2)?.includes('shelf 4') ? [3500, 5000, 'shelf 4', 1000, 500, 400, 300] : [3500, 5000, 1000, 'shelf 5', 500, 400, 300]);
  });

  it('stands sources beside hand-picked loads', () => {
    const units = [8, 7, 1].map((bottomSlot) => ({ id: 'node', bottomSlot, power: 1000 * bottomSlot }));
    const { starts } = startsOf(studyOf({ draw: 'fixed', units }));
    const built = [0, 1].map((which) => placedBy(starts.build(which, 0, randomStream('built', 0, 'worst'))));
    expect(built).toEqual([
      [['node', 1, 1000], ['shelf', 6], ['node', 7, 7000], ['node', 8, 8000]],
      [['node', 1, 1000], ['shelf', 2], ['node', 7, 7000], ['node', 8, 8000]]]);
  });

  it('is what the draw gives', () => {
    const study = studyOf({ draw: 'even', id: 'node', count: { min: 2, max: 4 }, totalPower: 6000 });
    const { starts } = startsOf(study);
    const places = Array.from({ length: 30 }, (_, at) => JSON.stringify(placedBy(starts.draw(at))));
    expect(new Set(places).size).toBeGreaterThan(20);
    expect(places).not.toContain('null');
    const other = startsOf(study, 'another').starts;
    expect(Array.from({ length: 30 }, (_, at) => JSON.stringify(placedBy(other.draw(at))))).not.toEqual(places);
  });

  it('names the observed rack whose loads stand, and moves the sources beside them', () => {
    const unit = (bottomSlot: number, power: number) => ({ equipment: 'node', heightSlots: 1, bottomSlot, power });
    const racks = [
      { rack: 'a', units: [unit(3, 1000), unit(4, 2000)] }, { rack: 'b', units: [unit(3, 1000), unit(5, 2000)] },
      { rack: 'c', units: [unit(3, 1500), unit(5, 2000)] }, { rack: 'd', units: [unit(3, 1000), unit(4, 2000), unit(5, 100)] },
    ];
    const study = studyOf({ draw: 'inventory', racks, places: 'observed' });
    const { starts, space } = startsOf(study);
    expect(space.loadsFollow).toBe(true);
    const drawn = scenarioSource({ ...study, seed: 'starts worst' });
    const met = new Set<number>();
    for (let at = 0; at < 60; at++) {
      const candidate = starts.draw(at);
      expect(placedBy(candidate)).toEqual(drawn.draw(at).scenario.units.map(({ equipment, bottomSlot, power }) => (
        power > 0 ? [equipment, bottomSlot, power] : [equipment, bottomSlot])));
      met.add(candidate?.layout.rack ?? -1);
    }
    expect([...met].sort()).toEqual([0, 1, 2, 3]);
    const built = starts.build(0, 0, randomStream('built', 0, 'worst'));
    expect(built?.units.at(-1)).toMatchObject({ equipment: 'shelf', bottomSlot: 8 });
  });
});

describe('a rating of the search', () => {
  const rack = sampleRack({ slotCount: 12, pitch: 0.1, operatingStates: ['all-in-service', 'one-source-out'] });
  // With the shelf at slot 1 out, all current comes from slot 12; with that out, from slot 1, which is nearer.
  const scenario = scenarioOf([shelfAt(1), shelfAt(12), load(3, { power: 1 }), load(5, { power: 1 })]);
  const model = new RackModel(rack);
  const states = model.states(scenario);
  const rated = model.rate(scenario);
  const alone = states.map((_, k) => {
    const one = new RackModel({ ...rack, operatingStates: [k === 0 ? 'all-in-service' : 'one-source-out'] });
    return one.rate(scenario);
  });

  it('is that of the model, each counted, with the position of the state that binds', () => {
    const rating = new SearchRating(rack);
    expect(rating.rate(scenario)).toEqual(rated);
    expect(rating.evaluations).toBe(1);
    expect(states).toHaveLength(3);
    for (const [k, state] of states.entries()) expect(rating.stateOf(scenario, { ...rated, state })).toBe(k);
    expect(rating.stateOf(scenario, { ...rated, state: { ...states[1], outSlot: 7 } })).toBe(0);
    expect(rating.stateOf(scenario, rated)).toBeGreaterThan(0);
  });

  it('tells whether less is carried in the state looked at, or in any', () => {
    const rating = new SearchRating(rack);
    const binding = rating.stateOf(scenario, rated);
    const other = 0;
    const above = rated.power * (1 + 1e-4);
    expect(alone[0].power).toBeGreaterThan(above);
    expect(rating.below(scenario, above, binding, false)).toEqual({ power: expect.closeTo(rated.power, 3), state: binding });
    expect(rating.below(scenario, above, other, false)).toBeNull();
    expect(rating.below(scenario, above, other, true)).toEqual({ power: expect.closeTo(rated.power, 3), state: binding });
    // From the last state on, the first ones are still looked at.
    for (const first of [0, 1, 2]) expect(rating.below(scenario, above, first, true)?.state).toBe(binding);
    expect(rating.below(scenario, rated.power * (1 - 1e-4), binding, true)).toBeNull();
    expect(rating.evaluations).toBe(7);
  });
});
