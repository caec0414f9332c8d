import { histogramBins } from '../statistics/index.js';
import type { PercentileRow, Summary } from '../study/index.js';
import type { Figure, Trace } from './figure.js';
import { axis, frame } from './frame.js';
import { countOf, formatCount, formatLevel, formatNumber, kilowattDecimals } from './numberFormat.js';
import { PALETTE } from './palette.js';
import { intervalWords, leadingPercentile, percentileWords, spreadChoice } from './percentileWords.js';
import { sentenceCase } from './bindingWords.js';

const MOST_MARKS = 8;
const ROW = 26;
const HISTOGRAM = 220;
const GAP = 26;
const MARGIN = { l: 76, r: 58, t: 10, b: 46 };

/**
 * Distribution of rated power: a histogram, and above it on the same axis one row for the lowest found and for each
 * percentile with its interval. The rows keep marks readable where the percentiles lie close together, and show a tail
 * too thin to be seen in the bars.
 *
 * @param sortedRatedKw rated powers, kW, ascending, [scenario]
 * @throws StatisticsInputError for an empty sample or a value that is not finite
 */
export function distributionFigure(
  summary: Pick<Summary, 'percentiles' | 'study' | 'lowestKw' | 'highestKw'>, sortedRatedKw: ArrayLike<number>,
): Figure {
  const { lowestKw, highestKw, study } = summary;
  const decimals = kilowattDecimals(lowestKw, highestKw);
  const kw = (value: number) => formatNumber(value, decimals);
  const marks = spreadChoice(summary.percentiles, MOST_MARKS);
  const rows = marks.length + 1;
  const height = HISTOGRAM + GAP + rows * ROW + MARGIN.t + MARGIN.b;
  const plot = height - MARGIN.t - MARGIN.b;
  const title = distributionTitle(summary, decimals);
  const description = [
    `Histogram of rated power over ${countOf(sortedRatedKw.length, 'scenario')},`,
    `from ${kw(lowestKw)} to ${kw(highestKw)} kW.`,
    ...(marks.length === 0 ? [] : ['Shares that fall below: '
      + `${marks.map(({ percent, ratedKw }) => `${formatLevel(percent)} % below ${kw(ratedKw)} kW`).join(', ')}.`]),
    `Dots mark them, whiskers their intervals at ${formatLevel(study.confidencePercent)} % confidence;`,
    'the cross is the lowest of this sample, not a proven floor.',
  ].join(' ');
  const { bars, width } = histogramTrace(sortedRatedKw, kw);
  return {
    title,
    description,
    data: [
      bars,
      ...marks.map((row, i) => markTrace(row, i + 1, decimals, study.confidencePercent)),
      lowestTrace(lowestKw, kw),
    ],
    layout: frame(title, height, MARGIN, {
      bargap: 0,
      xaxis: axis('rated power, kW', { anchor: 'y', ...(lowestKw === highestKw ? { nticks: 4 } : {}) }),
      yaxis: axis(`scenarios per ${binWords(width)}`, { domain: [0, HISTOGRAM / plot], rangemode: 'tozero' }),
      yaxis2: axis('', {
        domain: [(HISTOGRAM + GAP) / plot, 1], range: [-0.6, rows - 0.4], anchor: 'x', ticks: '',
        tickvals: Array.from({ length: rows }, (_, i) => i),
        ticktext: ['lowest found', ...marks.map(({ percent }) => `${formatLevel(percent)} % below`)],
      }),
      shapes: marks.map((row, i) => ({
        type: 'line', xref: 'x', yref: 'paper', x0: row.ratedKw, x1: row.ratedKw, y0: 0,
        y1: (HISTOGRAM + GAP + (i + 1.6) * ROW) / plot,
        line: { color: PALETTE.quiet, width: 1, dash: 'dot' }, layer: 'below',
      })),
      annotations: [
        markLabel(lowestKw, 0, kw(lowestKw)),
        ...marks.map((row, i) => markLabel(row.upperKw ?? row.ratedKw, i + 1, kw(row.ratedKw))),
      ],
    }),
  };
}

