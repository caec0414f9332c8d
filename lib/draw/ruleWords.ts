import type { Rule, UnitSelector } from '../rack/studyModel.js';
import { kilowatts, plural } from './words.js';

/** What is always allowed. */
export const LEAVE_OUT = 'leave this rule or an earlier one out, ask for fewer units, or take other source positions';

/** A rule as a person would say it. */
export function ruleInWords(rule: Rule): string {
  switch (rule.rule) {
    case 'only-in-band':
      return `${units(rule.units)} only in slots ${rule.fromSlot}–${rule.toSlot}`;
    case 'keep-out':
      return `${units(rule.units)} not in slots ${rule.fromSlot}–${rule.toSlot}`;
    case 'not-next-to':
      return `${units(rule.units)} not next to ${units(rule.neighbours)}`;
    case 'max-power-per-slot':
      return `no load above ${kilowatts(rule.power)} per slot`;
    case 'max-power-in-band':
      return `loads in slots ${rule.fromSlot}–${rule.toSlot} at most ${kilowatts(rule.power)} in all`;
    case 'together':
      return `${units(rule.units)} together in one block`;
    case 'apart':
      return `${units(rule.units)} at least ${plural(rule.slotsBetween, 'slot')} apart`;
    case 'min-free-slots':
      return `at least ${plural(rule.count, 'free slot')}`;
  }
}

/**
 * What could stand in the place of a rule that leaves no placement: its own limit loosened as little as needed, where
 * it has one.
 * @param possible whether a placement is left with another rule in its place; true when the rule is loose enough
 */
export function allowedInstead(rule: Rule, slotCount: number, possible: (other: Rule) => boolean): string {
  switch (rule.rule) {
    case 'min-free-slots': {
      const count = loosest(rule.count, 0, (value) => possible({ ...rule, count: value }));
      return `at most ${plural(count, 'free slot')} here, or fewer units`;
    }
    case 'apart': {
      const slotsBetween = loosest(rule.slotsBetween, 0, (value) => possible({ ...rule, slotsBetween: value }));
      return `at most ${plural(slotsBetween, 'slot')} here, or fewer units`;
    }
    case 'max-power-per-slot':
      return `a cap of at least ${kilowatts(leastPower(rule.power, (power) => possible({ ...rule, power })))} here`;
    case 'max-power-in-band':
      return `a cap of at least ${kilowatts(leastPower(rule.power, (power) => possible({ ...rule, power })))} here`;
    case 'only-in-band': {
      const offers: string[] = [];
      if (possible({ ...rule, toSlot: slotCount })) {
        const toSlot = loosest(rule.toSlot, slotCount, (value) => possible({ ...rule, toSlot: value }));
        offers.push(`slots ${rule.fromSlot}–${toSlot}`);
      }
      if (possible({ ...rule, fromSlot: 1 })) {
        const fromSlot = loosest(rule.fromSlot, 1, (value) => possible({ ...rule, fromSlot: value }));
        offers.push(`slots ${fromSlot}–${rule.toSlot}`);
      }
      return offers.length > 0 ? `a wider band here, such as ${offers.join(' or ')}` : LEAVE_OUT;
    }
    case 'keep-out': {
      const toSlot = loosest(rule.toSlot, rule.fromSlot - 1, (value) => possible({ ...rule, toSlot: value }));
      return toSlot >= rule.fromSlot ? `a smaller band here, such as slots ${rule.fromSlot}–${toSlot}` : LEAVE_OUT;
    }
    case 'not-next-to':
    case 'together':
      return LEAVE_OUT;
  }
}

/** The value nearest to `tight` that is possible, by halving; `tight` is impossible and `loose` possible. */
function loosest(tight: number, loose: number, possible: (value: number) => boolean): number {
  let bad = tight;
  let good = loose;
  while (Math.abs(good - bad) > 1) {
    const middle = Math.trunc((good + bad) / 2);
    if (possible(middle)) good = middle;
    else bad = middle;
  }
  return good;
}

/** The least power (W) of three significant digits that is possible, by halving. */
function leastPower(tooLittle: number, possible: (power: number) => boolean): number {
  let bad = tooLittle;
  let good = Math.max(1, 2 * tooLittle);
  while (!possible(good)) {
    bad = good;
    good *= 2;
  }
  const stepOf = (power: number): number => 10 ** (Math.floor(Math.log10(power)) - 2);
  while (good - bad > stepOf(good)) {
    const middle = (good + bad) / 2;
    if (possible(middle)) good = middle;
    else bad = middle;
  }
  const step = stepOf(good);
  const between = Math.ceil(bad / step) * step;
  return possible(between) ? between : between + step;
}

function units(selector: UnitSelector): string {
  return typeof selector === 'string' ? selector.replace('-', ' ') : `"${selector.id}"`;
}
