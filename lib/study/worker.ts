/** Entry of a worker thread: compiles the study once, then fills rows of the shared table. */
import { workerData } from 'node:worker_threads';
import { scenarioSource } from '../draw/scenarioSource.js';
import { RackModel } from '../ladder/rackModel.js';
import type { Study } from '../rack/studyModel.js';
import { rateBatch } from './batch.js';
import { ScenarioTable } from './scenarioTable.js';

interface StudyWorkerData {
  readonly study: Study;
  readonly capacity: number;
  readonly memory: SharedArrayBuffer;
}

// piscina hands workerData on as [own data, the pool's data].
const { study, capacity, memory } = (Array.isArray(workerData) ? workerData[1] : workerData) as StudyWorkerData;
const table = new ScenarioTable(capacity, memory);
const source = scenarioSource(study);
const model = new RackModel(study.rack);

export default function fillRows({ from, to }: { readonly from: number; readonly to: number }): void {
  rateBatch(source, model, table, from, to);
}
