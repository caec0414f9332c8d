/** What a draw can just produce and what it just cannot, by hand. */
import { describe, expect, it } from 'vitest';
import type { RuledUnit } from '../../lib/draw/index.js';
import type { LoadsDraw, ObservedUnit, Rule, Study } from '../../lib/rack/index.js';
import { allowedPlacement } from '../../lib/worst/allowedPlacement.js';
import { smallStudy } from './smallStudies.js';

/** A shelf of one slot at the bottom of eight slots. Nodes draw 1.5 to 4 kW, doubles 2 to 7, triples 5. */
function studyOf(loads: LoadsDraw, rules: readonly Rule[] = []): Study {
  const study = smallStudy(0);
  return {
    ...study, loads, rules, rack: { ...study.rack, slotCount: 8 },
    sources: { units: [{ id: 'shelf', count: 1 }], positions: { draw: 'fixed', units: [{ id: 'shelf', bottomSlot: 1 }] } },
  };
}

const HEIGHTS = { node: 1, double: 2, triple: 3 };
type Load = keyof typeof HEIGHTS;
const shelf: RuledUnit = { kind: 'power-shelf', equipment: 'shelf', bottomSlot: 1, heightSlots: 1, power: 0 };
const unit = (equipment: Load, bottomSlot: number, power: number): RuledUnit => (
  { kind: 'load', equipment, bottomSlot, heightSlots: HEIGHTS[equipment], power });
const objectionTo = (study: Study, ...loads: readonly RuledUnit[]) => allowedPlacement(study).objection([shelf, ...loads]);
const capOn = (fromSlot: number, toSlot: number, power: number): Rule => ({ rule: 'max-power-in-band', fromSlot, toSlot, power });

describe('sources', () => {
  const study = studyOf({ draw: 'even', id: 'node', count: { min: 1, max: 1 }, totalPower: 3000 });
  const node = unit('node', 4, 3000);
  const objection = (...sources: readonly RuledUnit[]) => allowedPlacement(study).objection([...sources, node]);

  it('are those of the study, each as its catalogue has it', () => {
    expect(objection(shelf)).toBeNull();
    expect(objection()).toBe('a source "shelf" is missing');
    expect(objection(shelf, { ...shelf, bottomSlot: 8 })).toBe('a source "shelf" more than the study has');
    expect(objection({ ...shelf, equipment: 'battery', kind: 'battery-shelf' })).toBe('a source "battery" more than the study has');
    expect(objection({ ...shelf, equipment: 'unknown' })).toBe('a source "unknown" more than the study has');
    expect(objection({ ...shelf, kind: 'battery-shelf' })).toBe('"shelf" is not what the catalogue says');
    expect(objection({ ...shelf, heightSlots: 2 })).toBe('"shelf" is not what the catalogue says');
    expect(objection({ ...shelf, bottomSlot: 2 })).toBe('the sources do not stand as "fixed" asks');
  });

  it('of a count of none are not missed, and counts of one type in two lines add up', () => {
    const twice = (first: number, second: number): Study => ({
      ...study, sources: { units: [{ id: 'shelf', count: first }, { id: 'shelf', count: second }], positions: { draw: 'uniform' } },
    });
    const of = (one: Study, ...slots: readonly number[]) => allowedPlacement(one)
      .objection([...slots.map((bottomSlot) => ({ ...shelf, bottomSlot })), node]);
    expect(of(twice(1, 0), 3)).toBeNull();
    expect(of(twice(1, 1), 3, 6)).toBeNull();
    expect(of(twice(1, 1), 3)).toBe('a source "shelf" is missing');
  });

  it('with places and rules kept are all that is asked for where the loads are known', () => {
    const { keepsRules } = allowedPlacement({ ...study, rules: [capOn(1, 4, 2000)] });
    expect(keepsRules([shelf, unit('triple', 5, 1)])).toBe(true);
    expect(keepsRules([shelf, unit('node', 4, 2001)])).toBe(false);
    expect(keepsRules([shelf, unit('node', 9, 1)])).toBe(false);
    expect(keepsRules([unit('node', 5, 1)])).toBe(false);
  });
});

