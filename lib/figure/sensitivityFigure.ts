import type { SensitivityDocument } from '../study/index.js';
import { sentenceCase } from './bindingWords.js';
import type { Figure, Trace } from './figure.js';
import { axis, frame } from './frame.js';
import { lineKey } from './lineKey.js';
import { formatCount, formatLevel, formatNumber } from './numberFormat.js';
import { PALETTE } from './palette.js';
import { rowLabel } from './rowLabel.js';

/** px of a row: its name and two bars. */
const ROW = 62;
const MARGIN = { l: 10, r: 22, t: 44, b: 54 };
/** Rows high: a bar, and from the middle of a row to the middle of each of its bars. */
const BAR = 0.2;
const APART = 0.12;

/** What is explained: the rated power, or whether it is below the percentile. */
export type SensitivityOutput = 'power' | 'below';

type Document = Pick<
  SensitivityDocument,
  'factors' | 'notes' | 'percentile' | 'samples' | 'confidencePercent' | 'standardDeviationKw'
>;
type Shares = NonNullable<Document['factors'][number]['power']>;
type Row = { readonly words: string } & Shares;

/**
 * Each factor's part of the variance, two bars a row with their intervals: alone (first order, solid), and together
 * with others (total, pale). Sorted by the total, the largest on top.
 *
 * @throws RangeError where the document has no indices of that output; its notes say why
 */
export function sensitivityFigure(document: Document, output: SensitivityOutput): Figure {
  const rows = document.factors
    .flatMap(({ words, ...factor }): Row[] => (factor[output] === null ? [] : [{ words, ...factor[output] }]))
    .sort((one, other) => one.totalPercent - other.totalPercent);
  if (rows.length === 0)
    throw new RangeError(`sensitivity: no indices to draw; ${document.notes[output] ?? 'there is no factor'}`);
  const values = rows.flatMap((row) => [
    row.firstLowerPercent,
    row.firstPercent,
    row.totalPercent,
    row.totalUpperPercent,
    row.firstUpperPercent,
  ]);
  const from = Math.min(0, ...values);
  const to = Math.max(100, ...values);
  const title = titleOf(document, rows, output);
  const key = [
    { name: 'alone (first order)', line: { color: PALETTE.mark, width: 8 } },
    { name: 'with others (total)', line: { color: PALETTE.bars, width: 8 } },
  ];
  return {
    title,
    description: descriptionOf(document, rows, output),
    data: [bars(rows, 'first', APART), bars(rows, 'total', -APART)],
    layout: frame(title, rows.length * ROW + MARGIN.t + MARGIN.b, MARGIN, {
      xaxis: axis(
        output === 'power' ? 'part of the variance of rated power, %' : 'part of the variance of falling below, %',
        {
          range: [from - (from < 0 ? 2 : 0), to + 3],
          nticks: 6,
          zeroline: true,
          zerolinecolor: PALETTE.quiet,
        },
      ),
      yaxis: { visible: false, range: [-0.5, rows.length - 0.35], fixedrange: true },
      bargap: 0,
      barmode: 'overlay',
      annotations: [
        ...rows.map((row, at) => ({
          ...rowLabel(
            at,
            `${sentenceCase(row.words)}  <b>${share(row.firstPercent)} %</b> alone, ` +
              `${share(row.totalPercent)} % in all`,
          ),
          yshift: 14,
        })),
        ...(lineKey(key, 2, 170).annotations ?? []),
      ],
      shapes: lineKey(key, 2, 170).shapes,
    }),
  };
}

function bars(rows: readonly Row[], order: 'first' | 'total', up: number): Trace {
  const of = (row: Row) =>
    order === 'first'
      ? { value: row.firstPercent, lower: row.firstLowerPercent, upper: row.firstUpperPercent }
      : { value: row.totalPercent, lower: row.totalLowerPercent, upper: row.totalUpperPercent };
  return {
    type: 'bar',
    orientation: 'h',
    name: order === 'first' ? 'first order' : 'total',
    x: rows.map((row) => of(row).value),
    y: rows.map((_, at) => at + up - 0.08),
    width: rows.map(() => BAR),
    marker: { color: order === 'first' ? PALETTE.mark : PALETTE.bars },
    error_x: {
      type: 'data',
      symmetric: false,
      color: order === 'first' ? PALETTE.return : PALETTE.mark,
      thickness: 2,
      width: 4,
      // A percentile interval need not hold its estimate; a whisker starts there.
      array: rows.map((row) => Math.max(0, of(row).upper - of(row).value)),
      arrayminus: rows.map((row) => Math.max(0, of(row).value - of(row).lower)),
    },
    hovertext: rows.map(
      (row) =>
        `${row.words}, ${order === 'first' ? 'alone' : 'in all'}: ${share(of(row).value)} % ` +
        `(${share(of(row).lower)} to ${share(of(row).upper)} %)`,
    ),
    hoverinfo: 'text',
  };
}

function titleOf({ percentile }: Document, rows: readonly Row[], output: SensitivityOutput): string {
  const lead = rows[rows.length - 1];
  if (output === 'power')
    return `${sentenceCase(lead.words)} has a part in ${share(lead.totalPercent)} % of the variance of rated power`;
  const p = formatLevel(percentile.percent);
  return `${sentenceCase(lead.words)} does most to bring the rated power below its ${p} % percentile`;
}

function descriptionOf(
  { samples, confidencePercent, percentile, standardDeviationKw }: Document,
  rows: readonly Row[],
  output: SensitivityOutput,
) {
  const parts = [...rows]
    .reverse()
    .map(
      (row) =>
        `${row.words} ${share(row.firstPercent)} % alone ` +
      `(${share(row.firstLowerPercent)} to ${share(row.firstUpperPercent)} %), ` +
        `${share(row.totalPercent)} % in all (${share(row.totalLowerPercent)} to ${share(row.totalUpperPercent)} %)`,
    );
  const what =
    output === 'power'
      ? `of rated power (standard deviation ${formatNumber(standardDeviationKw, 1)} kW)`
      : `of whether the rated power is below its ${formatLevel(percentile.percent)} % percentile`;
  return (
    `Parts of the variance ${what}, from ${formatCount(samples)} rows, with intervals at ` +
    `${formatLevel(confidencePercent)} % confidence each: ${parts.join('; ')}. In all: with what it does only together ` +
    'with others, so that these may add up to more than 100 %.'
  );
}

/** One decimal for all: a part may be estimated a little below 0, and above 100. */
function share(percent: number): string {
  return formatNumber(percent, 1);
}
