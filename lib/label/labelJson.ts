import { describeState } from '../ladder/index.js';
import { samplingWords } from '../rack/studyModel.js';
import { lookConfidence } from '../statistics/index.js';
import { kilowatts, kilowattsAtMost } from './kilowatts.js';
import { basisWords, type LabelBasis } from './labelBasis.js';
import type { LabelRow, LabelTable } from './labelTable.js';
import { excessWords, type LabelExcess, type LimitExcess } from './limitExcess.js';
import type { LabelRecommendation } from './recommendLabel.js';
import type { RuleRow } from './ruleTable.js';
import type { StrandedPower } from './strandedPower.js';
import { LABEL_CAUTION, PERCENTILE_CAUTION, rangesWords } from './words.js';

export const LABEL_FORMAT = 'slotcast-label/1';

export interface LabelJsonInput {
  readonly table: LabelTable;
  readonly recommendations: readonly LabelRecommendation[];
  readonly stranded?: readonly StrandedPower[];
  readonly rules?: readonly RuleRow[];
}

/** Content of label.json. */
export type LabelJson = ReturnType<typeof labelJson>;

/**
 * A label decision as plain data with the unit in every key; powers in kW with milliwatts, proven ones rounded down;
 * shares in per cent. Where something is not known the value is null and a text beside it says why.
 */
export function labelJson({ table, recommendations, stranded = [], rules = [] }: LabelJsonInput) {
  const { sample, floor, worst } = table;
  return {
    format: LABEL_FORMAT,
    caution: LABEL_CAUTION,
    percentileNote: `${PERCENTILE_CAUTION}.`,
    boundNote: 'Each bound is one-sided and holds for its own label, not for all labels at once.',
    stepKw: kilowatts(table.step),
    scenarios: sample.ratedPower.length,
    scenariosNotRated: sample.limit.filter((limit) => limit === null).length,
    sampling: samplingWords(sample.sampling),
    confidencePercent: percent(sample.confidence),
    plannedLooks: sample.looks,
    confidencePerLookPercent: percent(lookConfidence(sample.confidence, sample.looks)),
    floor: floor === null ? null : {
      floorKw: kilowattsAtMost(floor.power),
      kind: floor.kind,
      limitedBy: floor.limitedBy,
      finished: floor.finished,
      coverPercent: floor.ranges.coverPercent,
      ranges: rangesWords(floor.ranges),
    },
    worstFound: {
      ratedKw: kilowatts(worst.power),
      kind: worst.kind,
      lowestOfSampleKw: kilowatts(worst.lowestOfSample),
      lowestOfSampleIndex: worst.lowestIndex,
    },
    labels: table.rows.map(rowJson),
    recommendations: recommendations.map(({ basis, label, bound, rank, reason, words }) => ({
      basis: basisJson(basis),
      labelKw: kwOrNull(label),
      boundKw: bound === null ? null : kilowattsAtMost(bound),
      rank,
      reason,
      words,
    })),
    strandedPower: stranded.map(strandedJson),
    rules,
  };
}

function rowJson(row: LabelRow) {
  const { binding, medianFailing } = row;
  return {
    labelKw: kilowatts(row.label),
    scenariosNotCarrying: row.notCarrying,
    carryingPercent: percent(row.carryingShare),
    notCarryingPercent: percent(row.notCarryingShare),
    notCarryingUpperPercent: row.notCarryingUpper === null ? null : percent(row.notCarryingUpper),
    boundMethod: row.boundMethod,
    boundNote: row.boundNote,
    verdict: row.verdict,
    verdictWords: row.verdictWords,
    provenByFloor: row.provenByFloor,
    placementFails: row.placementFails,
    mostOftenBinding: binding === null ? null
      : { limit: binding.limit, scenarios: binding.count, sharePercent: percent(binding.share) },
    worstFoundExcess: excessJson(row.worstFoundExcess),
    medianFailing: medianFailing === null ? null : {
      index: medianFailing.index,
      ratedKw: kilowatts(medianFailing.ratedPower),
      excess: excessJson(medianFailing.excess),
    },
  };
}

function excessJson(found: (LabelExcess & Partial<LimitExcess>) | null) {
  if (found === null) return null;
  const { limit, slot, pole, excess, unit, state, percent: ofLimit } = found;
  const inUnit = (asked: LabelExcess['unit']) => (unit === asked && excess !== null ? tidy(excess) : null);
  return {
    limit, slot, pole,
    state: state === undefined ? null : describeState(state),
    excessK: inUnit('K'),
    excessA: inUnit('A'),
    belowLimitV: inUnit('V'),
    excessKw: inUnit('kW'),
    excessPercent: ofLimit === undefined || ofLimit === null ? null : tidy(ofLimit),
    words: excessWords(found),
  };
}

function strandedJson(found: StrandedPower) {
  return {
    basis: basisJson(found.basis),
    oneLabelKw: kwOrNull(found.oneLabel),
    scenariosCarrying: found.carryingOneLabel,
    meanUnusedKw: kwOrNull(found.meanUnused),
    meanFreedByClassLabelsKw: kwOrNull(found.meanFreedByClassLabels),
    meanFreedByOwnLabelsKw: kwOrNull(found.meanFreedByOwnLabels),
    words: found.words,
    classes: found.rows.map((row) => ({
      placementClass: row.placementClass,
      scenarios: row.count,
      sharePercent: percent(row.share),
      scenariosCarryingOneLabel: row.carryingOneLabel,
      meanUnusedKw: kwOrNull(row.meanUnused),
      labelKw: kwOrNull(row.label),
      reason: row.reason,
      freedKw: kwOrNull(row.freed),
    })),
  };
}

function basisJson(basis: LabelBasis) {
  const words = basisWords(basis);
  return basis.kind === 'every-placement'
    ? { kind: basis.kind, carriedPercent: 100, confidencePercent: null, words }
    : { kind: basis.kind, carriedPercent: basis.carriedPercent, confidencePercent: basis.confidencePercent, words };
}

function kwOrNull(watts: number | null): number | null {
  return watts === null ? null : kilowatts(watts);
}

function percent(fraction: number): number {
  return tidy(100 * fraction);
}

function tidy(value: number): number {
  return Number(value.toPrecision(9));
}