describe('loads by count and cap', () => {
  it('equal parts and sums hold to a relative 1e-9', () => {
    const even = studyOf({ draw: 'even', id: 'node', count: { min: 1, max: 2 }, totalPower: 6000 });
    expect(objectionTo(even, unit('node', 3, 3000 + 5e-6), unit('node', 4, 3000 - 5e-6))).toBeNull();
    expect(objectionTo(even, unit('node', 3, 3000 + 7e-6), unit('node', 4, 3000 - 7e-6))).toMatch(/equal parts/);
    expect(objectionTo(even, unit('node', 3, 6000))).toBeNull();
    expect(objectionTo(even, ...[3, 4, 5].map((slot) => unit('node', slot, 2000)))).toBe('3 loads');
    expect(objectionTo(even, { ...unit('node', 3, 6000), heightSlots: 2 })).toMatch(/not the load of the draw/);
    const split = studyOf({ draw: 'random-split', id: 'node', count: { min: 2, max: 2 }, totalPower: 6000, concentration: 1 });
    expect(objectionTo(split, unit('node', 3, 1000), unit('node', 4, 5000 + 5e-6))).toBeNull();
    expect(objectionTo(split, unit('node', 3, 1000), unit('node', 4, 5000 + 7e-6))).toMatch(/add up/);
    expect(objectionTo(split, unit('node', 3, -1), unit('node', 4, 6001))).toMatch(/without power/);
  });

  it('at their cap or without any are of the type drawn, as many as a band leaves where all are to be full', () => {
    const certain: LoadsDraw = { draw: 'all-or-nothing', id: 'double', cap: 3000, chanceFull: 1 };
    expect(objectionTo(studyOf(certain), unit('node', 2, 3000))).toBe('"node" is not the load of the draw');
    expect(objectionTo(studyOf(certain), { ...unit('double', 2, 3000), heightSlots: 1 })).toBe('"double" is not the load of the draw');
    // Places are cut at slots 2, 4 and 6; two of them share the band.
    const banded = studyOf(certain, [capOn(2, 5, 4000)]);
    const doubles = (...slots: readonly number[]) => slots.map((slot) => unit('double', slot, 3000));
    expect(objectionTo(banded, ...doubles(4, 6))).toBeNull();
    expect(objectionTo(banded, ...doubles(2, 6))).toBeNull();
    expect(objectionTo(banded, ...doubles(6))).toBe('more places could be full');
    expect(objectionTo(banded, ...doubles(2, 4))).toMatch(/^broken: /);
    expect(objectionTo(studyOf({ ...certain, chanceFull: 0.9 }, [capOn(2, 5, 4000)]), ...doubles(6))).toBeNull();
  });

  it('picked by hand are these and no others', () => {
    const fixed = studyOf({ draw: 'fixed', units: [{ id: 'node', bottomSlot: 4, power: 2000 }, { id: 'node', bottomSlot: 6, power: 1000 }] });
    const [one, two] = [unit('node', 4, 2000), unit('node', 6, 1000)];
    expect(objectionTo(fixed, two, one)).toBeNull();
    for (const other of [[one], [one, two, unit('node', 8, 1)], [unit('double', 4, 2000), two], [one, unit('node', 6, 1001)]]) {
      expect(objectionTo(fixed, ...other)).toBe('the loads are not the hand-picked ones');
    }
  });
});

