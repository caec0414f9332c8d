import { type LabelJson, type LabelRisk, labelRisks, type LabelSample } from '../label/index.js';
import { LIMIT_WORDS } from '../ladder/index.js';
import type { Figure, Trace } from './figure.js';
import { axis, frame } from './frame.js';
import { countOf, formatLevel, formatNumber, formatShare, kilowattDecimals } from './numberFormat.js';
import { PALETTE } from './palette.js';

/** Labels between the first and the last candidate at which the curve is drawn. */
const CURVE_POINTS = 120;
/** Share, %, that a title is built on: the largest label with at most this. */
const RARE = 1;
const MARGIN = { l: 58, r: 22, t: 52, b: 50 };
const PLOT = 260;
const SHARE_TICKS = [0.001, 0.01, 0.1, 0.5, 1, 5, 10, 50, 100];

type Row = LabelJson['labels'][number];

/**
 * Label, kW, against the share of scenarios that do not carry it, %, on a logarithmic axis: the observed share as a
 * line with the candidate labels on it, the room up to its one-sided upper bound shaded, floor and worst found as
 * vertical marks. Where no scenario fails only the bound is drawn, since a logarithmic axis has no zero.
 *
 * @param label the decision, as in label.json
 * @param sample the sample it was made from
 */
export function labelRiskFigure(
  label: Pick<LabelJson, 'labels' | 'floor' | 'worstFound'>, sample: LabelSample,
): Figure {
  const { labels: rows, floor, worstFound } = label;
  const scenarios = sample.ratedPower.length;
  const labels = curveLabels(rows.map(({ labelKw }) => 1e3 * labelKw));
  const curve = labelRisks(sample, labels);
  const marks = [
    ...(floor === null ? [] : [{ name: 'floor', power: 1e3 * floor.floorKw, dash: 'solid', color: PALETTE.supply }]),
    {
      name: worstFound.kind === 'sample' ? 'lowest of the sample' : 'worst found', power: 1e3 * worstFound.ratedKw,
      dash: 'dash', color: PALETTE.limit,
    },
  ];
  const shown = [...labels.map((label) => label / 1e3), ...marks.map(({ power }) => power / 1e3)];
  const [low, high] = [Math.min(...shown), Math.max(...shown)];
  const room = 0.03 * (high - low) || 0.5;
  const decimals = kilowattDecimals(low, high);
  // Rounded down: a floor must not read higher than it is.
  const kw = (power: number) => formatNumber(Math.floor(power / 10 ** (3 - decimals)) / 10 ** decimals, decimals);
  const bottom = Math.min(0.1, Math.max(0.001, 50 / scenarios));
  const title = riskTitle(rows, scenarios, sample.confidence);
  return {
    title,
    description: describe(label, sample, marks.map(({ name, power }) => `${name} ${kw(power)} kW`)),
    data: [
      ...boundTraces(curve, bottom, sample.confidence),
      ...shareTraces(curve, rows, bottom, sample.confidence),
    ],
    layout: frame(title, PLOT + MARGIN.t + MARGIN.b, MARGIN, {
      xaxis: axis('label, kW', { range: [low - room, high + room] }),
      yaxis: axis('scenarios that do not carry it, %', {
        type: 'log', range: [Math.log10(bottom), Math.log10(100)],
        tickvals: SHARE_TICKS, ticktext: SHARE_TICKS.map(String),
      }),
      shapes: marks.map(({ power, dash, color }) => ({
        type: 'line', xref: 'x', yref: 'paper', x0: power / 1e3, x1: power / 1e3, y0: 0, y1: 1,
        line: { color, width: 1.5, dash },
      })),
      // One line of text each, so that marks close together stay readable.
      annotations: marks.map(({ name, power, color }, i) => ({
        x: power / 1e3, xref: 'x', y: 1, yref: 'paper', yanchor: 'bottom', yshift: 4 + 18 * i, showarrow: false,
        xanchor: power / 1e3 < (low + high) / 2 ? 'left' : 'right', text: `${name} ${kw(power)} kW`,
        font: { size: 12, color },
      })),
    }),
  };
}

/** The candidates and evenly spaced labels between them, W, ascending. */
function curveLabels(labels: readonly number[]): number[] {
  const [first, last] = [labels[0], labels[labels.length - 1]];
  const between = Array.from({ length: CURVE_POINTS - 1 }, (_, i) => first + ((last - first) * (i + 1)) / CURVE_POINTS);
  return [...new Set([...labels, ...between])].sort((a, b) => a - b);
}

