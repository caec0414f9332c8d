import { RATED } from './scenarioTable.js';
import type { ScenarioTable } from './scenarioTable.js';

/** Rated powers of the first `scenarios` rows that were rated, W, ascending. */
export function sortedRatedPowers(table: ScenarioTable, scenarios: number): Float64Array {
  const { rated, ratedPower } = table.columns;
  const powers = new Float64Array(scenarios);
  let count = 0;
  for (let i = 0; i < scenarios; i++) if (rated[i] === RATED) powers[count++] = ratedPower[i];
  return powers.subarray(0, count).sort();
}

/** Rated powers of the first `scenarios` rows in their order, W; what was not rated counts as carrying nothing. */
export function powersOfAll(table: ScenarioTable, scenarios: number): Float64Array {
  const { rated, ratedPower } = table.columns;
  return ratedPower.subarray(0, scenarios).map((power, i) => (rated[i] === RATED ? power : 0));
}
