/** A label decision in words and compact tables for a terminal. */
import type { LabelDocument } from '../label/index.js';
import { plainText, textTable } from './textTable.js';

const kw = (value: number | null) => (value === null ? '' : value.toFixed(1));
/** Never above: for what is proven. */
const kwAtMost = (value: number) => (Math.floor(value * 100) / 100).toFixed(2);
const percent = (value: number | null) => (value === null ? '' : `${Number(value.toPrecision(3))}%`);

export function labelText(label: LabelDocument): string {
  const { floor, worstFound, mildestRules, impossibleRules } = label;
  const proven = floor === null ? 'Floor: none proven.'
    : `Floor ${kwAtMost(floor.floorKw)} kW (${floor.kind}), ${floor.ranges}.`;
  return [
    `Label decision for study "${plainText(label.study.name)}" of rack "${plainText(label.rack.name)}"`,
    '',
    ...label.recommendations.map(({ words }) => words),
    '',
    `${proven} Worst found ${worstFound.ratedKw.toFixed(2)} kW (${worstFound.kind}). `
      + 'The true worst lies between the two.',
    `The worst placement found: ${plainText(worstFound.explanation)}`,
    '',
    `${label.percentileNote} ${label.boundNote}`,
    textTable(
      ['label kW', 'carry it', 'do not', 'at most', 'verdict', 'worst found would exceed'],
      label.labels.map((row) => [
        String(row.labelKw), percent(row.carryingPercent), percent(row.notCarryingPercent),
        percent(row.notCarryingUpperPercent), row.verdict,
        row.worstFoundExcess === null ? '' : row.worstFoundExcess.words,
      ]),
    ),
    ...(label.rules.length > 1 ? ['', 'What rules buy, kW', rulesTable(label)] : []),
    ...impossibleRules.map(({ name, reason }) => `"${plainText(name)}" is impossible: ${plainText(reason)}`),
    ...(mildestRules === null ? [] : ['', `For ${mildestRules.wantedKw} kW: ${plainText(mildestRules.words)}`]),
    '',
    ...label.strandedPower.map(({ words }) => words),
    '',
    label.caution,
  ].join('\n');
}

function rulesTable({ rules }: LabelDocument): string {
  const percentiles = rules[0].percentiles.map(({ percent: p }) => `${p}%`);
  return textTable(
    ['name', 'rule', 'floor', 'worst found', 'gap %', ...percentiles, 'label', 'buys'],
    rules.map((row) => [
      plainText(row.name), plainText(row.rule), kw(row.floorKw === null ? null : Math.floor(row.floorKw * 10) / 10),
      kw(row.worstFoundKw), kw(row.gapPercent), ...row.percentiles.map(({ ratedKw }) => kw(ratedKw)), kw(row.labelKw),
      kw(row.buysLabelKw),
    ]),
  );
}
