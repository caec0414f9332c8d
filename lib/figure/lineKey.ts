import type { Layout } from './figure.js';
import { PALETTE } from './palette.js';

/** One entry of a key: how it is drawn, and its name. */
export interface KeyEntry {
  readonly name: string;
  /** Of a line: as in a trace. Of a mark: `symbol` and its colours. */
  readonly line?: unknown;
  readonly symbol?: string;
}

/** px: width of a column, of a line, from the plot up to the lowest row and from row to row. */
const COLUMN = 104;
const LINE = 24;
const LOWEST = 8;
const ROW = 14;

/**
 * What each line of a panel is, in rows above it: the plotting library's own legend would move the plot. Marks are
 * written with a letter-like symbol of their own.
 *
 * @param columns entries in a row
 * @param width px of a column
 */
export function lineKey(
  entries: readonly KeyEntry[], columns = 2, width = COLUMN,
): Pick<Layout, 'shapes' | 'annotations'> {
  const rows = Math.ceil(entries.length / columns);
  const place = (i: number) => ({ x: (i % columns) * width, y: LOWEST + ROW * (rows - 1 - Math.floor(i / columns)) });
  return {
    shapes: entries.flatMap(({ line }, i) => (line === undefined ? [] : [{
      type: 'line', line, xref: 'paper', yref: 'paper', xsizemode: 'pixel', ysizemode: 'pixel', xanchor: 0, yanchor: 1,
      x0: place(i).x, x1: place(i).x + LINE, y0: place(i).y, y1: place(i).y,
    }])),
    annotations: entries.map(({ name, symbol, line }, i) => ({
      text: symbol === undefined ? name : `${symbol} ${name}`, x: 0, xref: 'paper', xanchor: 'left',
      xshift: place(i).x + (line === undefined ? 0 : LINE + 3), y: 1, yref: 'paper', yanchor: 'middle',
      yshift: place(i).y, showarrow: false, font: { size: 12, color: PALETTE.ink },
    })),
  };
}
