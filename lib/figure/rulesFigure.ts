import type { RuleRow } from '../label/index.js';
import { escapeLabel } from './escapeLabel.js';
import type { Figure, Trace } from './figure.js';
import { axis, breakLabel, frame } from './frame.js';
import { lineKey } from './lineKey.js';
import { formatLevel, formatNumber } from './numberFormat.js';
import { PALETTE } from './palette.js';
import { rowLabel } from './rowLabel.js';

/** px of a row of marks, and of each line of its name over it. */
const ROW = 44;
const LINE = 17;
/** Letters of a name, per line. */
const NAME_LETTERS = 40;
const MARGIN = { l: 10, r: 22, t: 60, b: 54 };
const PROVEN = { color: PALETTE.supply, width: 3 };
const OPEN = { color: PALETTE.bars, width: 10 };

/** A rule with its name, as in label.json. */
export type NamedRuleRow = Pick<RuleRow, 'floorKw' | 'worstFoundKw' | 'labelKw' | 'buysLabelKw' | 'percentiles'> & {
  readonly name: string;
};

/**
 * What each placement rule buys, one row each: a thin line over the powers proven for every allowed placement, up to
 * the floor; a thick bar from there to the worst found, within which the true worst placement lies; the label that
 * the floor supports as a triangle under its end, and the percentiles of the sample under the rule as circles.
 *
 * @param rules the study as it is first, then each rule; powers in kW, null where a bound is not known
 * @throws RangeError where there is no row, or no power to draw in any
 */
export function rulesFigure(rules: readonly NamedRuleRow[]): Figure {
  const shown = rules.flatMap(({ floorKw, worstFoundKw, labelKw, percentiles }) =>
    [floorKw, worstFoundKw, labelKw, ...percentiles.map(({ ratedKw }) => ratedKw)].filter((kw) => kw !== null));
  if (shown.length === 0) throw new RangeError(`rules: found ${rules.length} rows; one with a power to draw is needed`);
  const [low, high] = [Math.min(...shown), Math.max(...shown)];
  const room = 0.06 * (high - low) || 0.5;
  const from = Math.max(0, low - room);
  // The plotting library counts rows from the bottom; the first is drawn on top.
  const rows = [...rules].reverse();
  const names = rows.map((row) => nameOf(row));
  const lines = Math.max(...names.map((name) => name.split('<br>').length));
  const height = ROW + LINE * lines;
  const title = titleOf(rules);
  const key = [
    { name: 'proven, up to the floor', line: PROVEN }, { name: 'floor to worst found', line: OPEN },
    { name: 'label', symbol: '▲' }, { name: 'percentiles of the sample', symbol: '○' },
  ];
  return {
    title,
    description: `${rules.map(rowWords).join(' ')} Proven up to the floor for every allowed placement; the true worst `
      + 'placement lies between floor and worst found.',
    data: [...bounds(rows, from), ...labels(rows, 12 / height), ...percentiles(rows)],
    layout: frame(title, rows.length * height + MARGIN.t + MARGIN.b, MARGIN, {
      xaxis: axis('power, kW', { nticks: 6, range: [from, high + room] }),
      yaxis: { visible: false, range: [-28 / height, rows.length - 28 / height], fixedrange: true },
      annotations: [...names.map((name, row) => rowLabel(row, name)), ...(lineKey(key, 1).annotations ?? [])],
      shapes: lineKey(key, 1).shapes,
    }),
  };
}

/** Name and label, and how much more or less that is than without the rule. */
function nameOf({ name, labelKw, buysLabelKw }: NamedRuleRow): string {
  const buys = buysLabelKw === null || buysLabelKw === 0 ? ''
    : ` (${buysLabelKw > 0 ? '+' : '−'}${formatLevel(Math.abs(buysLabelKw))})`;
  const lines = breakLabel(name, NAME_LETTERS);
  return labelKw === null ? `${lines}, no label` : `${lines}  <b>${formatLevel(labelKw)} kW</b>${buys}`;
}

