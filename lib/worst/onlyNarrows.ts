/** Whether what holds for every placement of a study also holds under more rules. */
import type { Rule, Study, UnitSelector } from '../rack/index.js';

/**
 * Whether further rules leave only placements that the study could draw without them, so that its floor is a floor
 * under them too. Errs towards false.
 *
 * Loads whose number and power are chosen first (hand-picked, even, random split, single slots full by chance) are only
 * turned down by a rule. Draws that go on until nothing fits, or move a unit to the nearest place that is allowed, end
 * elsewhere once a rule speaks of loads: with the near slots kept free of loads, the far ones carry all, which without
 * the rule no placement would do. Rules on the sources alone leave such draws as they are.
 *
 * @param rules on top of the study's own
 * @example
 * onlyNarrows(study, [{ rule: 'only-in-band', units: 'sources', fromSlot: 10, toSlot: 20 }]); // true for every study
 */
export function onlyNarrows({ loads, catalogue }: Study, rules: readonly Rule[]): boolean {
  switch (loads.draw) {
    case 'fixed':
    case 'even':
    case 'random-split':
      return true;
    case 'all-or-nothing': {
      const type = catalogue.loads.find(({ id }) => id === loads.id);
      // Higher places are cut from the stretches that rules leave; at chance 1 as many as rules leave are full.
      if (type?.heightSlots === 1 && loads.chanceFull < 1) return true;
      break;
    }
    default:
  }
  const isSource = (units: UnitSelector): boolean => (
    typeof units === 'string' ? units !== 'loads' : catalogue.sources.some(({ id }) => id === units.id));
  return rules.every((rule) => (
    'units' in rule && isSource(rule.units) && (!('neighbours' in rule) || isSource(rule.neighbours))));
}
