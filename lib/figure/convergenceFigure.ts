import type { LabelSample } from '../label/index.js';
import type { QuantileDefinition } from '../statistics/index.js';
import type { Summary } from '../study/index.js';
import type { Figure, Trace } from './figure.js';
import { axis, frame } from './frame.js';
import { type KeyEntry, lineKey } from './lineKey.js';
import { countOf, formatCount, formatLevel, formatNumber, kilowattDecimals } from './numberFormat.js';
import { PALETTE } from './palette.js';
import { leadingPercentile } from './percentileWords.js';
import { intervalConfidence, replicateSize, type RunningPoint, runningPercentile } from './runningPercentile.js';

/** A percentile has settled where it stays this near to its final value, as a part of it. */
const SETTLED = 0.01;
const MARGIN = { l: 62, r: 22, t: 44, b: 50 };
const PLOT = 240;
const FINAL_LINE = { color: PALETTE.quiet, width: 1.5, dash: '8px,4px' };
const BAND_EDGE = { color: PALETTE.bars, width: 1.5, dash: 'dot' };

/**
 * One percentile of rated power, kW, found from the first scenarios, from more of them, and so on, with its interval,
 * on a logarithmic axis of scenarios. The last point is that of the summary.
 *
 * Each interval holds at its own sample size, not all of them at once. Of a design of sampling the percentile is shown
 * after whole replicates only.
 *
 * @param sample the scenarios of the summary's study in the order drawn
 * @param percent of the study's percentiles, %; left out: the one that a report puts first
 * @throws RangeError where the study has no such percentile or another number of scenarios, and for a design of
 * less than one replicate
 */
export function convergenceFigure(
  { percentiles, study }: Pick<Summary, 'percentiles' | 'study'>, sample: LabelSample, percent?: number,
): Figure {
  const row = percent === undefined ? leadingPercentile(percentiles)
    : percentiles.find((one) => one.percent === percent) ?? null;
  if (row === null) {
    const has = percentiles.map((one) => formatLevel(one.percent)).join(', ') || 'none';
    throw new RangeError(`percent: found ${percent ?? 'nothing to choose from'}; percentiles of the study, %: ${has}`);
  }
  if (sample.ratedPower.length !== study.scenariosRun) {
    throw new RangeError(`sample: found ${sample.ratedPower.length} scenarios; the study ran ${study.scenariosRun}`);
  }
  const points = runningPercentile(row.percent / 100, study.percentileDefinition as QuantileDefinition, sample);
  const [first, last] = [points[0], points[points.length - 1]];
  const bounded = points.flatMap(({ scenarios, interval }) => (interval === null ? [] : [{ scenarios, ...interval }]));
  const values = [...points.map((point) => point.ratedKw), ...bounded.flatMap(({ lower, upper }) => [lower, upper])];
  const decimals = kilowattDecimals(Math.min(...values), Math.max(...values));
  const kw = (value: number) => formatNumber(value, decimals);
  const name = `${formatLevel(row.percent)} % percentile`;
  const title = titleOf(name, points, kw);
  const confidence = `${formatLevel(100 * intervalConfidence(sample))} %`;
  return {
    title,
    description: [
      `The ${name} of rated power (${formatLevel(row.percent)} % of scenarios fall below it), found from the first `
        + `${formatCount(first.scenarios)} scenarios, from more, up to ${formatCount(last.scenarios)}: finally `
        + `${kw(last.ratedKw)} kW.`,
      last.interval === null ? '' : `Its interval there: ${kw(last.interval.lower)} to ${kw(last.interval.upper)} kW.`,
      bandWords(bounded.length, points.length, confidence, replicateSize(sample)),
      'Nearness to its final value says that the sample hardly changes it any more, not how far the true value lies.',
    ].filter((sentence) => sentence !== '').join(' '),
    data: [
      ...band(bounded),
      {
        type: 'scatter', mode: 'lines', name: 'final value', x: [first.scenarios, last.scenarios],
        y: [last.ratedKw, last.ratedKw], line: FINAL_LINE, hoverinfo: 'skip',
      },
      {
        type: 'scatter', mode: 'lines+markers', name, x: points.map(({ scenarios }) => scenarios),
        y: points.map((point) => point.ratedKw), line: { color: PALETTE.mark, width: 2 },
        marker: {
          size: 6, color: PALETTE.mark,
          symbol: points.map(({ interval }) => (interval === null ? 'circle-open' : 'circle')),
        },
        hovertext: points.map(({ scenarios, ratedKw: found, interval }) =>
          `${countOf(scenarios, 'scenario')}: ${kw(found)} kW, ${interval === null ? 'no interval'
            : `${kw(interval.lower)} to ${kw(interval.upper)} kW`}`),
        hoverinfo: 'text',
      },
    ],
    layout: frame(title, PLOT + MARGIN.t + MARGIN.b, MARGIN, {
      xaxis: axis('scenarios, in the order drawn', { type: 'log', ...decades(first.scenarios, last.scenarios) }),
      yaxis: axis(`${name}, kW`, { nticks: 6 }),
      ...lineKey(keyOf(bounded.length, points.length, confidence), 2, 126),
    }),
  };
}

