import type { ClassRow, Summary } from '../study/index.js';
import { escapeLabel } from './escapeLabel.js';
import type { Figure } from './figure.js';
import { axis, frame } from './frame.js';
import { countOf, formatNumber, kilowattDecimals } from './numberFormat.js';
import { PALETTE } from './palette.js';
import { rowLabel } from './rowLabel.js';

const ROW = 48;
/** Classes with fewer scenarios are shown, but no finding is built on them. */
const FEW_SCENARIOS = 30;

/** Rated power by class of placement: lowest to highest found as a line, the median as a dot. */
export function classFigure(summary: Pick<Summary, 'classes' | 'lowestKw' | 'highestKw'>): Figure {
  const { classes, lowestKw, highestKw } = summary;
  const decimals = kilowattDecimals(lowestKw, highestKw);
  const kw = (value: number) => formatNumber(value, decimals);
  // Ascending medians: the plotting library counts rows from the bottom, so the highest comes on top.
  const rows = classes;
  const title = classTitle(classes, kw);
  const words = rows.map(({ placementClass, count, lowestKw: low, medianKw, highestKw: high }) =>
    `${placementClass}: median ${kw(medianKw)}, ${kw(low)} to ${kw(high)} kW (${countOf(count, 'scenario')})`);
  return {
    title,
    description: `Rated power of ${countOf(rows.length, 'class', 'classes')} of placement: lines run from the lowest `
      + 'to the highest found, so classes with more scenarios reach further out; diamonds mark the medians, hollow ones '
      + `those of classes with fewer than ${FEW_SCENARIOS} scenarios.`,
    data: [
      ...rows.map(({ lowestKw: low, highestKw: high }, i) => ({
        type: 'scatter' as const, mode: 'lines+markers', name: 'range', x: [low, high], y: [i, i],
        line: { color: PALETTE.bars, width: 5 }, hoverinfo: 'skip',
        marker: { symbol: 'line-ns', size: 12, color: PALETTE.bars, line: { width: 2, color: PALETTE.bars } },
      })),
      {
        type: 'scatter', mode: 'markers', name: 'median',
        x: rows.map(({ medianKw }) => medianKw), y: rows.map((_, i) => i),
        marker: {
          size: 11, color: PALETTE.mark, line: { color: PALETTE.mark, width: 1 },
          symbol: rows.map(({ count }) => (count < FEW_SCENARIOS ? 'diamond-open' : 'diamond')),
        },
        hovertext: words.map(escapeLabel), hoverinfo: 'text',
      },
    ],
    layout: frame(title, rows.length * ROW + 64, { l: 10, r: 22, t: 10, b: 54 }, {
      xaxis: axis('rated power, kW'),
      yaxis: { visible: false, range: [-0.5, rows.length - 0.3], fixedrange: true },
      annotations: rows.map(({ placementClass, medianKw }, i) =>
        rowLabel(i, `${escapeLabel(placementClass)}  <b>${kw(medianKw)}</b>`)),
    }),
  };
}

function classTitle(classes: readonly ClassRow[], kw: (value: number) => string): string {
  const told = classes.filter(({ count }) => count >= FEW_SCENARIOS);
  if (classes.length === 1) return `One class of placement, median ${kw(classes[0].medianKw)} kW`;
  if (told.length < 2) return 'Too few scenarios in all but one class to compare classes of placement';
  const words = ({ medianKw, placementClass }: ClassRow) => `${kw(medianKw)} kW with ${placementClass}`;
  return `Median ${words(told[0])}, ${words(told[told.length - 1])}`;
}
