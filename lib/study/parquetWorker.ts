/** Entry of the thread that writes a scenario table as Parquet. */
import type { ParquetTask } from './parquetAside.js';
import { writeScenarioParquet } from './scenarioParquet.js';
import { ScenarioTable } from './scenarioTable.js';

export default async function write({ path, scenarios, capacity, memory }: ParquetTask): Promise<void> {
  await writeScenarioParquet(path, { table: new ScenarioTable(capacity, memory), scenarios });
}
