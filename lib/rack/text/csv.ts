import { type CsvError, parse } from 'csv-parse/sync';
import { describeValue, type ProblemLog } from './problemLog.js';
import { listWords, suggestion } from './spelling.js';

/** One record of a CSV text: its line in the file and its cells in the order of the header. */
export interface CsvRow {
  readonly line: number;
  readonly cells: readonly string[];
}

export interface CsvTable {
  readonly header: readonly string[];
  readonly rows: readonly CsvRow[];
}

/** More problems than this in one file are counted, not listed. */
const LISTED = 20;

/** Reads comma-separated text (RFC 4180) with one header line. Returns null where a problem was logged. */
export function readCsv(text: string, log: ProblemLog): CsvTable | null {
  let records: { record: string[]; info: { lines: number } }[];
  try {
    const options = { bom: true, info: true, trim: true, skip_empty_lines: true, relax_column_count: true };
    // The types of csv-parse do not follow `info`, which wraps each record.
    records = parse(text, options) as unknown as typeof records;
  } catch (error) {
    const line = (error as CsvError & { lines?: number }).lines;
    log.add(line === undefined ? '' : `line ${line}`, 'quotes that do not pair up',
      'put a cell that contains a comma or a quote in double quotes, and write a quote inside it twice');
    return null;
  }
  if (records.length === 0) {
    log.add('', 'an empty file', 'give a header line with the column names, then one line per record');
    return null;
  }
  const header = records[0].record;
  if (header.length === 1 && /[;\t]/.test(header[0])) {
    log.add('line 1', describeValue(header[0]), 'separate columns with commas and write numbers with a decimal point');
    return null;
  }
  const twice = header.find((name, index) => header.indexOf(name) !== index);
  if (twice !== undefined) {
    log.add('line 1', `the column ${describeValue(twice)} twice`, 'give every column its own name');
    return null;
  }
  const rows = records.slice(1).map(({ record, info }) => ({ line: info.lines, cells: record }));
  const problems = limited(log);
  for (const row of rows) {
    if (row.cells.length !== header.length) {
      problems.add(`line ${row.line}`, `${row.cells.length} cells`,
        `give ${header.length} cells, one for each column of the header`);
    }
  }
  if (rows.length === 0) {
    log.add('', 'a header line without records', 'give at least one record below the header');
  }
  problems.close();
  return log.isEmpty ? { header, rows } : null;
}

/** Position of a column, or −1 with a problem logged. */
export function columnIndex(table: CsvTable, column: string, log: ProblemLog): number {
  const index = table.header.indexOf(column);
  if (index < 0) {
    log.add('line 1', `no column "${column}"`,
      `${suggestion(column, table.header)}the columns of this file are ${listWords(table.header)}`);
  }
  return index;
}

/** A cell as a number with a decimal point, or NaN. Empty cells, hexadecimal, decimal commas and giants are NaN. */
export function cellNumber(cell: string): number {
  const value = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/.test(cell) ? Number(cell) : Number.NaN;
  return Math.abs(value) <= 1e12 ? value : Number.NaN;
}

/** A log that lists the first problems of a file and counts the rest. */
export function limited(log: ProblemLog): Pick<ProblemLog, 'add'> & { close(): void } {
  let count = 0;
  return {
    add(path, found, allowed) {
      count++;
      if (count <= LISTED) {
        log.add(path, found, allowed);
      }
    },
    close() {
      if (count > LISTED) {
        log.add('', `${count - LISTED} more problems of this kind`, 'they will be listed once the first ones are gone');
      }
    },
  };
}
