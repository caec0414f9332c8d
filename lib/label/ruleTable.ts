import { ruleInWords } from '../draw/index.js';
import type { Rule } from '../rack/studyModel.js';
import type { PercentileRow } from '../study/index.js';
import type { Floor, WorstFound } from '../worst/answers.js';
import { requirePositive } from './checks.js';
import { kilowatts, kilowattsAtMost } from './kilowatts.js';
import { DEFAULT_LABEL_STEP } from './labelTable.js';
import { roundDown } from './roundDown.js';
import { kilowattsDown, percentAsked } from './words.js';
import { requireBoundsAgree } from './worstMet.js';

/** A candidate rule (or several together) with what its study found. */
export interface RuleCase {
  /** Beyond the study's own rules; empty for the study as it is, with which the others are compared. */
  readonly rules: readonly Rule[];
  readonly floor: Pick<Floor, 'power'> | null;
  readonly worstFound: { readonly rated: Pick<WorstFound['rated'], 'power'> } | null;
  /** As in the summary of the study under the rule; the same percentiles in every case. */
  readonly percentiles: readonly Pick<PercentileRow, 'percent' | 'ratedKw'>[];
}

export interface RulePercentile {
  /** Share of scenarios that fall below; a low percentile is a low number. */
  readonly percent: number;
  readonly exceededByPercent: number;
  readonly ratedKw: number;
  /** More than without the rule. */
  readonly buysKw: number;
  readonly words: string;
}

/** A candidate rule, kW and per cent; `buys…` is the difference to the study without a further rule. */
export interface RuleRow {
  readonly rule: string;
  readonly floorKw: number | null;
  readonly worstFoundKw: number | null;
  /** 100·(worst found − floor)/worst found: what is not proven of the worst found. */
  readonly gapPercent: number | null;
  /** Proven for every allowed placement: the floor rounded down to the step; null where no floor or not one step. */
  readonly labelKw: number | null;
  readonly buysFloorKw: number | null;
  readonly buysWorstFoundKw: number | null;
  readonly buysLabelKw: number | null;
  readonly percentiles: readonly RulePercentile[];
  readonly words: string;
}

/**
 * What each candidate rule buys over no rule, in the order given.
 *
 * @param step W, default 1 kW: what labels are rounded down to
 * @throws RangeError unless exactly one case has no rules, all have the same percentiles in the same order, no floor
 * lies above its worst found, and step is above 0
 */
export function ruleTable(cases: readonly RuleCase[], step = DEFAULT_LABEL_STEP): RuleRow[] {
  requirePositive('step', step, 'W');
  const plain = cases.filter(({ rules }) => rules.length === 0);
  if (plain.length !== 1) {
    throw new RangeError(`cases: found ${plain.length} without rules; exactly 1 is needed, to compare the others with`);
  }
  const [reference] = plain;
  return cases.map((each, i) => {
    requireBoundsAgree(each.floor?.power ?? null, each.worstFound?.rated.power ?? null);
    requireSamePercentiles(each, reference, i);
    return ruleRow(each, reference, step);
  });
}

function ruleRow(each: RuleCase, reference: RuleCase, step: number): RuleRow {
  const rule = each.rules.length === 0 ? 'no further rule' : each.rules.map(ruleInWords).join('; ');
  const [floor, floorBefore] = [each, reference].map((of) => of.floor?.power ?? null);
  const [worst, worstBefore] = [each, reference].map((of) => of.worstFound?.rated.power ?? null);
  const [label, labelBefore] = [floor, floorBefore].map((power) => (power === null ? null : roundDown(power, step)));
  const buysLabelKw = difference(label, labelBefore);
  return {
    rule,
    floorKw: floor === null ? null : kilowattsAtMost(floor),
    worstFoundKw: worst === null ? null : kilowatts(worst),
    gapPercent: floor === null || worst === null ? null : gapPercent(floor, worst),
    labelKw: label === null || label === 0 ? null : kilowatts(label),
    buysFloorKw: difference(floor, floorBefore),
    buysWorstFoundKw: difference(worst, worstBefore),
    buysLabelKw,
    percentiles: each.percentiles.map(({ percent, ratedKw }, k) => ({
      percent,
      exceededByPercent: Number((100 - percent).toPrecision(9)),
      ratedKw,
      buysKw: kilowatts(1e3 * (ratedKw - reference.percentiles[k].ratedKw)),
      words: `${percentAsked(percent)} of scenarios fall below ${kilowattsDown(Math.round(ratedKw * 1e6) / 1e3)}, `
        + `${percentAsked(100 - percent)} carry more`,
    })),
    words: labelSentence(rule, label, buysLabelKw),
  };
}

function labelSentence(rule: string, label: number | null, buysKw: number | null): string {
  const when = `With ${rule === 'no further rule' ? rule : `the rule "${rule}"`}`;
  if (label === null) return `${when} no floor is proven yet, so no label for every allowed placement.`;
  if (label === 0) return `${when} the floor is below one step, so no label for every allowed placement.`;
  const more = buysKw === null || rule === 'no further rule' ? ''
    : `, ${Math.abs(buysKw)} kW ${buysKw < 0 ? 'less' : 'more'} than without`;
  return `${when} the label can be ${kilowatts(label)} kW${more}: every allowed placement carries it.`;
}

/** 0 where the worst found is 0: nothing is left to prove. */
function gapPercent(floor: number, worst: number): number {
  return worst === 0 ? 0 : Number(Math.max(0, (100 * (worst - floor)) / worst).toPrecision(9));
}

function difference(power: number | null, before: number | null): number | null {
  return power === null || before === null ? null : kilowatts(power - before);
}

function requireSamePercentiles(each: RuleCase, reference: RuleCase, i: number): void {
  const [found, allowed] = [each, reference].map(({ percentiles }) =>
    percentiles.map(({ percent }) => percent).join(', ') || 'none');
  if (found !== allowed) {
    throw new RangeError(`cases[${i}].percentiles: found ${found}; ${allowed} are needed, as without rules`);
  }
  for (const { percent, ratedKw } of each.percentiles) {
    if (!(ratedKw >= 0 && Number.isFinite(ratedKw))) {
      throw new RangeError(
        `cases[${i}]: found ${ratedKw} kW at ${percent} %; a finite power of at least 0 kW is needed`,
      );
    }
  }
}
