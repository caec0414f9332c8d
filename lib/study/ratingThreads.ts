import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { serialize } from 'node:v8';
import { Piscina } from 'piscina';
import type { Study } from '../rack/studyModel.js';
import type { Span } from './rowsFile.js';
import type { ScenarioTable } from './scenarioTable.js';

/** What a thread needs to know of a study, the same with every batch; in memory that all share. */
export interface ThreadJob {
  /** The study, serialised by node:v8. */
  readonly study: Uint8Array;
  readonly capacity: number;
  readonly memory: SharedArrayBuffer;
}

/** One batch of a job. */
export interface ThreadTask extends Span {
  readonly job: ThreadJob;
}

/** A worker thread that ended before its batch did: killed, crashed or out of memory. Finished batches are kept. */
export class WorkerLost extends Error {
  constructor(reason: string) {
    super(`a worker thread was lost (${reason})`);
    this.name = 'WorkerLost';
  }
}

/** What a thread runs: of few files, so that it starts soon. */
export function threadFile(name: string): string {
  return join(__dirname, '..', 'program', name);
}

/**
 * Threads that rate the batches of one study. They may be opened before it is known: loading what they need takes them as
 * long as reading the study takes.
 */
export class RatingThreads {
  private readonly pool: Piscina;
  private known: { readonly study: Study; readonly table: ScenarioTable; readonly job: ThreadJob } | null = null;

  /** @throws Error where the library is not built */
  constructor(readonly count: number) {
    const filename = threadFile('worker.js');
    if (!existsSync(filename)) throw new Error('worker threads need the built library: run the build first, or use 1 worker');
    this.pool = new Piscina({ filename, minThreads: count, maxThreads: count });
    // A thread that is lost before its first batch is noticed with that batch.
    this.pool.on('error', () => {});
  }

  /**
   * Rates batches into a table, always of the same study and the same table.
   * @param report called after each
   * @throws WorkerLost, or the error of a batch
   */
  async run(
    study: Study, table: ScenarioTable, batches: readonly Span[], report: (span: Span) => void, signal?: AbortSignal,
  ): Promise<void> {
    const { pool } = this;
    this.known ??= { study, table, job: jobOf(study, table) };
    if (this.known.study !== study || this.known.table !== table) throw new RangeError('these threads belong to another study');
    const { job } = this.known;
    let next = 0;
    const lane = async () => {
      while (next < batches.length && signal?.aborted !== true) {
        const span = batches[next++];
        await this.runBatch({ ...span, job });
        report(span);
      }
    };
    // A thread that runs out of memory may say so to the pool alone.
    let onError: (error: Error) => void = () => {};
    const lost = new Promise<never>((_, reject) => {
      onError = (error) => reject(asLost(error));
      pool.on('error', onError);
    });
    try {
      // Two lanes per thread keep every thread busy while finished rows are kept.
      await Promise.race([Promise.all(Array.from({ length: 2 * this.count }, lane)), lost]);
    } finally {
      pool.off('error', onError);
    }
  }

  private async runBatch(task: ThreadTask): Promise<void> {
    try {
      await this.pool.run(task);
    } catch (error) {
      throw asLost(error as Error);
    }
  }

  async close(): Promise<void> {
    await this.pool.destroy();
  }
}

function jobOf(study: Study, table: ScenarioTable): ThreadJob {
  const bytes = serialize(study);
  const shared = new Uint8Array(new SharedArrayBuffer(bytes.length));
  shared.set(bytes);
  return { study: shared, capacity: table.capacity, memory: table.memory };
}

/** Errors of a batch itself pass on; the others are of its thread. */
function asLost(error: NodeJS.ErrnoException): Error {
  const isOfThread = error.code?.startsWith('ERR_WORKER') === true || /^worker exited/.test(error.message);
  return isOfThread ? new WorkerLost(error.message) : error;
}
