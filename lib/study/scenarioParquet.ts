/** The scenario table as a Parquet file: for tables that a CSV would make slow and large. */
import { closeSync, fsyncSync, openSync, readFileSync, renameSync, rmSync } from 'node:fs';
import { dirname } from 'node:path';
import { syncFolder, temporaryFor } from './atomicFile.js';
import type { StudyRun } from './runStudy.js';
import { SCENARIO_FIELDS, type ScenarioField } from './scenarioFields.js';
import { RATED, type ScenarioTable } from './scenarioTable.js';

/** Rows encoded at a time: memory does not grow with the study. */
const ROWS_PER_GROUP = 20_000;

const TYPES = { whole: 'INT32', single: 'FLOAT', double: 'DOUBLE', text: 'STRING' } as const;
/**
 * Numbers are written as they are: dictionaries, compression and bounds of a group make a quarter less of the file, or nothing
 * of drawn numbers, and take more than half of the time.
 */
const AS_THEY_ARE = { encoding: 'PLAIN', codec: 'UNCOMPRESSED' } as const;
/** Of a group so small the library need not look for page ends. */
const ONE_PAGE = 0;
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
  const temporary = temporaryFor(path);
  // Columns without an empty field are written without saying for each row that it is there: a third of the time.
  const allRated = !table.columns.rated.subarray(0, scenarios).some((rated) => rated !== RATED);
  const fields = SCENARIO_FIELDS.map((field) => {
    const isWhole = allRated && (field.kept !== null || field.words !== null);
    return { field, isWhole, nullable: !isWhole && hasEmpty(field, table, scenarios) };
  });
  const group = (from: number, to: number) => fields.map(({ field, isWhole, nullable }) => ({
    name: field.name, type: TYPES[field.kind], nullable,
    data: isWhole ? copyOf(field, table, from, to) : valuesOf(field, table, from, to),
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
      await writer.write({ columnData: group(from, Math.min(scenarios, from + ROWS_PER_GROUP)), rowGroupSize: ROWS_PER_GROUP, pageSize: ONE_PAGE });
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

function hasEmpty(field: ScenarioField, { columns }: ScenarioTable, scenarios: number): boolean {
  for (let i = 0; i < scenarios; i++) if (valueAt(field, columns, i) === null) return true;
  return false;
}

/** Values of rows from..to (exclusive) that the table keeps as they are, or as numbers of words, none missing. */
function copyOf({ kind, kept, words }: ScenarioField, { columns }: ScenarioTable, from: number, to: number) {
  if (words !== null) {
    const { list } = words;
    const counted = columns[words.column];
    const values = new Array<string>(to - from);
    for (let i = from; i < to; i++) values[i - from] = list[counted[i]];
    return values;
  }
  if (kept === null || kind === 'text') throw new TypeError('only numbers are kept as they are');
  return new ARRAYS[kind](columns[kept].subarray(from, to));
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
