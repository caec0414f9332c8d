import { ascendingOrder } from '../statistics/index.js';
import { RATED } from './scenarioTable.js';
import type { StudyRun } from './runStudy.js';

/** Rated scenarios by what they carry. */
export interface PowersInOrder {
  /** Their rows, lowest rated power first, ties by row, `[rank]`. */
  readonly rows: Uint32Array;
  /** W, ascending, `[rank]`. */
  readonly powers: Float64Array;
}

type Run = Pick<StudyRun, 'table' | 'scenarios'>;

/** The rated scenarios of a run in order. Summary, label sample and report need it: sort once, hand it on, and only read it. */
export function powersInOrder({ table, scenarios }: Run): PowersInOrder {
  const { rated, ratedPower } = table.columns;
  let rows = ascendingOrder(ratedPower.subarray(0, scenarios));
  if (rated.subarray(0, scenarios).some((state) => state !== RATED)) rows = rows.filter((row) => rated[row] === RATED);
  const powers = new Float64Array(rows.length);
  for (let k = 0; k < rows.length; k++) powers[k] = ratedPower[rows[k]];
  return { rows, powers };
}