describe('loads of a catalogue', () => {
  const free = (totalPower: number, rules: readonly Rule[] = []) => studyOf({ draw: 'catalogue', totalPower, fill: 'anywhere' }, rules);

  it('are of types that are drawn, as high as these, each within its range', () => {
    const study = free(7500);
    expect(objectionTo(study, unit('node', 2, 4000), unit('node', 3, 2500))).toBeNull();
    expect(objectionTo(study)).toBe('no load');
    const unknown = { ...unit('node', 2, 4000), equipment: 'unknown' };
    expect(objectionTo(study, unknown)).toBe('"unknown" is not what the catalogue says');
    expect(objectionTo(study, { ...unit('node', 2, 4000), heightSlots: 2 })).toBe('"node" is not what the catalogue says');
    const loads = study.catalogue.loads.map((type) => (type.id === 'double' ? { ...type, mixWeight: 0 } : type));
    const without = { ...study, catalogue: { ...study.catalogue, loads } };
    expect(objectionTo(without, unit('double', 2, 6500))).toBe('"double" is not what the catalogue says');
    expect(objectionTo(study, unit('double', 2, 6500))).toBeNull();
    expect(objectionTo(study, unit('node', 2, 4000), unit('node', 3, 1499))).toBe('the power of a "node"');
    expect(objectionTo(study, unit('node', 2, 4001), unit('node', 3, 2000))).toBe('the power of a "node"');
    expect(objectionTo(study, unit('triple', 2, 5000), unit('node', 5, 1500))).toBeNull();
  });

  it('draw no more than a cap per slot lets them, and a type whose least is above the cap is never added', () => {
    const capped = free(8000, [{ rule: 'max-power-per-slot', power: 1600 }]);
    // Three doubles and a node hold 11.2 kW at most; triples of 5 kW are above the cap.
    expect(objectionTo(capped, unit('double', 2, 3200), unit('double', 4, 3200))).toMatch(/"node" could be added/);
    expect(objectionTo(capped, unit('double', 2, 3200), unit('double', 4, 3200), unit('node', 6, 1600))).toBeNull();
    expect(objectionTo(capped, unit('double', 2, 3201), unit('double', 4, 3199), unit('node', 6, 1600))).not.toBeNull();
    const lone = free(5000, [{ rule: 'max-power-per-slot', power: 900 }]);
    expect(objectionTo(lone, unit('triple', 2, 5000))).not.toBeNull();
  });

  it('reach their total only where some of them draw more than their least, or all are of one power', () => {
    expect(objectionTo(free(5500), unit('node', 3, 1500), unit('double', 5, 4000))).toBeNull();
    expect(objectionTo(free(3500), unit('node', 3, 1500), unit('double', 5, 2000))).toMatch(/very least/);
    // A window that ends where every unit draws its least has width where the total is a little higher.
    expect(objectionTo(free(3501), unit('node', 3, 1500), unit('double', 5, 2000))).toBeNull();
    expect(objectionTo(free(5000), unit('triple', 3, 5000))).toBeNull();
    expect(objectionTo(free(5000), unit('triple', 3, 5000), unit('node', 2, 0))).toBe('the power of a "node"');
  });

  it('leave no room for another of one power exactly, or for the least of a range where they could draw less', () => {
    const only = (id: Load, study: Study): Study => ({
      ...study, catalogue: { ...study.catalogue, loads: study.catalogue.loads.map((type) => ({ ...type, mixWeight: type.id === id ? 1 : 0 })) },
    });
    // What is left is another triple to the watt: it would be drawn.
    expect(objectionTo(only('triple', free(10_000)), unit('triple', 2, 5000))).toMatch(/"triple" could be added/);
    expect(objectionTo(only('triple', free(9999)), unit('triple', 2, 5000))).toBeNull();
    expect(objectionTo(only('triple', free(99_999)), unit('triple', 4, 5000))).toBeNull();
    // 1.5 kW left beside a node of 3 kW: a little more of it and no other node finds power.
    expect(objectionTo(only('node', free(4500)), unit('node', 3, 3000))).toBeNull();
    expect(objectionTo(only('node', free(5500)), unit('node', 3, 4000))).toMatch(/"node" could be added/);
    expect(objectionTo(only('node', free(4501)), unit('node', 3, 3000))).toMatch(/"node" could be added/);
  });

  it('leave no room in the bands of the slots that are free', () => {
    const nodes = (count: number) => Array.from({ length: count }, (_, k) => unit('node', 2 + k, 3000));
    // Slots 5 to 8 hold 3 kW together: nodes up to there, and one more in the band.
    const study = free(50_000, [capOn(5, 8, 3000)]);
    expect(objectionTo(study, ...nodes(3))).toMatch(/could be added/);
    expect(objectionTo(study, ...nodes(4))).toBeNull();
    expect(objectionTo(study, ...nodes(3), unit('node', 8, 1600))).toBeNull();
    expect(objectionTo(study, ...nodes(3), unit('node', 8, 1499))).toBe('the power of a "node"');
    // Two nodes at their least fill the band, which has no chance; a watt more room has.
    const least = [...nodes(3), unit('node', 6, 1500), unit('node', 8, 1500)];
    expect(objectionTo(study, ...least)).toBe('a band reaches its cap only if each load draws its very least');
    expect(objectionTo(free(50_000, [capOn(5, 8, 3001)]), ...least)).toBeNull();
    // Half of a double stands in the band.
    expect(objectionTo(study, ...nodes(2), unit('double', 4, 6000))).toBeNull();
    expect(objectionTo(study, ...nodes(2), unit('double', 4, 6001))).toMatch(/^broken: /);
  });

  it('filled from one end pass by a place that is taken, too small or in a band without room for them', () => {
    const fill = (from: 'bottom-up' | 'top-down', rules: readonly Rule[] = []) => studyOf({ draw: 'catalogue', totalPower: 9000, fill: from }, rules);
    const nodes = (...list: readonly (readonly [number, number])[]) => list.map(([slot, power]) => unit('node', slot, power));
    const strong = nodes([8, 3900], [7, 4000]);
    expect(objectionTo(fill('top-down'), ...strong)).toBeNull();
    expect(objectionTo(fill('top-down'), ...nodes([8, 3900], [6, 4000]))).toBe('the loads do not stand as filled top-down');
    const top = [capOn(7, 8, 2500)];
    expect(objectionTo(fill('top-down', top), ...nodes([6, 3900], [5, 4000]))).toBeNull();
    expect(objectionTo(fill('top-down', top), ...nodes([6, 3400], [5, 4000]))).toMatch(/"node" could be added/);
    const total = (study: Study, totalPower: number): Study => ({ ...study, loads: { draw: 'catalogue', totalPower, fill: 'top-down' } });
    expect(objectionTo(total(fill('top-down', top), 8000), ...nodes([6, 3900], [5, 4000]))).toBeNull();
    expect(objectionTo(total(fill('top-down', top), 8000), ...nodes([6, 2400], [5, 4000]))).toBe('the loads do not stand as filled top-down');
    expect(objectionTo(total(fill('top-down', top), 8000), ...nodes([8, 2400], [6, 4000]))).toMatch(/could be added/);
    expect(objectionTo(total(fill('top-down', top), 7800), ...nodes([8, 2400], [6, 4000]))).toBeNull();
    const bottom = [capOn(2, 3, 2500)];
    expect(objectionTo(fill('bottom-up', bottom), ...nodes([2, 2400], [4, 4000]))).toMatch(/could be added/);
    const filled = (...list: readonly (readonly [number, number])[]) => objectionTo(
      { ...fill('bottom-up', bottom), loads: { draw: 'catalogue', totalPower: 7800, fill: 'bottom-up' } }, ...nodes(...list));
    expect(filled([2, 2400], [4, 4000])).toBeNull();
    expect(filled([3, 2400], [4, 4000])).toBe('the loads do not stand as filled bottom-up');
    expect(filled([2, 2400], [5, 4000])).toBe('the loads do not stand as filled bottom-up');
  });
});

