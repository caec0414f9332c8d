/**
 * The worst order of loads on a bar fed from one end, in closed form: the largest load farthest from the feed. It holds
 * where loads heat the bar through their current alone and no frame shares it; see PROOF.md, section 8.
 */
import { brokenRules } from '../draw/index.js';
import { placedUnit } from '../draw/placedUnit.js';
import { ruleBook } from '../draw/ruleBook.js';
import { NOMINAL_BUILD, type PlacedUnit } from '../draw/scenario.js';
import { LIMIT_WORDS, RackModel } from '../ladder/index.js';
import type { Rack, Study } from '../rack/index.js';
import type { Floor } from './answers.js';
import type { ToleranceRanges } from './toleranceRanges.js';

/** Whether these units heat the bar through their current alone: no heat of their own enters it anywhere. */
export function heatByCurrentAlone(rack: Rack, units: readonly PlacedUnit[]): boolean {
  return rack.air.exhaustRise === 0 && units.filter(({ kind }) => kind === 'load').every((unit) => (
    unit.contactEdgeHeight === 0 && unit.heatConductance === 0
    && (unit.contactHeatShare === 0 || (unit.contactResistance[0] === 0 && unit.contactResistance[1] === 0))));
}

/** Where all sources stand: in the lowest or the highest slots of the rack with nothing beyond them; else null. */
export function feedEnd(rack: Rack, units: readonly PlacedUnit[]): 'bottom' | 'top' | null {
  const sources = units.filter(({ kind }) => kind !== 'load');
  const height = sources.reduce((sum, { heightSlots }) => sum + heightSlots, 0);
  if (sources.every(({ bottomSlot, heightSlots }) => bottomSlot + heightSlots - 1 <= height)) return 'bottom';
  return sources.every(({ bottomSlot }) => bottomSlot > rack.slotCount - height) ? 'top' : null;
}

/**
 * The same loads in the order that is worst: powers ascending away from the feed, in the places that are taken now.
 *
 * @returns units in order of slot; no order of these loads has a lower rated power
 * @throws RangeError where the loads differ in more than power, heat the bar by themselves, or are fed from elsewhere, and
 * where a frame takes a part of the return current that depends on the place of a load
 */
export function worstOrder(rack: Rack, units: readonly PlacedUnit[]): PlacedUnit[] {
  const end = feedEnd(rack, units);
  const loads = units.filter(({ kind }) => kind === 'load').sort((a, b) => a.bottomSlot - b.bottomSlot);
  const alike = loads.every((load) => load.equipment === loads[0].equipment && load.heightSlots === loads[0].heightSlots
    && load.contactResistance.every((ohm, p) => ohm === loads[0].contactResistance[p]));
  if (rack.frame !== undefined || end === null || !alike || !heatByCurrentAlone(rack, units)) {
    throw new RangeError('no order is proven to be worst: found loads that are not alike, heat the bar by themselves, or are '
      + 'fed from elsewhere than one end, or a frame; only loads alike but for their power, heating through their current, '
      + 'in a rack without a frame are allowed');
  }
  const powers = loads.map(({ power }) => power).sort((a, b) => (end === 'bottom' ? a - b : b - a));
  const ordered = loads.map((load, k) => ({ ...load, power: powers[k] }));
  return [...units.filter(({ kind }) => kind !== 'load'), ...ordered].sort((a, b) => a.bottomSlot - b.bottomSlot);
}

/**
 * The floor of a study whose worst placement is known in closed form: sources fixed at one end, equal loads of one type
 * that heat the bar through their current alone, no rules, no frame, all as the files say. Null for any other study.
 */
export function provenOrder(study: Study, ranges: ToleranceRanges): Floor | null {
  const { rack, loads, sources, rules } = study;
  // How much of a load's return current a frame takes depends on where the load stands.
  if (rack.frame !== undefined) return null;
  if (ranges.coverPercent !== null || loads.draw !== 'even' || sources.positions.draw !== 'fixed' || rules.length > 0) return null;
  const { types } = ruleBook(study);
  const type = types.load(loads.id, 'loads.id');
  const nominal = type.contact.resistance;
  const standing = sources.positions.units.map(({ id, bottomSlot }) => {
    const source = types.source(id, 'sources.positions.units');
    const { resistance } = source.contact;
    return placedUnit(source, bottomSlot, source.heightSlots, 0, [resistance, resistance], 1);
  });
  const end = feedEnd(rack, standing);
  // Fewest units means the largest loads; packed at the far end, every sum beyond a slot is as large as can be.
  const far = Array.from({ length: loads.count.min }, (_, k) => {
    const bottom = end === 'bottom' ? rack.slotCount - (k + 1) * type.heightSlots + 1 : 1 + k * type.heightSlots;
    return placedUnit(type, bottom, type.heightSlots, loads.totalPower / loads.count.min, [nominal, nominal], 1);
  });
  const units = [...standing, ...far].sort((a, b) => a.bottomSlot - b.bottomSlot);
  if (end === null || !heatByCurrentAlone(rack, units) || brokenRules(rules, rack.slotCount, units).length > 0) return null;
  const rated = new RackModel(rack).rate({ index: 0, units, build: NOMINAL_BUILD });
  return {
    kind: 'proven order', power: rated.power, ranges, limitedBy: `${LIMIT_WORDS[rated.limit]} at slot ${rated.slot}`,
    classes: 1, seconds: 0, finished: true,
  };
}
