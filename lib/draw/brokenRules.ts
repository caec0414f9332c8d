import type { Rule, SourcePositions, UnitSelector } from '../rack/studyModel.js';
import { shareInBand, withinCap } from './ruleBook.js';
import type { PlacedUnit } from './scenario.js';
import { covers } from './unitTypes.js';

/** What a rule looks at in a placed unit. */
export type RuledUnit = Pick<PlacedUnit, 'kind' | 'equipment' | 'bottomSlot' | 'heightSlots' | 'power'>;

/**
 * Which rules a finished placement breaks, as 0-based positions in the list; an empty list: it keeps them all.
 *
 * Reads the rules one by one as they are worded, knowing nothing of how placements are drawn. Powers (W) are compared
 * with their caps to a relative 1e-9, the rounding of a sum.
 * @param units units that do not overlap, in any order
 */
export function brokenRules(rules: readonly Rule[], slotCount: number, units: readonly RuledUnit[]): number[] {
  return rules.flatMap((rule, index) => (keeps(rule, slotCount, units) ? [] : [index]));
}

/** Whether the sources stand as the positions ask, rules aside; for fixed positions their ids count too. */
export function positionsKept(positions: SourcePositions, units: readonly RuledUnit[]): boolean {
  const sources = fromBottom(units.filter((unit) => unit.kind !== 'load'));
  switch (positions.draw) {
    case 'uniform':
      return true;
    case 'contiguous':
      return runLengths(sources).length <= 1;
    case 'groups':
      return sameItems(runLengths(sources).map(String), positions.sizes.map(String));
    case 'bands':
      return (
        sources.every((unit) => positions.bands.some((band) => liesIn(unit, band))) &&
        positions.bands.every((band) => sources.filter((unit) => liesIn(unit, band)).length === band.count)
      );
    case 'fixed': {
      const standing = sources.map(({ equipment, bottomSlot }) => `${bottomSlot} ${equipment}`);
      const wanted = positions.units.map(({ id, bottomSlot }) => `${bottomSlot} ${id}`);
      return sameItems(standing, wanted);
    }
  }
}

/** Whether two units take one slot, or one stands outside slots 1..slotCount. */
export function unitsCollide(slotCount: number, units: readonly RuledUnit[]): boolean {
  const sorted = fromBottom(units);
  return sorted.some(
    (unit, at) =>
      unit.bottomSlot < 1 || topOf(unit) > slotCount || (at > 0 && unit.bottomSlot <= topOf(sorted[at - 1])),
  );
}

function keeps(rule: Rule, slotCount: number, units: readonly RuledUnit[]): boolean {
  const chosen = (selector: UnitSelector): RuledUnit[] =>
    fromBottom(units.filter((unit) => covers(selector, unit.kind, unit.equipment)));
  switch (rule.rule) {
    case 'only-in-band':
      return chosen(rule.units).every((unit) => liesIn(unit, rule));
    case 'keep-out':
      return chosen(rule.units).every((unit) => topOf(unit) < rule.fromSlot || unit.bottomSlot > rule.toSlot);
    case 'not-next-to':
      return chosen(rule.units).every((unit) => chosen(rule.neighbours).every((other) => !touches(unit, other)));
    case 'max-power-per-slot':
      return chosen('loads').every((unit) => withinCap(unit.power / unit.heightSlots, rule.power));
    case 'max-power-in-band': {
      const inBand = chosen('loads').map((unit) => unit.power * shareInBand(rule, unit.bottomSlot, unit.heightSlots));
      return withinCap(
        inBand.reduce((sum, power) => sum + power, 0),
        rule.power,
      );
    }
    case 'together':
      return runLengths(chosen(rule.units)).length <= 1;
    case 'apart':
      return chosen(rule.units).every(
        (unit, at, all) => at === 0 || unit.bottomSlot - topOf(all[at - 1]) - 1 >= rule.slotsBetween,
      );
    case 'min-free-slots':
      return slotCount - units.reduce((sum, unit) => sum + unit.heightSlots, 0) >= rule.count;
  }
}

function fromBottom(units: readonly RuledUnit[]): RuledUnit[] {
  return [...units].sort((a, b) => a.bottomSlot - b.bottomSlot);
}

function topOf(unit: RuledUnit): number {
  return unit.bottomSlot + unit.heightSlots - 1;
}

function liesIn(unit: RuledUnit, band: { readonly fromSlot: number; readonly toSlot: number }): boolean {
  return unit.bottomSlot >= band.fromSlot && topOf(unit) <= band.toSlot;
}

function touches(one: RuledUnit, other: RuledUnit): boolean {
  return topOf(one) + 1 === other.bottomSlot || topOf(other) + 1 === one.bottomSlot;
}

/** How many units stand in each unbroken run, from the bottom; `sorted` from the bottom up. */
function runLengths(sorted: readonly RuledUnit[]): number[] {
  const lengths: number[] = [];
  sorted.forEach((unit, at) => {
    if (at > 0 && touches(unit, sorted[at - 1])) lengths[lengths.length - 1]++;
    else lengths.push(1);
  });
  return lengths;
}

function sameItems(some: readonly string[], others: readonly string[]): boolean {
  return [...some].sort().join('\n') === [...others].sort().join('\n');
}
