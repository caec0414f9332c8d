/**
 * Runs the scenarios of a study on worker threads, batch by batch. Results do not depend on the number of workers,
 * the batch size or on stops in between: scenario i depends on (seed, i) alone and every row has its place.
 */
import { setImmediate as nextTurn } from 'node:timers/promises';
import { scenarioSource } from '../draw/scenarioSource.js';
import { RackModel } from '../ladder/rackModel.js';
import type { Study } from '../rack/studyModel.js';
import { rateBatch } from './batch.js';
import { Checkpoint } from './checkpoint.js';
import { studyFingerprint } from './fingerprint.js';
import { RatingThreads } from './ratingThreads.js';
import type { Span } from './rowsFile.js';
import { ScenarioTable } from './scenarioTable.js';
import { requireSplittable } from './parts.js';
import { powersOfAll } from './sortedRatedPowers.js';

export interface RunOptions {
  /** Worker threads; 1 runs in this thread. Default 1. */
  readonly workers?: number;
  /** So many threads, opened beforehand; closed with the run. Left out: opened here. */
  readonly threads?: RatingThreads;
  /** Scenarios per batch. Default 250, and more in a large study: some 400 batches in all, of 5000 at most. */
  readonly batchSize?: number;
  /** Runs these alone, for a study in parts. Default all. */
  readonly span?: Span;
  /** Folder for finished batches; absent: nothing is kept. */
  readonly checkpointFolder?: string;
  /** Called after each batch with the scenarios done and planned. */
  readonly onProgress?: (done: number, planned: number) => void;
  /** Stops between batches; finished batches are kept. */
  readonly signal?: AbortSignal;
}

/** One look of the stopping rule. */
export interface Look {
  readonly scenarios: number;
  readonly reached: boolean;
}

export interface StudyRun {
  readonly study: Study;
  readonly table: ScenarioTable;
  /** Scenarios run: the planned number unless the stopping rule ended the study before. */
  readonly scenarios: number;
  /** Rows taken from the checkpoint rather than computed. */
  readonly restored: number;
  readonly looks: readonly Look[];
  /** Confidence of each look, so that all planned looks together keep the study's; null without stopping rule. */
  readonly lookConfidence: number | null;
  readonly workers: number;
  readonly batchSize: number;
  readonly seconds: number;
}

/** A study that was stopped from outside before its end. */
export class StudyStopped extends Error {
  constructor(readonly done: number, readonly planned: number) {
    super(`stopped after ${done} of ${planned} scenarios`);
    this.name = 'StudyStopped';
  }
}

/**
 * @throws ImpossibleRules, InputError before any scenario runs; StudyStopped on a signal; WorkerLost; RangeError for bad
 *   options
 */
export async function runStudy(study: Study, options: RunOptions = {}): Promise<StudyRun> {
  const { workers = 1, checkpointFolder, onProgress, signal } = options;
  const { from: first, to: planned } = options.span ?? { from: 0, to: study.scenarios };
  const batchSize = options.batchSize ?? Math.min(5000, Math.max(250, Math.ceil((planned - first) / 400)));
  checkWholeNumber('workers', workers, 1, 256);
  if (options.threads !== undefined && options.threads.count !== workers) {
    throw new RangeError(`threads: found ${options.threads.count} for ${workers} workers; as many are needed`);
  }
  if (options.span !== undefined) requireSplittable(study);
  checkWholeNumber('batchSize', batchSize, 1, 1_000_000);
  if (study.stopping !== null && study.sampling.design !== 'plain') {
    throw new RangeError('stopping at a half-width needs plain sampling: the replicates of a design fix its size beforehand');
  }
  const started = process.hrtime.bigint();
  const source = scenarioSource(study);
  const table = new ScenarioTable(planned);
  const checkpoint = checkpointFolder === undefined
    ? null : new Checkpoint(checkpointFolder, studyFingerprint(study));
  const finished = checkpoint?.restore(table) ?? [];
  const restored = covered(finished, first, planned);
  let done = restored;
  const report = (span: Span) => {
    checkpoint?.keep(table, span);
    done += span.to - span.from;
    onProgress?.(done, planned - first);
  };
  onProgress?.(done, planned - first);

  const threads = workers === 1 ? null : options.threads ?? new RatingThreads(workers);
  const model = threads === null ? new RackModel(study.rack) : null;
  const looks: Look[] = [];
  const { stopping } = study;
  const lookEvery = stopping?.lookEvery ?? planned;
  // Loaded where it is needed only: most studies start sooner without.
  const statistics = stopping === null ? null : await import('../statistics/index.js');
  const confidence = statistics?.lookConfidence(study.confidence, statistics.plannedLooks(planned, lookEvery)) ?? null;
  let scenarios = first;
  try {
    while (scenarios < planned) {
      const next = Math.min(planned, scenarios + lookEvery);
      const batches = missingSpans(finished, scenarios, next, batchSize);
      if (threads !== null) await threads.run(study, table, batches, report, signal);
      else if (model !== null) await runHere(batches, (span) => {
        rateBatch(source, model, table, span.from, span.to);
        report(span);
      }, signal);
      if (signal?.aborted === true) throw new StudyStopped(done, planned - first);
      scenarios = next;
      if (stopping !== null && statistics !== null && confidence !== null) {
        const reached = statistics.halfWidthReached(
          powersOfAll(table, scenarios).sort(), stopping.percentile, stopping.halfWidth, confidence);
        looks.push({ scenarios, reached });
        if (reached) break;
      }
    }
  } finally {
    await threads?.close();
  }
  const seconds = Number(process.hrtime.bigint() - started) / 1e9;
  return { study, table, scenarios, restored, looks, lookConfidence: confidence, workers, batchSize, seconds };
}

async function runHere(batches: readonly Span[], run: (span: Span) => void, signal?: AbortSignal): Promise<void> {
  for (const span of batches) {
    if (signal?.aborted === true) return;
    run(span);
    // Lets signals and the screen through between batches.
    await nextTurn();
  }
}

/** Spans of at most `size` scenarios that cover from..to where `finished` does not. */
function missingSpans(finished: readonly Span[], from: number, to: number, size: number): Span[] {
  const missing: Span[] = [];
  let at = from;
  for (const span of [...finished, { from: to, to }]) {
    const end = Math.min(to, span.from);
    for (; at < end; at = Math.min(end, at + size)) missing.push({ from: at, to: Math.min(end, at + size) });
    at = Math.max(at, span.to);
  }
  return missing;
}

function covered(spans: readonly Span[], first: number, planned: number): number {
  let at = first;
  let sum = 0;
  for (const span of spans) {
    const end = Math.min(planned, span.to);
    sum += Math.max(0, end - Math.max(at, span.from));
    at = Math.max(at, end);
  }
  return sum;
}

function checkWholeNumber(name: string, value: number, min: number, max: number): void {
  if (!Number.isInteger(value) || value < min || value > max) {
    throw new RangeError(`${name} ${value}: must be a whole number from ${min} to ${max}`);
  }
}
