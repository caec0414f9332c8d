import { closeSync, fsyncSync, lstatSync, mkdirSync, openSync, readdirSync, renameSync, rmSync, writeSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { InputError } from '../rack/errors.js';

/**
 * Writes a file whole or not at all: pieces go to a neighbouring temporary file that is renamed at the end.
 * On an error the temporary file is removed, the old file stays, and the error is thrown.
 *
 * @param durable waits until the disk has it, so that it outlives a power failure
 */
export function writeFileWhole(path: string, pieces: Iterable<string | Uint8Array>, durable = true): void {
  const temporary = temporaryFor(path);
  try {
    // What bears that name already is not of this write, and might be a link out of the folder.
    rmSync(temporary, { force: true });
    const file = openSync(temporary, 'wx');
    try {
      for (const piece of pieces) {
        const bytes = typeof piece === 'string' ? Buffer.from(piece, 'utf8') : piece;
        for (let at = 0; at < bytes.length; ) at += writeSync(file, bytes, at);
      }
      if (durable) fsyncSync(file);
    } finally {
      closeSync(file);
    }
    renameSync(temporary, path);
    if (durable) syncFolder(dirname(path));
  } catch (error) {
    rmSync(temporary, { force: true });
    throw error;
  }
}

/** Where a file is written until it is whole: beside it, so that a rename suffices. */
export function temporaryFor(path: string): string {
  return `${path}.${process.pid}.part`;
}

/** Removes what writers of these files left half-written when they were killed. No other may be writing them. */
export function removeLeftovers(folder: string, names: readonly string[]): void {
  for (const entry of readdirSync(folder)) {
    const [, name] = /^(.+)\.\d+\.part$/.exec(entry) ?? [];
    if (name !== undefined && names.includes(name)) rmSync(join(folder, entry), { force: true });
  }
}

/**
 * Makes a folder for results inside another one, where it is missing.
 * @throws InputError where a link bears its name: what is written must stay in the folder that was chosen
 */
export function makeResultFolder(path: string): void {
  if (lstatSync(path, { throwIfNoEntry: false })?.isSymbolicLink() === true) {
    throw new InputError([{ file: path, path: '', found: 'a link', allowed: 'remove it: results stay in the folder that was named' }]);
  }
  mkdirSync(path, { recursive: true });
}

/** Puts the names in a folder on the disk; not every system lets a folder be opened. */
export function syncFolder(folder: string): void {
  let handle: number;
  try {
    handle = openSync(folder, 'r');
  } catch {
    return;
  }
  try {
    fsyncSync(handle);
  } catch {
    // A system that keeps names by itself may refuse.
  } finally {
    closeSync(handle);
  }
}
