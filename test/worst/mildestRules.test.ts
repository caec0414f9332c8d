/** The mildest rules on small racks, against floors of the rules a step milder. */
import { describe, expect, it } from 'vitest';
import { ruleInWords } from '../../lib/draw/index.js';
import type { Rule, Study } from '../../lib/rack/index.js';
import { mildestRules, proveFloor, toleranceRanges, withRules } from '../../lib/worst/index.js';
import { floorStudy } from './floorStudies.js';

const now = () => 0;
const mostClasses = 6;
const bare = (seed: number): Study => ({ ...floorStudy(seed), rules: [] });
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

  it('are none, with the best floor told, where neither reaches it', () => {
    const study = bare(50);
    const free = floorOf(study, [], 1e5);
    const { rules, floor, words } = mildest(study, 1.35 * free);
    expect(rules).toBeNull();
    expect(floor).toBeGreaterThan(1.05 * free);
    expect(floor).toBeLessThan(1.35 * free);
    expect(words).toContain(`reaches ${(1.35e-3 * free).toFixed(1)} kW; the best comes to ${(Math.floor(floor / 100) / 10).toFixed(1)} kW`);
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
