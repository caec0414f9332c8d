/** The scenario table as Parquet from a thread of its own, so that other results can be made meanwhile. */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { Piscina } from 'piscina';
import type { StudyRun } from './runStudy.js';
import { writeScenarioParquet } from './scenarioParquet.js';

/**
 * MB for objects of the thread that writes, young and old: rows become objects on their way. Of the old it needs
 * between 12 and 24; without bounds tens of megabytes would lie idle.
 */
const THREAD_MEMORY = { maxYoungGenerationSizeMb: 4, maxOldGenerationSizeMb: 64 };

/** What the thread is told. */
export interface ParquetTask {
  readonly path: string;
  readonly scenarios: number;
  readonly capacity: number;
  readonly memory: SharedArrayBuffer;
}

/**
 * As writeScenarioParquet; in this thread where the library is not built.
 * @throws as writeScenarioParquet
 */
export async function writeScenarioParquetAside(path: string, { table, scenarios }: Pick<StudyRun, 'table' | 'scenarios'>): Promise<void> {
  const filename = join(__dirname, 'parquetWorker.js');
  if (!existsSync(filename)) return await writeScenarioParquet(path, { table, scenarios });
  const pool = new Piscina({ filename, minThreads: 1, maxThreads: 1, resourceLimits: THREAD_MEMORY });
  try {
    await pool.run({ path, scenarios, capacity: table.capacity, memory: table.memory } satisfies ParquetTask);
  } finally {
    await pool.destroy();
  }
}
