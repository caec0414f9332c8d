/** The scenario table as files from a thread of its own, so that other results can be made meanwhile. */
import { existsSync } from 'node:fs';
import { Piscina } from 'piscina';
import { threadFile } from './ratingThreads.js';
import type { StudyRun } from './runStudy.js';
import { type RefusedWrite, writeTables } from './writeTables.js';

/**
 * MB for objects of the thread that writes, young and old: rows become objects on their way. Of the old it needs
 * between 12 and 24; without bounds tens of megabytes would lie idle.
 */
const THREAD_MEMORY = { maxYoungGenerationSizeMb: 4, maxOldGenerationSizeMb: 64 };

/** Files to write; null: not this one. */
export interface TableFiles {
  readonly csv: string | null;
  readonly parquet: string | null;
}

/** What the thread is told. */
export interface TableTask {
  readonly files: TableFiles;
  readonly scenarios: number;
  readonly capacity: number;
  readonly memory: SharedArrayBuffer;
}

/**
 * Writes the scenario table, each file whole or not at all; in this thread where the library is not built.
 * @throws as the file system
 */
export async function writeScenarioTablesAside(files: TableFiles, { table, scenarios }: Pick<StudyRun, 'table' | 'scenarios'>): Promise<void> {
  if (files.csv === null && files.parquet === null) return;
  const filename = threadFile('tableWorker.js');
  if (!existsSync(filename)) return await writeTables(files, { table, scenarios });
  const pool = new Piscina({ filename, minThreads: 1, maxThreads: 1, resourceLimits: THREAD_MEMORY });
  try {
    const task: TableTask = { files, scenarios, capacity: table.capacity, memory: table.memory };
    const refused = (await pool.run(task)) as RefusedWrite | null;
    // What passes between threads as an error keeps its message alone.
    if (refused !== null) throw Object.assign(new Error(refused.message), refused);
  } finally {
    await pool.destroy();
  }
}
