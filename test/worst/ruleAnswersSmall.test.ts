/** Answers under candidate rules on racks of nine slots. */
import { describe, expect, it } from 'vitest';
import { checkRules } from '../../lib/draw/index.js';
import type { LoadsDraw, Rule, Study } from '../../lib/rack/index.js';
import {
  answerRules, type RuleAnswer, toleranceRanges, whyImpossible, withRules, type WorstAnswer, worstAnswer,
} from '../../lib/worst/index.js';
import { plainPole, sampleRack } from '../ladder/sampleRack.js';
import { smallStudy } from './smallStudies.js';

const noClock = () => 0;
const base = smallStudy(0);
/** Two shelves of one slot somewhere in nine slots, or where they are said to stand. */
function studyOf(loads: LoadsDraw, positions: Study['sources']['positions'] = { draw: 'uniform' }, change: Partial<Study['rack']> = {}): Study {
  const plain = sampleRack({ slotCount: 9, pitch: 0.2, limits: { barRise: 25 } });
  const cold = { resistance: 2e-5, thermalResistance: 0, heatShare: 0, edgeHeight: 0 };
  const unlimited = { maxCurrent: Infinity, maxPower: Infinity };
  const catalogue = {
    ...base.catalogue, sources: base.catalogue.sources.map((type) => ({ ...type, ...unlimited, contact: cold })),
    loads: base.catalogue.loads.filter(({ id }) => id === 'node').map((type) => ({ ...type, contactSlot: 1, heatPath: { conductance: 0, rise: 0 }, contact: cold })),
  };
  return { ...base, rack: { ...plain, ...change }, catalogue, rules: [], sources: { units: [{ id: 'shelf', count: 2 }], positions }, loads };
}
const [section] = plainPole(9).sections;
const thick = (fromSlot: number, toSlot: number) => ({ ...section, fromSlot, toSlot });
const thin = (fromSlot: number, toSlot: number) => ({ ...thick(fromSlot, toSlot), plates: { ...section.plates, thickness: 0.004 } });
const even: LoadsDraw = { draw: 'even', id: 'node', count: { min: 2, max: 2 }, totalPower: 6000 };
const within = (units: 'sources' | 'loads', fromSlot: number, toSlot: number): Rule => ({ rule: 'only-in-band', units, fromSlot, toSlot });
const ruled = (study: Study, ...sets: readonly (readonly Rule[])[]): Study => (
  { ...study, candidateRules: sets.map((rules, k) => ({ name: `set ${k + 1}`, rules })) });
const answered = ({ answer }: RuleAnswer): WorstAnswer => {
  if (answer === null) throw new Error('an answer is wanted');
  return answer;
};

describe('rules on top of a study', () => {
  const study = { ...studyOf(even), rules: [within('sources', 1, 8)] };

  it('come after its own', () => {
    const more = withRules(study, [within('loads', 2, 9)]);
    expect(more).toEqual({ ...study, rules: [within('sources', 1, 8), within('loads', 2, 9)] });
    expect(study.rules).toHaveLength(1);
  });

  it('are impossible in the words of the check, and possible with none', () => {
    expect(whyImpossible(study, [within('loads', 2, 9)])).toBeNull();
    const none = [within('sources', 1, 1)];
    const why = whyImpossible(study, none);
    expect(() => checkRules(withRules(study, none))).toThrow(why ?? 'words');
    expect(why).toMatch(/no placement/);
  });

  it('let what is wrong with the study itself be thrown', () => {
    const unknown: Study = { ...study, loads: { ...even, id: 'gone' } as LoadsDraw };
    expect(() => whyImpossible(unknown, [])).toThrow(/gone/);
  });
});

describe('answers under candidate rules', () => {
  const asked = { seed: 'rules', starts: 1, gap: 0.05, now: noClock };

  it('stand in order with their rules and studies, an impossible one without an answer', () => {
    const study = ruled(studyOf(even), [within('sources', 1, 1)], [within('sources', 4, 6)]);
    const ranges = toleranceRanges(study, null);
    const [free, none, middle] = answerRules(study, ranges, asked);
    expect(free).toMatchObject({ name: 'no further rule', rules: [], study, impossible: null });
    expect(none).toEqual({
      name: 'set 1', rules: [within('sources', 1, 1)], study: withRules(study, [within('sources', 1, 1)]), answer: null,
      impossible: whyImpossible(study, [within('sources', 1, 1)]),
    });
    expect(middle).toMatchObject({ name: 'set 2', rules: [within('sources', 4, 6)], impossible: null });
    expect(middle.study.rules).toEqual([within('sources', 4, 6)]);
    expect(answered(middle).found.rated.power).toBeGreaterThan(1.1 * answered(free).found.rated.power);
    // The search of the study as it is, is the one that is asked for without rules.
    expect(answered(free).found.rated).toEqual(worstAnswer(study, ranges, asked).found.rated);
  });

  it('take over the floor of the study where rules only narrow it and there is no time for more', () => {
    const study = ruled(studyOf(even), [within('sources', 1, 8)], [within('loads', 1, 8), within('sources', 2, 9)]);
    let searches = 0;
    const answers = answerRules(study, toleranceRanges(study, null), {
      seed: 'floor', starts: 1, seconds: 1e3, gap: 1e-3, onSearch: () => searches++,
      now: () => (searches > 1 ? 1e9 : 0),
    }).map(answered);
    const [plain, first, second] = answers;
    expect(searches).toBe(3);
    expect(plain.floor.power).toBeGreaterThan(0.97 * plain.found.rated.power);
    expect(Math.min(first.floor.power, second.floor.power)).toBe(plain.floor.power);
    expect(first.floor.finished).toBe(false);
    expect(plain.found.rated.power).toBeLessThanOrEqual(Math.min(first.found.rated.power, second.found.rated.power));
    expect(plain.found.agreeing).toBe(1);
  });

  it('take over neither where a rule leads to placements that could not be drawn without it', () => {
    // Seven free slots are all full without the rule; with it the three far ones carry all.
    const study = studyOf(
      { draw: 'all-or-nothing', id: 'node', cap: 3000, chanceFull: 1 },
      { draw: 'fixed', units: [{ id: 'shelf', bottomSlot: 1 }, { id: 'shelf', bottomSlot: 2 }] },
      { supply: { sections: [thick(1, 4), thin(5, 9)], joints: [] } });
    const far = [within('loads', 7, 9)];
    const ranges = toleranceRanges(study, null);
    const [plain, under] = answerRules(ruled(study, far), ranges, { ...asked, gap: 0.9 }).map(answered);
    expect(plain.found.scenario.units).toHaveLength(9);
    expect(under.found.scenario.units).toHaveLength(5);
    expect(plain.found.rated.power).toBeGreaterThan(1.2 * under.found.rated.power);
  });
});
