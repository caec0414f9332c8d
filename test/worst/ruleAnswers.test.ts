import { describe, expect, it } from 'vitest';
import { loadStudy, type Rule, type Study } from '../../lib/rack/index.js';
import {
  answerRules, mildestRules, onlyNarrows, proveFloor, type RuleAnswer, toleranceRanges, withRules, type WorstAnswer,
} from '../../lib/worst/index.js';

const { study } = loadStudy('data-demo/plain-bar-even.json');
const ranges = toleranceRanges(study, null);
const noClock = () => 0;
const clock = () => performance.now();
const answered = ({ answer, impossible }: RuleAnswer): WorstAnswer => {
  if (answer === null) throw new Error(impossible ?? 'no answer');
  return answer;
};
const sourcesIn = (fromSlot: number, toSlot: number): Rule => (
  { rule: 'only-in-band', units: 'sources', fromSlot, toSlot });

describe('answers under candidate rules', () => {
  it('stand in the order of the file after the study as it is, an impossible one with its reason', () => {
    const candidateRules = [
      { name: 'middle', rules: [sourcesIn(13, 24)] }, { name: 'none fits', rules: [sourcesIn(1, 3)] },
    ];
    const options = { seed: 'rules', starts: 1, gap: 0.04, now: noClock };
    const answers = answerRules({ ...study, candidateRules }, ranges, options);
    expect(answers.map(({ name }) => name)).toEqual(['no further rule', 'middle', 'none fits']);
    const [free, middle, none] = answers;
    expect(none.answer).toBeNull();
    expect(none.impossible).toMatch(/leaves no placement/);
    expect(answered(middle).floor.power).toBeGreaterThan(answered(free).floor.power);
    for (const { floor, found, gapPercent } of [free, middle].map(answered)) {
      expect(floor.power).toBeLessThanOrEqual(found.rated.power);
      expect(gapPercent).toBeCloseTo(100 * (1 - floor.power / found.rated.power), 9);
      expect(gapPercent).toBeLessThan(5);
    }
  }, 60_000);

  it('never take over a floor where a rule lets other placements appear: near slots kept empty in a full rack', () => {
    const { study: full } = loadStudy('data-demo/deep-bar-anywhere.json');
    const far: Rule[] = [sourcesIn(1, 8), { rule: 'keep-out', units: 'loads', fromSlot: 7, toSlot: 38 }];
    expect(onlyNarrows(full, far)).toBe(false);
    const candidateRules = [{ name: 'far', rules: far }];
    const [plain, ruled] = answerRules(
      { ...full, candidateRules }, toleranceRanges(full, null), { seed: 'far', starts: 1, seconds: 6, now: clock },
    ).map(answered);
    // The rule lowers what is carried below what holds for every placement without it.
    expect(ruled.found.rated.power).toBeLessThan(plain.floor.power);
    expect(ruled.floor.power).toBeLessThanOrEqual(ruled.found.rated.power);
    expect(plain.floor.power).toBeLessThanOrEqual(plain.found.rated.power);
  }, 60_000);

  it('take over a lower placement met under rules that only narrow', () => {
    // No time for any descent, so that the narrow band alone leads to a lower placement.
    let ticks = 0;
    const instant = { seed: 'c', starts: 1, seconds: 1e-9, now: () => ticks++ };
    const rules: Rule[] = [sourcesIn(1, 10), { rule: 'keep-out', units: 'loads', fromSlot: 11, toSlot: 20 }];
    const candidateRules = [{ name: 'low end, far loads', rules }];
    const [alone] = answerRules(study, ranges, instant).map(answered);
    const [plain, low] = answerRules({ ...study, candidateRules }, ranges, instant).map(answered);
    expect(low.found.rated.power).toBeLessThan(alone.found.rated.power);
    expect(plain.found.rated).toEqual(low.found.rated);
    expect(plain.found).toMatchObject({ starts: 1, agreeing: 0 });
    // Both searches are counted.
    expect(plain.found.evaluations).toBe(alone.found.evaluations + low.found.evaluations);
    expect(plain.found.seconds).toBeGreaterThan(low.found.seconds);
    expect(plain.gapPercent).toBeLessThan(alone.gapPercent);
  });

  it('take over the floor under rules that only narrow, where there is no time for more', () => {
    const candidateRules = [{ name: 'as it is', rules: [sourcesIn(1, 36)] }];
    let searches = 0;
    const [plain, same] = answerRules({ ...study, candidateRules }, ranges, {
      seed: 'floor', starts: 1, seconds: 1e3, gap: 0.05, onSearch: () => searches++,
      // All the time is over once the second search is.
      now: () => (searches > 1 ? 1e9 : 0),
    }).map(answered);
    expect(plain.floor.power).toBeGreaterThan(38e3);
    expect(same.floor.power).toBe(plain.floor.power);
  });
});

