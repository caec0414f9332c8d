import { closeSync, openSync, readFileSync, rmSync, writeSync } from 'node:fs';
import { hostname } from 'node:os';
import { join } from 'node:path';

const NAME = 'running.lock';

/** Another process writes into the folder. */
export class FolderInUse extends Error {
  constructor(readonly folder: string, readonly holder: string) {
    super(`another run (${holder}) is writing to ${folder}: wait for it, or name another folder with --out. `
      + `If no such process runs any more, remove ${join(folder, NAME)}`);
    this.name = 'FolderInUse';
  }
}

/**
 * Takes a folder for this process, so that two runs do not write into one. A lock that a process of this machine left
 * behind when it was killed is taken over.
 *
 * @returns gives the folder back
 * @throws FolderInUse
 */
export function lockFolder(folder: string): () => void {
  const path = join(folder, NAME);
  for (let attempt = 0; ; attempt++) {
    try {
      const file = openSync(path, 'wx');
      writeSync(file, JSON.stringify({ host: hostname(), process: process.pid }));
      closeSync(file);
      return () => rmSync(path, { force: true });
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error;
    }
    const holder = holderOf(path);
    if (holder !== null && (holder.host !== hostname() || isRunning(holder.process) || attempt > 0)) {
      throw new FolderInUse(folder, `process ${holder.process} on ${holder.host}`);
    }
    rmSync(path, { force: true });
  }
}

/** Null where the file tells nothing: its writer was killed before it had written. */
function holderOf(path: string): { readonly host: string; readonly process: number } | null {
  try {
    const { host, process: id } = JSON.parse(readFileSync(path, 'utf8')) as { host: unknown; process: unknown };
    return typeof host === 'string' && Number.isInteger(id) ? { host, process: id as number } : null;
  } catch {
    return null;
  }
}

function isRunning(id: number): boolean {
  if (id === process.pid) return false;
  try {
    process.kill(id, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}
