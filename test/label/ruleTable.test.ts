import { describe, expect, it } from 'vitest';
import { type RuleCase, ruleTable } from '../../lib/label/index.js';
import { floorOf, worstOf } from './labelCase.js';

const plain: RuleCase = {
  rules: [], floor: floorOf(98_700), worstFound: worstOf(100_000), percentiles: [{ percent: 1, ratedKw: 104.25 }],
};
const apart: RuleCase = {
  rules: [{ rule: 'apart', units: 'power-shelves', slotsBetween: 8 }, { rule: 'min-free-slots', count: 2 }],
  floor: floorOf(112_300), worstFound: worstOf(125_000), percentiles: [{ percent: 1, ratedKw: 128.5 }],
};

describe('a rule table', () => {
  it('shows floor, worst found, gap and percentiles of each rule, and what it buys over no rule, in kW', () => {
    const [first, second] = ruleTable([plain, apart]);
    expect(first).toMatchObject({
      rule: 'no further rule', floorKw: 98.7, worstFoundKw: 100, gapPercent: 1.3, labelKw: 98, buysFloorKw: 0,
      buysWorstFoundKw: 0, buysLabelKw: 0, percentiles: [{ percent: 1, ratedKw: 104.25, buysKw: 0 }],
    });
    expect(second).toMatchObject({
      rule: 'power shelves at least 8 slots apart; at least 2 free slots', floorKw: 112.3, worstFoundKw: 125,
      gapPercent: 10.16, labelKw: 112, buysFloorKw: 13.6, buysWorstFoundKw: 25, buysLabelKw: 14,
      percentiles: [{ percent: 1, exceededByPercent: 99, ratedKw: 128.5, buysKw: 24.25 }],
    });
  });

  it('says as a sentence which label the rule allows, and of a percentile which share carries more', () => {
    const [, row] = ruleTable([plain, apart]);
    expect(row.words).toBe('With the rule "power shelves at least 8 slots apart; at least 2 free slots" the label can '
      + 'be 112 kW, 14 kW more than without: every allowed placement carries it.');
    expect(row.percentiles[0].words).toBe('1 % of scenarios fall below 128.5 kW, 99 % carry more');
  });

  it('rounds labels down to the step, exactly at a boundary and just below', () => {
    const labels = [100_000, 99_999.9].map((power) =>
      ruleTable([{ ...plain, floor: floorOf(power), worstFound: null }])[0]);
    expect(labels.map(({ labelKw }) => labelKw)).toEqual([100, 99]);
    expect(labels[1].floorKw).toBe(99.9999);
    expect(ruleTable([plain], 500)[0].labelKw).toBe(98.5);
  });

  it('leaves null what no floor or no search has given, and buys nothing against an unknown', () => {
    const [first, second] = ruleTable([{ ...plain, floor: null }, apart]);
    expect(first)
      .toMatchObject({ floorKw: null, gapPercent: null, labelKw: null, buysFloorKw: null, worstFoundKw: 100 });
    expect(first.words).toMatch(/no floor is proven yet/);
    expect(second).toMatchObject({ labelKw: 112, buysFloorKw: null, buysLabelKw: null });
    expect(second.words).toMatch(/the label can be 112 kW: every/);
    expect(ruleTable([{ ...plain, worstFound: null }])[0]).toMatchObject({ worstFoundKw: null, gapPercent: null });
    expect(ruleTable([{ ...plain, floor: floorOf(900) }])[0].words).toMatch(/below one step/);
  });

  it('refuses cases that cannot be compared', () => {
    expect(() => ruleTable([apart])).toThrow(/cases: found 0 without rules; exactly 1/);
    expect(() => ruleTable([plain, plain])).toThrow(/cases: found 2 without rules/);
    expect(() => ruleTable([plain, { ...apart, percentiles: [] }]))
      .toThrow(/cases\[1\].percentiles: found none; 1 are needed/);
    expect(() => ruleTable([{ ...plain, floor: floorOf(101_000) }])).toThrow(/above the worst found/);
    expect(() => ruleTable([plain], 0)).toThrow(/step: found 0 W/);
    expect(() => ruleTable([{ ...plain, percentiles: [{ percent: 1, ratedKw: Number.NaN }] }])).toThrow(RangeError);
  });
});
