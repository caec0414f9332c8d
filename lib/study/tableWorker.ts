/** Entry of the thread that writes a scenario table. */
import { ScenarioTable } from './scenarioTable.js';
import type { TableTask } from './tablesAside.js';
import { type RefusedWrite, writeTables } from './writeTables.js';

/** @returns null, or why the file system refused */
export default async function write({ files, scenarios, capacity, memory }: TableTask): Promise<RefusedWrite | null> {
  try {
    await writeTables(files, { table: new ScenarioTable(capacity, memory), scenarios });
    return null;
  } catch (error) {
    const { message, code, path } = error as NodeJS.ErrnoException;
    if (code === undefined) throw error;
    return { message, code, path };
  }
}
