import { RATED } from './scenarioTable.js';
import type { StudyRun } from './runStudy.js';
import { SCENARIO_FIELDS } from './scenarioFields.js';

/** Columns of the scenario table by name, each `[rated scenario]`; scenarios that were not rated are left out. */
export type ScenarioColumns = Record<string, (number | string)[]>;

/**
 * The scenario table as columns for a data frame or a plot. Quantities that the study does not draw have no column.
 *
 * @example new DataFrame(scenarioColumns(run)) // with danfo.js, or any library that takes columns
 */
export function scenarioColumns({ table, scenarios }: StudyRun): ScenarioColumns {
  const { columns } = table;
  const rows: number[] = [];
  for (let i = 0; i < scenarios; i++) if (columns.rated[i] === RATED) rows.push(i);
  const result: ScenarioColumns = {};
  for (const { name, at } of SCENARIO_FIELDS) {
    const values = rows.map((i) => at(columns, i));
    if (values.every((value) => value !== null)) result[name] = values;
  }
  return result;
}
