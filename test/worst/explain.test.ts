import { describe, expect, it } from 'vitest';
import { RackModel } from '../../lib/ladder/index.js';
import { loadStudy } from '../../lib/rack/index.js';
import {
  allowedPlacement, answerRules, bestRelief, explainWorst, mildestRules, proveFloor, searchWorst, toleranceRanges, withRules,
} from '../../lib/worst/index.js';

const { study } = loadStudy('data-demo/plain-bar-even.json');
const ranges = toleranceRanges(study, null);
const found = searchWorst(study, ranges, { seed: 'explain', starts: 1 });
const noClock = () => 0;

describe('the worst placement explained', () => {
  it('names limit, slot, power, the current that does it, and a change that is allowed and frees what it says', () => {
    const words = explainWorst(study, found);
    expect(words).toContain(`binds at ${(found.rated.power / 1e3).toFixed(1)} kW`);
    expect(words).toMatch(/All of its [\d.]+ kW pass the bar between slots \d+ and \d+ \(\d+ A\)/);
    const relief = bestRelief(study, found);
    if (relief === null) throw new Error('sources at an end can always be moved');
    expect(words).toContain(`frees ${(relief.freed / 1e3).toFixed(1)} kW.`);
    expect(allowedPlacement(study).allows(relief.scenario.units)).toBe(true);
    const after = new RackModel(study.rack).rate(relief.scenario).power;
    expect(after - found.rated.power).toBeCloseTo(relief.freed, 6);
    expect(relief.freed).toBeGreaterThan(5e3);
  });
});

describe('what rules buy', () => {
  it('is told for the study as it is and for each candidate, an impossible one with its reason', () => {
    const candidateRules = [
      { name: 'middle', rules: [{ rule: 'only-in-band', units: 'sources', fromSlot: 13, toSlot: 24 }] },
      { name: 'none fits', rules: [{ rule: 'only-in-band', units: 'sources', fromSlot: 1, toSlot: 3 }] },
    ] as const;
    const answers = answerRules({ ...study, candidateRules }, ranges, { seed: 'rules', starts: 1, gap: 0.04, now: noClock });
    expect(answers.map(({ name }) => name)).toEqual(['no further rule', 'middle', 'none fits']);
    const [free, middle, none] = answers;
    expect(none.answer).toBeNull();
    expect(none.impossible).toMatch(/leaves no placement/);
    expect(middle.answer?.floor.power).toBeGreaterThan(free.answer?.floor.power ?? Number.POSITIVE_INFINITY);
    for (const { answer } of [free, middle]) {
      expect(answer?.floor.power).toBeLessThanOrEqual(answer?.found.rated.power ?? 0);
      expect(answer?.gapPercent).toBeLessThan(5);
    }
  }, 60_000);

  it('finds the mildest band that reaches a label: the next wider one does not', () => {
    const label = 43e3;
    const { rules, floor } = mildestRules(study, ranges, label, { mostClasses: 40, now: noClock });
    expect(floor).toBeGreaterThanOrEqual(label);
    const [rule] = rules ?? [];
    if (rule?.rule !== 'only-in-band') throw new Error('a band for the sources must do it');
    const wider = withRules(study, [{ ...rule, fromSlot: rule.fromSlot - 1, toSlot: rule.toSlot + 1 }]);
    expect(proveFloor(wider, ranges, { below: label, mostClasses: 40 }, noClock).power).toBeLessThan(label);
  }, 60_000);

  it('needs none for a label below the floor, and says so where none reaches it', () => {
    expect(mildestRules(study, ranges, 30e3, { now: noClock }).rules).toEqual([]);
    const { rules, words } = mildestRules(study, ranges, 150e3, { mostClasses: 6, now: noClock });
    expect(rules).toBeNull();
    expect(words).toMatch(/none of the rules tried .* reaches 150\.0 kW; the best comes to [\d.]+ kW/);
  }, 60_000);
});
