/** The mildest rules on small racks, against floors of the rules a step milder. */
import { describe, expect, it } from 'vitest';
import { ruleInWords } from '../../lib/draw/index.js';
import type { Rule, Study } from '../../lib/rack/index.js';
import { mildestRules, proveFloor, toleranceRanges, withRules } from '../../lib/worst/index.js';
import { floorStudy } from './floorStudies.js';

const now = () => 0;
const mostClasses = 6;
const bare = (seed: number): Study => ({ ...floorStudy(seed), rules: [] });
/** With so much of the rise allowed that the slots can draw what the bar carries, as in a rack that its bar limits. */
const hemmed = (seed: number, part: number): Study => {
  const { rack, ...study } = bare(seed);
  return { ...study, rack: { ...rack, limits: { ...rack.limits, barRise: part * rack.limits.barRise } } };
};
const floorOf = (study: Study, rules: readonly Rule[], below: number) => (
  proveFloor(withRules(study, rules), toleranceRanges(study, null), { below, mostClasses }, now).power);
const mildest = (study: Study, label: number) => mildestRules(study, toleranceRanges(study, null), label, { mostClasses, now });

describe('the mildest rules of a small rack', () => {
  it('are a cap of a ladder down by 5 % that reaches the label where the one above it does not', () => {
    // Nodes of this study's catalogue draw 4 kW in one slot at most.
    const study = bare(50);
    const ladder = Array.from({ length: 20 }, (_, k) => Math.floor(40 * 0.95 ** (k + 1)) * 100);
    const free = floorOf(study, [], 1e5);
    const label = 1.06 * free;
    const { rules, words, floor } = mildest(study, label);
    const [rule] = rules ?? [];
    if (rule?.rule !== 'max-power-per-slot') throw new Error('a cap must do it');
    const at = ladder.indexOf(rule.power);
    expect(at).toBeGreaterThan(0);
    expect(floorOf(study, [rule], label)).toBeGreaterThanOrEqual(label);
    expect(floorOf(study, [{ ...rule, power: ladder[at - 1] }], label)).toBeLessThan(label);
    expect(rules).toHaveLength(1);
    expect(floor).toBe(label);
    expect(words.startsWith(`${ruleInWords(rule)} (proven; `)).toBe(true);
    expect(words).not.toContain('time');
  });

  it('are a band of the sources that reaches the label and does not one slot wider at either end', () => {
    const study = bare(25);
    const label = 1.2 * floorOf(study, [], 1e5);
    const [rule] = mildest(study, label).rules ?? [];
    if (rule?.rule !== 'only-in-band') throw new Error('a band must do it');
    expect(floorOf(study, [rule], label)).toBeGreaterThanOrEqual(label);
    const { fromSlot, toSlot } = rule;
    if (fromSlot > 1) expect(floorOf(study, [{ ...rule, fromSlot: fromSlot - 1 }], label)).toBeLessThan(label);
    if (toSlot < 12) expect(floorOf(study, [{ ...rule, toSlot: toSlot + 1 }], label)).toBeLessThan(label);
    expect(toSlot - fromSlot).toBeLessThan(11);
  });

  it('are a cap that all types can keep where one that leaves types out does not do', () => {
    // Nodes draw 1.5 kW at least: below that triples of 1.7 kW a slot are left, and stronger ones would be worse.
    const study = hemmed(239, 0.1);
    const label = 1.25 * floorOf(study, [], 1e6);
    const cap = (watts: number): Rule => ({ rule: 'max-power-per-slot', power: watts });
    expect(mildest(study, label).rules).toEqual([cap(1500)]);
    for (const other of [1400, 1600, 2500]) expect(floorOf(study, [cap(other)], label)).toBeLessThan(label);
  });

  it.each([[50, 0.25, 1.266, 5], [239, 0.1, 1.281, 4], [239, 0.25, 1.343, 4]])('are sources in the middle third with a cap where neither alone does it (study %i, %d of the rise)', (
    seed, part, times, toSlot,
  ) => {
    const study = hemmed(seed, part);
    const label = times * floorOf(study, [], 1e6);
    const { rules, floor, words } = mildest(study, label);
    if (rules?.length !== 2 || rules[1].rule !== 'max-power-per-slot') throw new Error('a band and a cap must do it');
    const [third, cap] = rules;
    expect(third).toEqual({ rule: 'only-in-band', units: 'sources', fromSlot: 3, toSlot });
    expect(floor).toBe(label);
    expect(words.startsWith(`${ruleInWords(third)}; ${ruleInWords(cap)} (proven; `)).toBe(true);
    expect(floorOf(study, rules, label)).toBeGreaterThanOrEqual(label);
    for (const less of [[third], [cap], [third, { ...cap, power: 1.06 * cap.power }]]) expect(floorOf(study, less, label)).toBeLessThan(label);
  });

  it('are no cap under which the slots left by the sources could not draw the label', () => {
    const cap = (power: number): Rule => ({ rule: 'max-power-per-slot', power });
    // Two shelves leave five slots of seven, which draw 7.5 kW at 1.5 kW each; that would do for 12.1 kW otherwise.
    const idle = bare(176);
    const label = 1.125 * floorOf(idle, [], 1e6);
    expect(floorOf(idle, [cap(1500)], label)).toBeGreaterThanOrEqual(label);
    expect(mildest(idle, label).rules).toBeNull();
  });

  it('are none, with the best floor told, where neither reaches it', () => {
    const study = bare(50);
    const free = floorOf(study, [], 1e5);
    const { rules, floor, words } = mildest(study, 1.35 * free);
    expect(rules).toBeNull();
    expect(floor).toBeGreaterThan(1.05 * free);
    expect(floor).toBeLessThan(1.35 * free);
    expect(words).toContain(`reaches ${(1.35e-3 * free).toFixed(1)} kW; the best of them comes to ${(Math.floor(floor / 100) / 10).toFixed(1)} kW`);
    expect(words).not.toContain('time given');
  });

  it('are none needed where the floor or a proven one reaches the label', () => {
    const study = bare(50);
    const free = floorOf(study, [], 1e5);
    expect(mildest(study, 0.99 * free)).toEqual({ rules: [], words: 'no further rule is needed', floor: 0.99 * free });
    const ranges = toleranceRanges(study, null);
    const proven = { mostClasses, now, proven: 1.5 * free };
    expect(mildestRules(study, ranges, 1.5 * free, proven)).toEqual({ rules: [], words: 'no further rule is needed', floor: 1.5 * free });
    for (const label of [0, -1, Number.NaN, Number.POSITIVE_INFINITY]) expect(() => mildest(study, label)).toThrow(/label: found/);
  });
});
