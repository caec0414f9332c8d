/** The scenario table as a Parquet file: for tables that a CSV would make slow and large. */
import { closeSync, existsSync, fsyncSync, openSync, readFileSync, renameSync, rmSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { Piscina } from 'piscina';
import { syncFolder } from './atomicFile.js';
import { RATED } from './batch.js';
import type { StudyRun } from './runStudy.js';
import { SCENARIO_FIELDS, type ScenarioField } from './scenarioFields.js';
import type { ScenarioTable } from './scenarioTable.js';

/** Rows encoded at a time: memory does not grow with the study. */
const ROWS_PER_GROUP = 20_000;

/**
 * MB for objects of the thread that writes, young and old: rows become objects on their way. Of the old it needs
 * between 12 and 24; without bounds tens of megabytes would lie idle.
 */
const THREAD_MEMORY = { maxYoungGenerationSizeMb: 4, maxOldGenerationSizeMb: 64 };

const TYPES = { whole: 'INT32', single: 'FLOAT', double: 'DOUBLE', text: 'STRING' } as const;
/**
 * Numbers are written as they are: dictionaries, compression and bounds of a group make a quarter less of the file, or nothing
 * of drawn numbers, and take more than half of the time.
 */
const AS_THEY_ARE = { encoding: 'PLAIN', codec: 'UNCOMPRESSED' } as const;
const ARRAYS = { whole: Int32Array, single: Float32Array, double: Float64Array } as const;

/**
 * Writes the columns of scenarios.csv under the same names, whole or not at all. Empty fields of the CSV are null; where
 * the CSV rounds a number of single precision to its seven digits, this holds all its bits.
 * @throws as the file system
 */
export async function writeScenarioParquet(
  path: string, { table, scenarios }: Pick<StudyRun, 'table' | 'scenarios'>,
): Promise<void> {
  // A module of the newer kind: it has to be fetched when it is wanted.
  const { fileWriter, ParquetWriter, schemaFromColumnData } = await import('hyparquet-writer');
  const temporary = `${path}.${process.pid}.part`;
  // Columns without an empty field are written without saying for each row that it is there: a third of the time.
  const fields = SCENARIO_FIELDS.map((field) => ({ field, nullable: hasEmpty(field, table, scenarios) }));
  const group = (from: number, to: number) => fields.map(({ field, nullable }) => ({
    name: field.name, type: TYPES[field.kind], nullable, data: valuesOf(field, table, from, to),
    statistics: field.name === 'scenario', ...(field.kind === 'text' ? {} : AS_THEY_ARE),
  }));
  // A link of that name would lead out of the folder.
  rmSync(temporary, { force: true });
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

/**
 * The same in a thread of its own, so that other results can be made meanwhile; in this one where the library is not built.
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

/** What the thread is told. */
export interface ParquetTask {
  readonly path: string;
  readonly scenarios: number;
  readonly capacity: number;
  readonly memory: SharedArrayBuffer;
}

function hasEmpty(field: ScenarioField, { columns }: ScenarioTable, scenarios: number): boolean {
  for (let i = 0; i < scenarios; i++) if (valueAt(field, columns, i) === null) return true;
  return false;
}

/** Values of rows from..to (exclusive), in a flat array where they are numbers and none is missing. */
function valuesOf(field: ScenarioField, { columns }: ScenarioTable, from: number, to: number) {
  const { kind } = field;
  if (kind !== 'text') {
    const flat = new ARRAYS[kind](to - from);
    let i = from;
    for (; i < to; i++) {
      const value = valueAt(field, columns, i);
      if (typeof value !== 'number') break;
      flat[i - from] = value;
    }
    if (i === to) return flat;
  }
  return Array.from({ length: to - from }, (_, k) => valueAt(field, columns, from + k));
}

function valueAt({ name, stored }: ScenarioField, columns: ScenarioTable['columns'], i: number) {
  return columns.rated[i] === RATED || name === 'scenario' ? stored(columns, i) : null;
}

/** Rows of a scenario table in Parquet, the named columns only. */
export async function readScenarioParquet(path: string, names: readonly string[]): Promise<Record<string, unknown>[]> {
  const { parquetReadObjects } = await import('hyparquet');
  const bytes = readFileSync(path);
  const file = bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length);
  return await parquetReadObjects({ file, columns: [...names] });
}
