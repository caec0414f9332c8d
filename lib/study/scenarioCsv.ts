import { RATED } from './scenarioTable.js';
import type { StudyRun } from './runStudy.js';
import { SCENARIO_FIELDS } from './scenarioFields.js';

const ROWS_PER_PIECE = 1000;

/**
 * The scenario table as CSV, in pieces: a header, then one row per scenario. A scenario that could not be rated has
 * empty fields after its index; a quantity that the study does not draw is empty.
 */
export function* scenarioCsv({ table, scenarios }: Pick<StudyRun, 'table' | 'scenarios'>): Generator<string> {
  const { columns } = table;
  yield `${SCENARIO_FIELDS.map((field) => field.name).join(',')}\n`;
  for (let from = 0; from < scenarios; from += ROWS_PER_PIECE) {
    const rows: string[] = [];
    for (let i = from; i < Math.min(scenarios, from + ROWS_PER_PIECE); i++) {
      rows.push(columns.rated[i] === RATED
        ? SCENARIO_FIELDS.map((field) => field.at(columns, i) ?? '').join(',')
        : `${i}${','.repeat(SCENARIO_FIELDS.length - 1)}`);
    }
    yield `${rows.join('\n')}\n`;
  }
}