function keyOf(bounded: number, all: number, confidence: string): KeyEntry[] {
  return [
    { name: 'percentile', symbol: bounded > 0 ? '●' : '○' },
    ...(bounded > 0 ? [{ name: `interval, ${confidence}`, line: BAND_EDGE }] : []),
    { name: 'final value', line: FINAL_LINE },
    ...(bounded > 0 && bounded < all ? [{ name: 'without interval', symbol: '○' }] : []),
  ];
}

function bandWords(bounded: number, all: number, confidence: string, replicate: number | null): string {
  const [more, shown, kind] = replicate === null ? ['scenarios', '', 'distribution-free interval'] : [
    'replicates', `The scenarios are replicates of a design: shown after whole replicates of ${formatCount(replicate)}. `,
    'interval, from the shares of scenarios below it in the replicates,',
  ];
  if (bounded === 0) return `${shown}No interval is drawn: it needs more ${more}.`;
  return `${shown}The band is its ${kind} at ${confidence} confidence, for each number of scenarios by itself, not for all `
    + `of them together.${bounded < all ? ` Hollow points: too few ${more} for one.` : ''}`;
}

function band(
  points: readonly { readonly scenarios: number; readonly lower: number; readonly upper: number }[],
): Trace[] {
  const x = points.map(({ scenarios }) => scenarios);
  return points.length === 0 ? [] : [
    {
      type: 'scatter', mode: 'lines', name: 'from', x, y: points.map(({ lower }) => lower), line: BAND_EDGE,
      hoverinfo: 'skip',
    },
    {
      type: 'scatter', mode: 'lines', name: 'to', x, y: points.map(({ upper }) => upper), line: BAND_EDGE,
      hoverinfo: 'skip', fill: 'tonexty', fillcolor: PALETTE.powerShelf.fill,
    },
  ];
}

/** Built on the sizes drawn: between two of them the percentile may have been elsewhere. */
function titleOf(name: string, points: readonly RunningPoint[], kw: (value: number) => string): string {
  const last = points[points.length - 1];
  const final = `its final ${kw(last.ratedKw)} kW`;
  if (points.every(({ ratedKw }) => ratedKw === last.ratedKw)) {
    return `The ${name} is ${kw(last.ratedKw)} kW from ${countOf(points[0].scenarios, 'scenario')} on`;
  }
  const near = Number((SETTLED * last.ratedKw).toPrecision(1));
  const within = `within ±${formatLevel(near)} kW of ${final}`;
  let from = points.length - 1;
  while (from > 0 && Math.abs(points[from - 1].ratedKw - last.ratedKw) <= near) from--;
  return from === points.length - 1
    ? `The ${name} comes ${within} only at the last of ${countOf(last.scenarios, 'scenario')}`
    : `From ${countOf(points[from].scenarios, 'scenario')} on the ${name} stays ${within}`;
}

/** Whole decades as ticks, written out; halves of them where there are few. */
function decades(first: number, last: number): Readonly<Record<string, unknown>> {
  const parts = last / first < 100 ? [1, 2, 5] : [1];
  const ticks: number[] = [];
  for (let decade = 10 ** Math.floor(Math.log10(first)); decade <= last; decade *= 10) {
    ticks.push(...parts.map((part) => part * decade).filter((tick) => tick >= first && tick <= last));
  }
  const edge = 0.03 * Math.log10(Math.max(last / first, 1.1));
  return {
    tickvals: ticks, ticktext: ticks.map(formatCount), range: [Math.log10(first) - edge, Math.log10(last) + edge],
  };
}
