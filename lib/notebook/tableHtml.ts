import { escapeMarkup, formatCount, formatNumber, PALETTE } from '../figure/index.js';
import { columnTitle } from './columnTitle.js';

/** A data frame as danfo.js has it, or anything with the same two members. */
export interface TableLike {
  readonly columns: readonly string[];
  /** `[row][column]`. */
  readonly values: unknown;
}

export interface TableOptions {
  readonly caption?: string;
  /** Rows shown; the rest is counted under the table. Default 20. */
  readonly rows?: number;
  /** Columns whose letters line up, e.g. pictures of placements. */
  readonly monospace?: readonly string[];
  /** Most decimals of any column. Default 6. */
  readonly decimals?: number;
}

const ROWS = 20;
/** Significant digits of a column's largest number, where it is not made of whole numbers. */
const DIGITS = 4;
const DECIMALS = 6;
const MISSING = '–';
/** Columns that name something: no comma between thousands, so that they can be copied. */
const NAMES = ['scenario', 'seed'];

/** A table as HTML that needs no script and no style sheet, and as plain text, units in the headings. */
export function tableHtml(table: TableLike, options: TableOptions = {}): { readonly html: string; readonly text: string } {
  const { caption = '', rows: most = ROWS, monospace = [], decimals = DECIMALS } = options;
  const all = table.values as readonly (readonly unknown[])[];
  const shown = all.slice(0, most);
  const columns = table.columns.map((name, c) => {
    const values = shown.map((row) => row[c]);
    const numeric = values.every((value) => isMissing(value) || typeof value === 'number')
      && values.some((value) => typeof value === 'number');
    const write = numeric && !NAMES.includes(name) ? numberWriter(values, decimals) : (value: unknown) => (isMissing(value) ? MISSING : String(value));
    return { title: columnTitle(name), numeric, monospace: monospace.includes(name), cells: values.map(write) };
  });
  const left = all.length - shown.length;
  const more = left > 0 ? `${formatCount(left)} more rows` : '';
  return { html: markup(columns, shown.length, caption, more), text: plain(columns, shown.length, caption, more) };
}

interface Column {
  readonly title: string;
  readonly numeric: boolean;
  readonly monospace: boolean;
  readonly cells: readonly string[];
}

const MONOSPACE = 'font-family:ui-monospace,monospace;white-space:nowrap;';

function markup(columns: readonly Column[], rows: number, caption: string, more: string): string {
  const line = `border-bottom:1px solid ${PALETTE.grid};padding:3px 10px 3px 0;vertical-align:top;`;
  const side = ({ numeric }: Column) => `text-align:${numeric ? 'right' : 'left'};`;
  const head = columns.map((column) =>
    `<th scope="col" style="${line}${side(column)}">${escapeMarkup(column.title)}</th>`).join('');
  const body = Array.from({ length: rows }, (_, r) => `<tr>${columns.map((column) =>
    `<td style="${line}${side(column)}${column.monospace ? MONOSPACE : ''}"><bdi>${escapeMarkup(column.cells[r])}</bdi></td>`).join('')}</tr>`).join('\n');
  const name = caption === '' ? ''
    : `<caption style="text-align:left;font-weight:600;caption-side:top;padding:4px 0;">${escapeMarkup(caption)}</caption>`;
  return `<table style="border-collapse:collapse;font-variant-numeric:tabular-nums;">${name}\n<thead><tr>${head}</tr></thead>\n`
    + `<tbody>\n${body}\n</tbody></table>${more === '' ? '' : `\n<p>${more}</p>`}`;
}

function plain(columns: readonly Column[], rows: number, caption: string, more: string): string {
  const widths = columns.map(({ title, cells }) => Math.max(title.length, ...cells.map((cell) => cell.length)));
  const row = (cells: readonly string[]) => cells.map((cell, c) =>
    (columns[c].numeric ? cell.padStart(widths[c]) : cell.padEnd(widths[c]))).join('  ').trimEnd();
  return [
    ...(caption === '' ? [] : [caption]),
    row(columns.map(({ title }) => title)),
    ...Array.from({ length: rows }, (_, r) => row(columns.map(({ cells }) => cells[r]))),
    ...(more === '' ? [] : [more]),
  ].join('\n');
}

/** Data frames have several ways to say that there is no value. */
function isMissing(value: unknown): boolean {
  return value === null || value === undefined || (typeof value === 'number' && Number.isNaN(value));
}

/** All numbers of a column with the same decimals. */
function numberWriter(values: readonly unknown[], most: number): (value: unknown) => string {
  const numbers = values.filter((value): value is number => typeof value === 'number' && Number.isFinite(value));
  const largest = Math.max(...numbers.map(Math.abs), 0);
  const whole = numbers.every(Number.isInteger);
  const decimals = whole || largest === 0 ? 0
    : Math.min(most, Math.max(1, DIGITS - 1 - Math.floor(Math.log10(largest))));
  return (value) => {
    if (isMissing(value)) return MISSING;
    return Number.isFinite(value) ? formatNumber(value as number, decimals) : 'unlimited';
  };
}
