import { cellNumber, columnIndex, limited, readCsv } from './text/csv.js';
import { describeValue, type ProblemLog } from './text/problemLog.js';

/** One column of numbers in the unit of its name; null where a problem was logged. */
export function readMeasurements(csvText: string, column: string, log: ProblemLog): number[] | null {
  const table = readCsv(csvText, log);
  const index = table === null ? -1 : columnIndex(table, column, log);
  if (table === null || index < 0) {
    return null;
  }
  const problems = limited(log);
  const values = table.rows.map(({ line, cells }) => {
    const value = cellNumber(cells[index]);
    if (!Number.isFinite(value)) {
      problems.add(`line ${line}, column ${column}`, describeValue(cells[index]), 'give a number with a decimal point');
    }
    return value;
  });
  problems.close();
  return log.isEmpty ? values : null;
}
