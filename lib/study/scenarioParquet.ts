/** The scenario table as a Parquet file: for tables that a CSV would make slow and large. */
import { closeSync, fsyncSync, openSync, readFileSync, renameSync, rmSync } from 'node:fs';
import { dirname } from 'node:path';
import { syncFolder } from './atomicFile.js';
import { RATED } from './batch.js';
import type { StudyRun } from './runStudy.js';
import { SCENARIO_FIELDS, type ScenarioField } from './scenarioFields.js';

/** Rows encoded at a time: memory does not grow with the study. */
const ROWS_PER_GROUP = 50_000;

const TYPES = { whole: 'INT32', number: 'DOUBLE', text: 'STRING' } as const;

/**
 * Writes the columns of scenarios.csv, same names and values, whole or not at all. Empty fields of the CSV are null.
 * @throws as the file system
 */
export async function writeScenarioParquet(path: string, { table, scenarios }: StudyRun): Promise<void> {
  // A module of the newer kind: it has to be fetched when it is wanted.
  const { fileWriter, ParquetWriter, schemaFromColumnData } = await import('hyparquet-writer');
  const { columns } = table;
  const temporary = `${path}.${process.pid}.part`;
  const group = (from: number, to: number) => SCENARIO_FIELDS.map(({ name, kind, at }: ScenarioField) => ({
    name,
    type: TYPES[kind],
    nullable: name !== 'scenario',
    data: Array.from({ length: to - from }, (_, k) => {
      const i = from + k;
      return columns.rated[i] === RATED || name === 'scenario' ? at(columns, i) : null;
    }),
  }));
  try {
    const writer = new ParquetWriter({
      writer: fileWriter(temporary), schema: schemaFromColumnData({ columnData: group(0, Math.min(1, scenarios)) }),
      createdBy: 'slotcast',
    });
    for (let from = 0; from < scenarios; from += ROWS_PER_GROUP) {
      await writer.write({ columnData: group(from, Math.min(scenarios, from + ROWS_PER_GROUP)), rowGroupSize: ROWS_PER_GROUP });
    }
    await writer.finish();
    const file = openSync(temporary, 'r+');
    try {
      fsyncSync(file);
    } finally {
      closeSync(file);
    }
    renameSync(temporary, path);
    syncFolder(dirname(path));
  } catch (error) {
    rmSync(temporary, { force: true });
    throw error;
  }
}

/** Rows of a scenario table in Parquet, the named columns only. */
export async function readScenarioParquet(path: string, names: readonly string[]): Promise<Record<string, unknown>[]> {
  const { parquetReadObjects } = await import('hyparquet');
  const bytes = readFileSync(path);
  const file = bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length);
  return await parquetReadObjects({ file, columns: [...names] });
}