function bounds(rows: readonly NamedRuleRow[], from: number): Trace[] {
  const style = { type: 'scatter', mode: 'lines', hoverinfo: 'text' } as const;
  return rows.flatMap(({ name, floorKw, worstFoundKw }, row): Trace[] => {
    const floorWords = floorKw === null ? '' : `${escapeLabel(name)}: floor ${down(floorKw)} kW`;
    const worstWords = worstFoundKw === null ? ''
      : `${escapeLabel(name)}: worst found ${formatNumber(worstFoundKw, 1)} kW`;
    return [
      ...(floorKw === null || worstFoundKw === null ? [] : [{
        ...style, name: 'floor to worst found', x: [floorKw, worstFoundKw], y: [row, row], line: OPEN,
        hovertext: [floorWords, worstWords],
      }]),
      ...(floorKw === null ? [] : [{
        ...style, name: 'proven', x: [from, floorKw], y: [row, row], line: PROVEN, hovertext: [floorWords, floorWords],
      }]),
      ...(floorKw === null ? [] : [endMark('floor', floorKw, row, floorWords, PALETTE.supply)]),
      ...(worstFoundKw === null ? [] : [endMark('worst found', worstFoundKw, row, worstWords, PALETTE.limit)]),
    ];
  });
}

/** An upright stroke: seen too where floor and worst found meet, or where one of them is not known. */
function endMark(name: string, kw: number, row: number, words: string, color: string): Trace {
  return {
    type: 'scatter', mode: 'markers', name, x: [kw], y: [row], hovertext: [words], hoverinfo: 'text',
    marker: { symbol: 'line-ns', size: 14, color, line: { color, width: 2.5 } },
  };
}

function labels(rows: readonly NamedRuleRow[], below: number): Trace[] {
  const shown = rows.flatMap(({ name, labelKw }, row) => (labelKw === null ? [] : [{ name, labelKw, row }]));
  return shown.length === 0 ? [] : [{
    type: 'scatter', mode: 'markers', name: 'label', x: shown.map(({ labelKw }) => labelKw),
    y: shown.map(({ row }) => row - below), cliponaxis: false,
    marker: { symbol: 'triangle-up', size: 11, color: PALETTE.supply },
    hovertext: shown.map(({ name, labelKw }) => `${escapeLabel(name)}: label ${formatLevel(labelKw)} kW`),
    hoverinfo: 'text',
  }];
}

function percentiles(rows: readonly NamedRuleRow[]): Trace[] {
  const shown = rows.flatMap(({ name, percentiles: own }, row) => own.map((one) => ({ name, row, ...one })));
  return shown.length === 0 ? [] : [{
    type: 'scatter', mode: 'markers', name: 'percentiles', x: shown.map(({ ratedKw }) => ratedKw),
    y: shown.map(({ row }) => row), cliponaxis: false,
    marker: { symbol: 'circle-open', size: 8, color: PALETTE.return, line: { width: 2 } },
    hovertext: shown.map(({ name, percent, ratedKw }) =>
      `${escapeLabel(name)}: ${formatLevel(percent)} % of scenarios fall below ${formatNumber(ratedKw, 1)} kW`),
    hoverinfo: 'text',
  }];
}

function titleOf([plain, ...ruled]: readonly NamedRuleRow[]): string {
  const raising = ruled.filter(({ labelKw, buysLabelKw }) =>
    labelKw !== null && (plain.labelKw === null || (buysLabelKw ?? labelKw - plain.labelKw) > 0));
  const [best] = [...raising].sort((a, b) => (b.labelKw ?? 0) - (a.labelKw ?? 0));
  if (best?.labelKw !== undefined && best.labelKw !== null) {
    return plain.labelKw === null
      ? `“${best.name}” makes a label of ${formatLevel(best.labelKw)} kW possible`
      : `“${best.name}” raises the label from ${formatLevel(plain.labelKw)} to ${formatLevel(best.labelKw)} kW`;
  }
  if (plain.labelKw === null) return 'No label is proven yet, with or without a rule';
  return `${ruled.length === 0 ? 'No rule was tried: the label is' : 'No rule raises the label of'} ${
    formatLevel(plain.labelKw)} kW`;
}

function rowWords({ name, floorKw, worstFoundKw, labelKw, percentiles: own }: NamedRuleRow): string {
  return `${name}: floor ${floorKw === null ? 'not proven' : `${down(floorKw)} kW`}, `
    + `worst found ${worstFoundKw === null ? 'not searched' : `${formatNumber(worstFoundKw, 1)} kW`}, `
    + `label ${labelKw === null ? 'none' : `${formatLevel(labelKw)} kW`}${own.map(({ percent, ratedKw }) =>
      `, ${formatLevel(percent)} % fall below ${formatNumber(ratedKw, 1)} kW`).join('')}.`;
}

/** Never above what is proven. */
function down(kilowatts: number): string {
  return formatNumber(Math.floor(kilowatts * 10) / 10, 1);
}