describe('the mildest rules that reach a label', () => {
  it.each([
    ['highest', { fromSlot: 33, toSlot: 36 }], ['lowest', { fromSlot: 1, toSlot: 12 }],
  ])('name a band for the sources that can be widened at neither end, the %s slots without sources', (_, empty) => {
    const label = 43e3;
    const options = { below: label, mostClasses: 40 };
    const without: Rule = { rule: 'keep-out', units: 'sources', ...empty };
    const other: Study = { ...study, rules: [without, ...study.rules.slice(1)] };
    const { rules, words } = mildestRules(other, ranges, label, { mostClasses: 40, now: noClock });
    expect(words).toMatch(/^sources only in slots .* a milder rule may do as well, but was not proven with 40 classes/);
    const [rule] = rules ?? [];
    if (rule?.rule !== 'only-in-band') throw new Error('a band for the sources must do it');
    const floorIn = (fromSlot: number, toSlot: number) => (
      proveFloor(withRules(other, [sourcesIn(fromSlot, toSlot)]), ranges, options, noClock).power);
    expect(floorIn(rule.fromSlot, rule.toSlot)).toBeGreaterThanOrEqual(label);
    if (rule.fromSlot > 1) expect(floorIn(rule.fromSlot - 1, rule.toSlot)).toBeLessThan(label);
    if (rule.toSlot < 36) expect(floorIn(rule.fromSlot, rule.toSlot + 1)).toBeLessThan(label);
    expect(rule.fromSlot > 1 || rule.toSlot < 36).toBe(true);
  }, 60_000);

  it('are none where a floor proven already reaches it, however little is bounded here', () => {
    const asked = { mostClasses: 1, now: noClock };
    expect(mildestRules(study, ranges, 41e3, asked).rules).not.toEqual([]);
    expect(mildestRules(study, ranges, 41e3, { ...asked, proven: 41.3e3 })).toMatchObject({ rules: [], floor: 41.3e3 });
  }, 60_000);

  it('are none for a label below the floor, and null where none of those tried reaches it', () => {
    expect(mildestRules(study, ranges, 30e3, { now: noClock }).rules).toEqual([]);
    const { rules, words, floor } = mildestRules(study, ranges, 150e3, { mostClasses: 6, now: noClock });
    expect(rules).toBeNull();
    expect(words).toMatch(/none of the rules tried .* reaches 150\.0 kW; the best of them comes to [\d.]+ kW/);
    expect(floor).toBeGreaterThan(0);
    expect(floor).toBeLessThan(150e3);
  }, 60_000);

  it('are given up after the time given, which is said', () => {
    let now = 0;
    const { rules, words } = mildestRules(study, ranges, 100e3, { seconds: 1, now: () => (now += 400) });
    expect(rules).toBeNull();
    expect(words).toMatch(/none of the rules tried .* in the time given reaches 100\.0 kW/);
    // Each rule begun reads the clock again.
    expect(now).toBeLessThan(5000);
  });

  it('are not looked for without a label', () => {
    expect(() => mildestRules(study, ranges, 0, { now: noClock })).toThrow(/label: found 0 W; .* above 0 W/);
  });
});
