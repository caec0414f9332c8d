import type { StudyRun } from './runStudy.js';

/** How long a study took and on what: the content of timing.json, the one result file that differs from run to run. */
export interface Timing {
  readonly format: 'slotcast-timing/1';
  readonly seconds: number;
  readonly scenariosPerSecond: number;
  readonly workers: number;
  readonly batchSize: number;
  /** Scenarios kept from an earlier, stopped run, or from parts. */
  readonly restoredScenarios: number;
  readonly finishedAt: string;
}

export function timing(run: StudyRun, finishedAt: Date): Timing {
  return {
    format: 'slotcast-timing/1',
    seconds: Number(run.seconds.toPrecision(9)),
    scenariosPerSecond: Math.round((run.scenarios - run.restored) / Math.max(run.seconds, 1e-9)),
    workers: run.workers,
    batchSize: run.batchSize,
    restoredScenarios: run.restored,
    finishedAt: finishedAt.toISOString(),
  };
}
