import { writeFileWhole } from './atomicFile.js';
import type { StudyRun } from './runStudy.js';
import { scenarioCsv } from './scenarioCsv.js';
import { writeScenarioParquet } from './scenarioParquet.js';
import type { TableFiles } from './tablesAside.js';

/** An error of the file system, as it passes between threads. */
export interface RefusedWrite {
  readonly message: string;
  readonly code: string;
  readonly path: string | undefined;
}

/** @throws as the file system */
export async function writeTables({ csv, parquet }: TableFiles, run: Pick<StudyRun, 'table' | 'scenarios'>): Promise<void> {
  if (csv !== null) writeFileWhole(csv, scenarioCsv(run));
  if (parquet !== null) await writeScenarioParquet(parquet, run);
}
