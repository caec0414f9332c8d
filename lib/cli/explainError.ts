import { ImpossibleRules } from '../draw/index.js';
import { InputError } from '../rack/index.js';
import { FolderInUse, NothingRated, PartsError, StudyStopped, TooManyNotRated, WorkerLost } from '../study/index.js';
import { EXIT } from './exitCodes.js';
import type { Screen } from './program.js';
import { plainText } from './textTable.js';

/** Prints an error the way its kind deserves. @returns the exit code */
export function explainError(error: unknown, screen: Screen): number {
  if (error instanceof InputError || error instanceof ImpossibleRules) {
    screen.err(error.message.split('\n').map(plainText).join('\n'));
    return EXIT.badInput;
  }
  if (error instanceof PartsError) {
    screen.err(`The parts do not make the study; nothing was merged.\n${error.message.split('\n').map(plainText).join('\n')}`);
    return EXIT.badInput;
  }
  if (error instanceof FolderInUse) {
    screen.err(plainText(error.message));
    return EXIT.badInput;
  }
  const refused = refusedByDisk(error);
  if (refused !== null) {
    screen.err(refused);
    return EXIT.failure;
  }
  if (error instanceof WorkerLost) {
    screen.err(`${plainText(error.message)}; finished batches are kept: give the same command again to go on, with fewer `
      + '--workers where memory is short');
    return EXIT.failure;
  }
  if (error instanceof StudyStopped) {
    screen.err(`${error.message}; finished batches are kept: give the same command again to go on`);
    return EXIT.stopped;
  }
  if (error instanceof NothingRated || error instanceof TooManyNotRated) {
    screen.err(error.message);
    return EXIT.failure;
  }
  screen.err(error instanceof Error ? `${error.name}: ${plainText(error.message)}` : String(error));
  return EXIT.failure;
}

/** What a full or read-only disk means for a study; null for other errors. */
function refusedByDisk(error: unknown): string | null {
  const { code, path } = (error ?? {}) as NodeJS.ErrnoException;
  const why = { ENOSPC: 'the disk is full', EDQUOT: 'the disk quota is used up', EROFS: 'the disk is read-only',
    EACCES: 'writing is not permitted', EPERM: 'writing is not permitted', EIO: 'the disk reports a fault' }[code ?? ''];
  if (why === undefined) return null;
  return `${why}${path === undefined ? '' : ` (${plainText(path)})`}; finished batches are kept: make room and give the same `
    + 'command again to go on';
}