function distributionTitle(
  { percentiles, lowestKw, highestKw }: Pick<Summary, 'percentiles' | 'lowestKw' | 'highestKw'>, decimals: number,
): string {
  const [low, high] = [formatNumber(lowestKw, decimals), formatNumber(highestKw, decimals)];
  if (highestKw === 0) return 'No scenario carries any load: every rated power is 0 kW';
  if (lowestKw === highestKw) return `Every scenario is rated at ${low} kW`;
  if (highestKw - lowestKw < 0.01 * highestKw) {
    return `All scenarios lie between ${low} and ${high} kW, within 1 % of each other`;
  }
  const lead = leadingPercentile(percentiles);
  return lead === null ? `Rated power runs from ${low} to ${high} kW` : sentenceCase(percentileWords(lead, decimals));
}

function histogramTrace(sorted: ArrayLike<number>, kw: (value: number) => string): { bars: Trace; width: number } {
  const { edges, counts } = histogramBins(sorted, { maxBins: 80 });
  const width = edges[1] - edges[0];
  return {
    width,
    bars: {
      type: 'bar',
      name: 'scenarios',
      x: counts.map((_, i) => (edges[i] + edges[i + 1]) / 2),
      y: counts,
      width: counts.map((_, i) => edges[i + 1] - edges[i]),
      marker: { color: PALETTE.bars, line: { color: PALETTE.paper, width: 0.5 } },
      hovertext: counts.map((count, i) => `${kw(edges[i])} to ${kw(edges[i + 1])} kW: ${countOf(count, 'scenario')}`),
      hoverinfo: 'text',
    },
  };
}

function markTrace(row: PercentileRow, at: number, decimals: number, confidence: number): Trace {
  const bounded = row.lowerKw !== null && row.upperKw !== null;
  const name = `${formatLevel(row.percent)} % below`;
  return {
    type: 'scatter', mode: 'markers', name, x: [row.ratedKw], y: [at], yaxis: 'y2', cliponaxis: false,
    marker: { symbol: bounded ? 'circle' : 'circle-open', size: 9, color: PALETTE.mark },
    hovertext: [`${percentileWords(row, decimals)}; ${intervalWords(row, confidence, decimals)}`], hoverinfo: 'text',
    ...(bounded ? {
      error_x: {
        type: 'data', symmetric: false, array: [(row.upperKw ?? 0) - row.ratedKw],
        arrayminus: [row.ratedKw - (row.lowerKw ?? 0)], color: PALETTE.mark, thickness: 2, width: 5,
      },
    } : {}),
  };
}

function lowestTrace(lowest: number, kw: (value: number) => string): Trace {
  return {
    type: 'scatter', mode: 'markers', name: 'lowest found', x: [lowest], y: [0], yaxis: 'y2', cliponaxis: false,
    marker: { symbol: 'x-thin', size: 9, color: PALETTE.limit, line: { color: PALETTE.limit, width: 2 } },
    hovertext: [`${kw(lowest)} kW: lowest of this sample, not a proven floor`], hoverinfo: 'text',
  };
}

/** The number beside a mark, right of its whisker. */
function markLabel(x: number, row: number, text: string): Readonly<Record<string, unknown>> {
  return {
    x, y: row, xref: 'x', yref: 'y2', text, showarrow: false, xanchor: 'left', xshift: 8,
    font: { size: 12, color: PALETTE.ink }, bgcolor: PALETTE.paper, borderpad: 1,
  };
}

function binWords(width: number): string {
  const unit = width < 0.01 ? { size: 1000, name: 'W' } : { size: 1, name: 'kW' };
  const value = width * unit.size;
  return `${value >= 100 ? formatCount(value) : Number(value.toPrecision(2))} ${unit.name}`;
}