/** The shaded room between the share (or the axis) and its bound. */
function boundTraces(curve: readonly LabelRisk[], bottom: number, confidence: number): Trace[] {
  const bounded = curve.flatMap(({ label, notCarryingShare, notCarryingUpper }) =>
    notCarryingUpper === null ? []
      : [{ kw: label / 1e3, share: 100 * notCarryingShare, upper: 100 * notCarryingUpper }]);
  if (bounded.length === 0) return [];
  const x = bounded.map(({ kw }) => kw);
  return [
    {
      type: 'scatter', mode: 'lines', name: 'share below the bound', x, hoverinfo: 'skip', line: { width: 0 },
      y: bounded.map(({ share }) => Math.max(bottom, share)),
    },
    {
      type: 'scatter', mode: 'lines', name: `upper bound, ${formatLevel(100 * confidence)} %`, x,
      y: bounded.map(({ upper }) => Math.max(bottom, upper)), fill: 'tonexty', fillcolor: PALETTE.powerShelf.fill,
      line: { color: PALETTE.bars, width: 1.5, dash: 'dot' }, hoverinfo: 'skip',
    },
  ];
}

/** The observed share and the candidate labels on it; labels that every scenario carries lie on the axis, hollow. */
function shareTraces(
  curve: readonly LabelRisk[], rows: readonly Row[], bottom: number, confidence: number,
): Trace[] {
  const failing = curve.filter(({ notCarrying }) => notCarrying > 0);
  return [
    {
      type: 'scatter', mode: 'lines', name: 'share', x: failing.map(({ label }) => label / 1e3),
      y: failing.map(({ notCarryingShare }) => 100 * notCarryingShare), line: { color: PALETTE.mark, width: 2 },
      hoverinfo: 'skip',
    },
    {
      type: 'scatter', mode: 'markers', name: 'candidate labels', x: rows.map(({ labelKw }) => labelKw),
      y: rows.map(({ notCarryingPercent }) => Math.max(bottom, notCarryingPercent)), cliponaxis: false,
      marker: {
        size: 8, color: PALETTE.mark,
        symbol: rows.map(({ scenariosNotCarrying }) => (scenariosNotCarrying > 0 ? 'circle' : 'circle-open')),
      },
      hovertext: rows.map((row) => `${kilowatts(row)}: ${riskWords(row, confidence)}; ${row.verdict}`), hoverinfo: 'text',
    },
  ];
}

function kilowatts({ labelKw }: Row): string {
  return `${formatLevel(labelKw)} kW`;
}

function riskWords({ notCarryingPercent, notCarryingUpperPercent: upper }: Row, confidence: number): string {
  const bound = upper === null ? 'no bound'
    : `at most ${formatShare(upper)} % at ${formatLevel(100 * confidence)} % confidence`;
  return `${formatShare(notCarryingPercent)} % of scenarios do not carry it, ${bound}`;
}

/** Built on the largest label that all but a few scenarios carry, or else on the lowest label. */
function riskTitle(rows: readonly Row[], scenarios: number, confidence: number): string {
  const last = rows[rows.length - 1];
  if (last.scenariosNotCarrying === 0) {
    const bound = last.notCarryingUpperPercent === null ? ''
      : `; at ${formatLevel(100 * confidence)} % confidence `
        + `at most ${formatShare(last.notCarryingUpperPercent)} % of such scenarios do not`;
    const all = scenarios === 1 ? 'The one scenario carries' : `All ${countOf(scenarios, 'scenario')} carry`;
    return `${all} a label of ${kilowatts(last)}${bound}`;
  }
  const rare = rows.filter(({ notCarryingPercent }) => notCarryingPercent <= RARE);
  const lead = rare.length > 0 ? rare[rare.length - 1] : rows[0];
  return `At a label of ${kilowatts(lead)} ${riskWords(lead, confidence)}`;
}

function describe(
  { labels: rows, floor, worstFound }: Pick<LabelJson, 'labels' | 'floor' | 'worstFound'>, sample: LabelSample,
  marks: readonly string[],
): string {
  const words = rows.map((row) => {
    const limit = row.mostOftenBinding === null ? '' : `, mostly by ${LIMIT_WORDS[row.mostOftenBinding.limit]}`;
    return `${kilowatts(row)} ${formatShare(row.notCarryingPercent)} %${limit} (${row.verdict})`;
  });
  const bound = rows.some(({ notCarryingUpperPercent }) => notCarryingUpperPercent !== null)
    ? `The shaded room reaches up to the one-sided upper bound at ${formatLevel(100 * sample.confidence)} % `
      + 'confidence, which holds for each label on its own.'
    : `There is no upper bound: ${rows[0].boundNote ?? 'unknown'}.`;
  return [
    `Share of ${countOf(sample.ratedPower.length, 'scenario')} that do not carry a label, by label: ${words.join('; ')}.`,
    bound,
    `Vertical marks: ${marks.join(', ')}.`,
    floor === null ? 'No floor is proven yet.' : 'Every allowed placement carries a label up to the floor.',
    worstFound.kind === 'searched' ? 'A worse placement than the worst found may exist.' : '',
    'A label that few scenarios fail is a low number: most scenarios carry more.',
  ].filter((sentence) => sentence !== '').join(' ');
}
