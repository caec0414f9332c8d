import { join } from 'node:path';
import { scenarioSource } from '../draw/scenarioSource.js';
import { InputError } from '../rack/errors.js';
import type { Study } from '../rack/index.js';
import { removeLeftovers } from '../study/atomicFile.js';
import { Checkpoint } from '../study/checkpoint.js';
import { lockFolder } from '../study/folderLock.js';
import type { RatingThreads } from '../study/ratingThreads.js';
import { studyFingerprint } from '../study/fingerprint.js';
import { isWritten, partFileName, type PartOf, partSpan, requireSplittable, writePart } from '../study/parts.js';
import { runStudy, type StudyRun } from '../study/runStudy.js';
import { EXIT } from './exitCodes.js';
import { progressBar } from './progress.js';
import { openStudy } from './openStudy.js';
import type { Screen } from './program.js';
import { BATCH_FOLDER, checkFolder, defaultFolder, openFolder } from './resultFolder.js';
import type { TableChoice } from './tableChoices.js';

export interface StudyOptions {
  readonly out?: string;
  readonly workers: number;
  readonly batch?: number;
  readonly scenarios?: number;
  readonly seed?: string;
  readonly part?: PartOf;
  readonly table: TableChoice;
  readonly replace: boolean;
  readonly json: boolean;
  readonly quiet: boolean;
}

/**
 * `slotcast study FILE`: all of a study, or with `--part` a part of it.
 * @param threads as many as the options ask for; closed at the end
 */
export async function studyCommand(
  file: string, options: StudyOptions, screen: Screen, threads: RatingThreads | null = null,
): Promise<number> {
  try {
    return await run(file, options, screen, threads);
  } finally {
    await threads?.close();
  }
}

async function run(file: string, options: StudyOptions, screen: Screen, threads: RatingThreads | null): Promise<number> {
  const loaded = openStudy(file, screen);
  const study = withOverrides(loaded.study, options);
  const { part } = options;
  if (part !== undefined) checkPart(part, study);
  const folder = options.out ?? defaultFolder(file);
  if (part !== undefined && !options.replace && isWritten(join(folder, partFileName(part)), study, part)) {
    // A scheduler that runs a part once more than needed is told that all is well.
    screen.out(options.json ? partJson(study, part, 'kept from before')
      : `${partFileName(part)} is in ${folder} already, of these inputs; nothing was left to do.`);
    return EXIT.ok;
  }
  checkFolder(folder, options.replace, part === undefined ? undefined : [partFileName(part)]);
  // Rules that cannot be met end here, before anything is written.
  scenarioSource(study);
  openFolder(folder);
  // Parts may share a folder: each has batches of its own.
  const unlock = part === undefined ? lockFolder(folder) : () => {};
  try {
    const checkpointFolder = join(folder, part === undefined ? BATCH_FOLDER : `batches-of-${partFileName(part)}`);
    if (!options.replace) requireOwnBatches(checkpointFolder, study);
    // What only results need is loaded while the threads start.
    const [finished, { summaryJson, writeResults }, { studyText }] = await Promise.all([
      runToEnd(study, options, checkpointFolder, threads), import('./writeResults.js'), import('./studyText.js'),
    ]);
    const kept = finished.restored > 0 ? ` (${finished.restored} scenarios kept from before)` : '';
    const spent = `in ${finished.seconds.toFixed(1)} s with ${finished.workers} worker${finished.workers === 1 ? '' : 's'}${kept}`;
    if (part !== undefined) {
      const { from, to } = partSpan(part, study.scenarios);
      writePart(join(folder, partFileName(part)), finished, part);
      new Checkpoint(checkpointFolder, '').clear();
      removeLeftovers(folder, [partFileName(part)]);
      screen.out(options.json ? partJson(study, part, spent) : `Part ${part.part} of ${part.parts}: scenarios ${from} to ${to - 1} ${spent}; ${partFileName(part)} is in ${folder}. `
        + 'When all parts are there, `slotcast merge` makes the results.');
      return EXIT.ok;
    }
    const { summary, words } = await writeResults(finished, loaded.inputs, { folder, file, table: options.table, replace: options.replace });
    new Checkpoint(checkpointFolder, '').clear();
    screen.out(options.json ? summaryJson(summary).trimEnd() : studyText(summary));
    if (!options.quiet) screen.err(`\n${finished.scenarios} scenarios ${spent}; ${words}`);
    return summary.notRated.isTooMany ? EXIT.failure : EXIT.ok;
  } finally {
    unlock();
  }
}

/**
 * Hours of another run are not thrown away in silence.
 * @throws InputError where the folder holds finished batches of other inputs
 */
function requireOwnBatches(checkpointFolder: string, study: Study): void {
  const foreign = new Checkpoint(checkpointFolder, studyFingerprint(study)).foreign();
  if (foreign === 0) return;
  throw new InputError([{
    file: '--out', path: '', found: `${foreign} finished batches of other inputs, another seed or another version in ${checkpointFolder}`,
    allowed: 'give the inputs and the seed of that run to go on with it, name another folder, or say --replace to drop them',
  }]);
}

function partJson(study: Study, part: PartOf, how: string): string {
  const { from, to } = partSpan(part, study.scenarios);
  return JSON.stringify({ ...part, fromScenario: from, toScenario: to - 1, file: partFileName(part), how }, null, 2);
}

/** Runs a study with a progress bar until it ends or a signal stops it. */
async function runToEnd(
  study: Study, options: StudyOptions, checkpointFolder: string, threads: RatingThreads | null,
): Promise<StudyRun> {
  const stop = new AbortController();
  const onSignal = () => stop.abort();
  process.once('SIGINT', onSignal);
  process.once('SIGTERM', onSignal);
  const progress = progressBar(options.quiet || options.json);
  try {
    return await runStudy(study, {
      workers: options.workers,
      ...(threads === null ? {} : { threads }),
      ...(options.batch === undefined ? {} : { batchSize: options.batch }),
      ...(options.part === undefined ? {} : { span: partSpan(options.part, study.scenarios) }),
      checkpointFolder,
      onProgress: progress.update,
      signal: stop.signal,
    });
  } finally {
    progress.stop();
    process.off('SIGINT', onSignal);
    process.off('SIGTERM', onSignal);
  }
}

/** @throws InputError where the study has no such part */
function checkPart(part: PartOf, study: Study): void {
  try {
    requireSplittable(study);
    partSpan(part, study.scenarios);
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw new InputError([{
      file: '--part', path: '', found: `${part.part}/${part.parts}`, allowed: `another part, or none: ${error.message}`,
    }]);
  }
}

/** A study with what the command line says instead of the file. */
export function withOverrides(study: Study, options: { readonly scenarios?: number; readonly seed?: string }): Study {
  const scenarios = options.scenarios ?? study.scenarios;
  const { sampling } = study;
  if (sampling.design !== 'plain' && scenarios % sampling.size !== 0) {
    throw new InputError([{
      file: '--scenarios', path: '', found: String(scenarios),
      allowed: `a multiple of the size of one replicate of the design, ${sampling.size}`,
    }]);
  }
  return { ...study, scenarios, seed: options.seed ?? study.seed };
}
