/** A copper file with the study it names. */
import { createHash } from 'node:crypto';
import { existsSync } from 'node:fs';
import { basename, dirname, isAbsolute, join } from 'node:path';
import { InputError, type InputProblem } from '../errors.js';
import { type LoadedStudy, loadStudy, readBytes, readJson, type StudyInput } from '../loader.js';
import type { Study } from '../studyModel.js';
import { ProblemLog, throwProblems } from '../text/problemLog.js';
import type { CopperRequest } from './copperModel.js';
import { readCopper, studyOf } from './readCopper.js';

export interface LoadedCopper {
  readonly request: CopperRequest;
  readonly study: Study;
  /** The copper file, then those of the study. */
  readonly inputs: readonly StudyInput[];
  readonly warnings: readonly InputProblem[];
}

/**
 * A copper file (format `slotcast-copper/1`, see schema/copper.schema.json) with its study and all that this names.
 *
 * @throws InputError with the problems of all files together
 */
export function loadCopper(path: string): LoadedCopper {
  const log = new ProblemLog(path);
  const bytes = readBytes(path, { log, path: '' });
  const json = bytes === null ? undefined : readJson(bytes, log);
  throwProblems(log);
  const given = studyOf(json);
  const { loaded, problems } = given === null ? { loaded: null, problems: [] }
    : studyBeside(isAbsolute(given) ? given : join(dirname(path), given), log);
  const request = readCopper(json, loaded?.study ?? null, log);
  if (log.problems.length + problems.length > 0) throw new InputError([...log.problems, ...problems]);
  if (request === null || loaded === null || bytes === null) throw new Error('a copper file that is not read has logged why');
  const own = { path: basename(path), sha256: createHash('sha256').update(bytes).digest('hex') };
  return {
    request, study: loaded.study, inputs: [own, ...loaded.inputs], warnings: [...log.warnings, ...loaded.warnings],
  };
}

function studyBeside(path: string, log: ProblemLog): { loaded: LoadedStudy | null; problems: readonly InputProblem[] } {
  if (!existsSync(path)) {
    log.add('study', `a file that does not exist: ${path}`, 'give the path of a study file, relative to this file');
    return { loaded: null, problems: [] };
  }
  try {
    return { loaded: loadStudy(path), problems: [] };
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return { loaded: null, problems: error.problems };
  }
}

/**
 * A copper file from parsed JSON with its study given as an object; the key `study` is not looked at beyond its form.
 *
 * @throws InputError with every problem found.
 */
export function parseCopper(json: unknown, study: Study, fileName = 'copper'): CopperRequest {
  const log = new ProblemLog(fileName);
  const request = readCopper(json, study, log);
  throwProblems(log);
  return request as CopperRequest;
}