describe('observed loads shuffled', () => {
  const observed = (equipment: Load, power: number): ObservedUnit => ({ equipment, bottomSlot: 1, heightSlots: HEIGHTS[equipment], power });
  const shuffled = (units: readonly ObservedUnit[], rules: readonly Rule[] = []) => studyOf(
    { draw: 'inventory', racks: [{ rack: 'other', units: [observed('node', 77)] }, { rack: 'one', units }], places: 'shuffled' }, rules);
  const triples = [1, 2, 3].map((kw) => observed('triple', kw * 1000));

  it('leave out what found no place at its turn, and nothing else', () => {
    const study = shuffled(triples);
    // Slots 4 to 6 leave no three in a row; slots 2 to 4 do, and a second one fills them.
    expect(objectionTo(study, unit('triple', 4, 2000))).toBeNull();
    expect(objectionTo(study, unit('triple', 2, 2000))).toMatch(/no observed rack/);
    expect(objectionTo(study, unit('triple', 2, 2000), unit('triple', 6, 3000))).toBeNull();
    expect(objectionTo(study, unit('triple', 2, 2000), unit('triple', 5, 2000))).toMatch(/no observed rack/);
    expect(objectionTo(study, { ...unit('double', 4, 2000), equipment: 'triple' })).toMatch(/no observed rack/);
    expect(objectionTo(study, { ...unit('triple', 4, 2000), equipment: 'double' })).toMatch(/no observed rack/);
    expect(objectionTo(shuffled([observed('node', 0)]), unit('node', 4, 0))).toBe('no load draws any power');
  });

  it('go in by height, the tallest first', () => {
    const mixed = shuffled([observed('node', 500), observed('triple', 1000), observed('triple', 2000)]);
    const node = unit('node', 8, 500);
    // The second triple had its place before the node took slot 8.
    expect(objectionTo(mixed, node, unit('triple', 2, 1000))).toMatch(/no observed rack/);
    expect(objectionTo(mixed, node, unit('triple', 4, 1000))).toBeNull();
    expect(objectionTo(mixed, node, unit('triple', 2, 1000), unit('triple', 5, 2000))).toBeNull();
    expect(objectionTo(mixed, unit('triple', 4, 1000))).toMatch(/no observed rack/);
  });

  it('leave out what is above a cap per slot or finds no room in the bands', () => {
    const units = [observed('node', 500), observed('node', 2000)];
    const perSlot = (power: number): Rule => ({ rule: 'max-power-per-slot', power });
    expect(objectionTo(shuffled(units, [perSlot(1999)]), unit('node', 3, 500))).toBeNull();
    expect(objectionTo(shuffled(units, [perSlot(2000)]), unit('node', 3, 500))).toMatch(/no observed rack/);
    const whole = (power: number) => shuffled(units, [capOn(1, 8, power)]);
    expect(objectionTo(whole(2400), unit('node', 3, 500))).toBeNull();
    expect(objectionTo(whole(2400), unit('node', 3, 2000))).toBeNull();
    expect(objectionTo(whole(2500), unit('node', 3, 500))).toMatch(/no observed rack/);
    expect(objectionTo(whole(1999), unit('node', 3, 500))).toBeNull();
    const tall = [observed('triple', 3000), observed('node', 1000)];
    expect(objectionTo(shuffled(tall, [perSlot(999)]), unit('node', 3, 1000))).toMatch(/^broken: /);
    expect(objectionTo(shuffled(tall, [perSlot(1000)]), unit('node', 3, 1000))).toMatch(/no observed rack/);
  });
});

describe('observed loads at their places', () => {
  it('are told from others by type, height, place, power and number', () => {
    const units = [
      { equipment: 'node', bottomSlot: 3, heightSlots: 1, power: 900 }, { equipment: 'double', bottomSlot: 5, heightSlots: 2, power: 5000 }];
    const study = studyOf({ draw: 'inventory', racks: [{ rack: 'other', units: [units[0]] }, { rack: 'one', units }], places: 'observed' });
    const [node, double] = [unit('node', 3, 900), unit('double', 5, 5000)];
    expect(objectionTo(study, double, node)).toBeNull();
    expect(objectionTo(study, node)).toBeNull();
    for (const other of [
      [double], [node, double, unit('node', 8, 1)], [node, { ...unit('double', 5, 5000), equipment: 'triple' }],
      [node, { ...unit('node', 5, 5000), equipment: 'double' }], [node, unit('double', 5, 5001)], [node, unit('double', 6, 5000)],
    ]) expect(objectionTo(study, ...other)).toBe('no observed rack stands like this beside these sources');
  });
});
