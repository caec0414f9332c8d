import { closeSync, fsyncSync, openSync, renameSync, rmSync, writeSync } from 'node:fs';

/**
 * Writes a file whole or not at all: pieces go to a neighbouring temporary file that is renamed at the end.
 * On an error the temporary file is removed, the old file stays, and the error is thrown.
 */
export function writeFileWhole(path: string, pieces: Iterable<string | Uint8Array>): void {
  const temporary = `${path}.${process.pid}.part`;
  try {
    const file = openSync(temporary, 'w');
    try {
      for (const piece of pieces) {
        const bytes = typeof piece === 'string' ? Buffer.from(piece, 'utf8') : piece;
        for (let at = 0; at < bytes.length; ) at += writeSync(file, bytes, at);
      }
      fsyncSync(file);
    } finally {
      closeSync(file);
    }
    renameSync(temporary, path);
  } catch (error) {
    rmSync(temporary, { force: true });
    throw error;
  }
}
