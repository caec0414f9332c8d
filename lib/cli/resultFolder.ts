import { accessSync, constants, existsSync, lstatSync, mkdirSync, type Stats } from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import { InputError } from '../rack/index.js';
import { hasBatches } from '../study/checkpoint.js';

/** Files that a study writes. */
export const RESULT_FILES = ['summary.json', 'scenarios.csv', 'scenarios.parquet', 'report.html', 'timing.json'] as const;

/** Where a running study keeps its finished batches. */
export const BATCH_FOLDER = 'batches';

/** Where a study goes when no folder is named: results/<name of the study file>. */
export function defaultFolder(studyFile: string): string {
  return join('results', basename(studyFile).replace(/\.json$/i, ''));
}

/**
 * Makes sure that results may go to a folder, without writing anything.
 *
 * @param files what will be written there
 * @throws InputError where the folder is a file or a link, or holds results and `replace` is not given
 */
export function checkFolder(folder: string, replace: boolean, files: readonly string[] = RESULT_FILES): void {
  const refuse = (found: string, allowed: string) => {
    throw new InputError([{ file: '--out', path: '', found, allowed }]);
  };
  let stat: Stats | undefined;
  try {
    stat = lstatSync(folder, { throwIfNoEntry: false });
  } catch (error) {
    throw unusable(folder, error);
  }
  if (stat === undefined) return;
  if (stat.isSymbolicLink()) refuse(`a link, ${folder}`, 'name a folder itself');
  if (!stat.isDirectory()) refuse(`a file, ${folder}`, 'name a folder');
  const held = files.filter((name) => existsSync(join(folder, name)));
  // The batches go last: a run that was killed while it wrote its results, or just after, may go on.
  const isUnfinished = files === RESULT_FILES && hasBatches(join(folder, BATCH_FOLDER));
  if (held.length > 0 && !replace && !isUnfinished) {
    refuse(`${held.join(', ')} in ${folder}`, 'name another folder, or say --replace to write over these results');
  }
}

/**
 * Creates the folder where it is missing, level by level, and makes sure that files can be written there.
 * @throws InputError where the system refuses
 */
export function openFolder(folder: string): void {
  try {
    makeFolder(resolve(folder));
    accessSync(folder, constants.W_OK);
  } catch (error) {
    throw unusable(folder, error);
  }
}

function makeFolder(folder: string): void {
  if (existsSync(folder)) return;
  if (dirname(folder) !== folder) makeFolder(dirname(folder));
  mkdirSync(folder);
}

function unusable(folder: string, error: unknown): InputError {
  const { code, message } = error as NodeJS.ErrnoException;
  return new InputError([{
    file: '--out', path: '', found: `a folder that cannot be written (${code ?? message}), ${folder}`,
    allowed: 'name a folder in which you may write',
  }]);
}
