import type { CopperDocument, CopperRow } from '../study/index.js';
import { escapeLabel } from './escapeLabel.js';
import type { Figure, Trace } from './figure.js';
import { axis, frame } from './frame.js';
import { lineKey } from './lineKey.js';
import { countOf, formatLevel, formatNumber, kilowattDecimals } from './numberFormat.js';
import { PALETTE } from './palette.js';

const PLOT = 340;
const MARGIN = { l: 58, r: 22, t: 46, b: 50 };
/** Letters written beside marks on the front; with more they would run into each other. */
const MARKED = 12;

type Copper = Pick<CopperDocument, 'designs' | 'front' | 'percentilePercent' | 'currency' | 'study'>;

/**
 * Designs of a bar by what they cost (kg of conductor, or money) and what they are worth (percentile of rated power, or
 * floor, kW): those that no other one beats filled and joined by steps, the others hollow, the base as a square. Whiskers
 * are the intervals of the percentiles.
 *
 * @throws RangeError where no design can be drawn
 */
export function paretoFigure(copper: Copper): Figure {
  const { front, percentilePercent, currency } = copper;
  const cost = ({ price, copperKg }: CopperRow) => (front.cost === 'price' ? price : copperKg);
  const worth = ({ floorKw, ratedKw }: CopperRow) => (front.worth === 'floor' ? floorKw : ratedKw);
  const points = copper.designs.flatMap((row) => {
    const [x, y] = [cost(row), worth(row)];
    return row.failed || x === null || y === null ? [] : [{ row, x, y }];
  }).sort((a, b) => a.x - b.x || a.y - b.y);
  if (points.length === 0) throw new RangeError('designs: one that can be drawn is needed');
  const [low, high] = [Math.min(...points.map(({ y }) => y)), Math.max(...points.map(({ y }) => y))];
  const decimals = kilowattDecimals(low, high);
  const unit = front.cost === 'price' ? (currency ?? '') : 'kg';
  const worthWords = front.worth === 'floor' ? 'proven floor' : `${formatLevel(percentilePercent)} % percentile of rated power`;
  const pointWords = ({ row, x, y }: Point) => `${escapeLabel(row.name)}: ${formatNumber(x, 1)} ${escapeLabel(unit)}, `
    + `${formatNumber(y, decimals)} kW${row.onFront ? ', on the front' : ''}`;
  const best = points.filter(({ row }) => row.onFront);
  const title = titleOf(points, unit);
  const key = [
    { name: 'not beaten', symbol: '●' }, { name: 'beaten', symbol: '○' }, { name: 'base', symbol: '■' },
  ];
  return {
    title,
    description: `Not beaten, from the cheapest on: ${best.map(({ row, x, y }) => `${row.mark ?? ''} “${row.name}” `.trimStart()
      + `${formatNumber(x, 1)} ${unit}, ${formatNumber(y, decimals)} kW`).join('; ')}. No other design costs as little and `
      + `carries as much, by the estimates. ${countOf(points.length - best.length, 'design')} beaten. ${worthNote(front.worth)}`,
    data: traces(points, best, front.worth, pointWords),
    layout: frame(title, PLOT + MARGIN.t + MARGIN.b, MARGIN, {
      xaxis: axis(
        front.cost === 'price' ? `price of the conductors, ${escapeLabel(unit)}` : 'mass of the conductors, kg', { nticks: 6 }),
      yaxis: axis(`${worthWords}, kW`, { nticks: 7 }),
      annotations: [...letters(best), ...(lineKey(key, 1).annotations ?? [])],
      shapes: lineKey(key, 1).shapes,
    }),
  };
}

function worthNote(worth: Copper['front']['worth']): string {
  return worth === 'floor' ? 'Floors are proven by the model for every allowed placement.'
    : 'Whiskers belong to each design alone; differences on common scenarios are known better, and stand in the table.';
}

interface Point {
  readonly row: CopperRow;
  readonly x: number;
  readonly y: number;
}

function traces(
  points: readonly Point[], best: readonly Point[], worth: Copper['front']['worth'], words: (point: Point) => string,
): Trace[] {
  const line: Trace = {
    type: 'scatter', mode: 'lines', name: 'front', x: best.map(({ x }) => x), y: best.map(({ y }) => y), hoverinfo: 'skip',
    line: { color: PALETTE.supply, width: 2, shape: 'hv' },
  };
  const isBase = ({ row }: Point) => row.isBase;
  return [
    ...(worth === 'floor' ? [] : [whiskers(points)]),
    line,
    marks(points.filter((one) => !one.row.onFront && !isBase(one)), 'beaten', 'circle-open', PALETTE.return, words),
    marks(best.filter((one) => !isBase(one)), 'not beaten', 'circle', PALETTE.supply, words),
    marks(points.filter(isBase), 'base', 'square', PALETTE.ink, words),
  ].filter(({ x }) => x.length > 0);
}

function marks(
  points: readonly Point[], name: string, symbol: string, color: string, words: (point: Point) => string,
): Trace {
  return {
    type: 'scatter', mode: 'markers', name, x: points.map(({ x }) => x), y: points.map(({ y }) => y), cliponaxis: false,
    marker: { symbol, size: 10, color, line: { color, width: 2 } }, hovertext: points.map(words), hoverinfo: 'text',
  };
}

function whiskers(points: readonly Point[]): Trace {
  const shown = points.filter(({ row }) => row.lowerKw !== null && row.upperKw !== null);
  return {
    type: 'scatter', mode: 'markers', name: 'interval', x: shown.map(({ x }) => x), y: shown.map(({ y }) => y), hoverinfo: 'skip',
    marker: { size: 1, color: PALETTE.bars },
    error_y: {
      type: 'data', symmetric: false, array: shown.map(({ row, y }) => (row.upperKw ?? y) - y),
      arrayminus: shown.map(({ row, y }) => y - (row.lowerKw ?? y)), color: PALETTE.bars, thickness: 1.2, width: 3,
    },
  };
}

/** The letters of the table: names would cover each other. */
function letters(best: readonly Point[]): Readonly<Record<string, unknown>>[] {
  if (best.length > MARKED) return [];
  return best.map(({ row, x, y }) => ({
    x, y, xref: 'x', yref: 'y', showarrow: false, text: row.isBase ? 'base' : (row.mark ?? ''),
    xanchor: 'right', yanchor: 'bottom', xshift: -5, yshift: 3, font: { size: 12, color: PALETTE.ink },
  }));
}

function titleOf(points: readonly Point[], unit: string): string {
  const base = points.find(({ row }) => row.isBase);
  const best = points.filter(({ row }) => row.onFront);
  if (base === undefined) return `${best.length} of ${points.length} designs are not beaten`;
  const cheaper = best.filter(({ x, y, row }) => !row.isBase && x <= base.x && y >= base.y);
  if (cheaper.length > 0) {
    const [one] = cheaper;
    return `“${one.row.name}” carries ${formatNumber(one.y, 1)} kW for ${formatNumber(one.x, 1)} ${unit}, where the base `
      + `carries ${formatNumber(base.y, 1)} kW for ${formatNumber(base.x, 1)} ${unit}`;
  }
  const next = best.find(({ y }) => y > base.y);
  return next === undefined ? 'No design carries more than the base'
    : `“${next.row.name}” is the next step up: ${formatNumber(next.y - base.y, 1)} kW more for `
      + `${formatNumber(next.x - base.x, 1)} ${unit} more`;
}
