/** Entry of a worker thread: compiles the study with its first batch, then fills rows of the shared table. */
import { deserialize } from 'node:v8';
import { type ScenarioSource, scenarioSource } from '../draw/scenarioSource.js';
import { RackModel } from '../ladder/rackModel.js';
import type { Study } from '../rack/studyModel.js';
import { rateBatch } from './batch.js';
import type { ThreadJob, ThreadTask } from './ratingThreads.js';
import { ScenarioTable } from './scenarioTable.js';

interface Prepared {
  readonly source: ScenarioSource;
  readonly model: RackModel;
  readonly table: ScenarioTable;
}

let prepared: Prepared | null = null;

export default function fillRows({ from, to, job }: ThreadTask): void {
  prepared ??= prepare(job);
  const { source, model, table } = prepared;
  rateBatch(source, model, table, from, to);
}

function prepare({ study: bytes, capacity, memory }: ThreadJob): Prepared {
  const study = deserialize(bytes) as Study;
  return { source: scenarioSource(study), model: new RackModel(study.rack), table: new ScenarioTable(capacity, memory) };
}
