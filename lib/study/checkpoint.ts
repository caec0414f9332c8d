/**
 * Finished batches on disk, so that a stopped study goes on where it was. One file per batch, written whole or not at
 * all. A batch that a failing machine left damaged is noticed by its SHA-256 and rated again.
 */
import { existsSync, readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { makeResultFolder } from './atomicFile.js';
import { readRows, type RowsHeader, type Span, writeRows } from './rowsFile.js';
import type { ScenarioTable } from './scenarioTable.js';

const FORMAT = 'slotcast-batch/1';
const NAME = /^batch-(\d+)-(\d+)\.bin$/;
/** Batches and half-written ones. */
const LEFTOVER = /^batch-\d+-\d+\.bin(\.\d+\.part)?$/;

/** Whether a folder holds finished batches of any study. */
export function hasBatches(folder: string): boolean {
  return existsSync(folder) && readdirSync(folder).some((name) => NAME.test(name));
}

export class Checkpoint {
  constructor(private readonly folder: string, private readonly fingerprint: string) {}

  /** Keeps the rows of a finished batch. */
  keep(table: ScenarioTable, span: Span): void {
    makeResultFolder(this.folder);
    writeRows(join(this.folder, `batch-${span.from}-${span.to}.bin`), table, span, FORMAT, this.fingerprint);
  }

  /**
   * Puts kept rows into the table.
   * @returns the spans restored, ascending; batches of other inputs, or damaged ones, are left out
   */
  restore(table: ScenarioTable): Span[] {
    const spans: Span[] = [];
    for (const name of this.files()) {
      if (!NAME.test(name)) continue;
      const file = readRows<RowsHeader>(join(this.folder, name), FORMAT);
      if ('problem' in file || file.header.fingerprint !== this.fingerprint || file.header.to > table.capacity) continue;
      const { from, to } = file.header;
      table.writeRows(from, to, file.rows);
      spans.push({ from, to });
    }
    return spans.sort((a, b) => a.from - b.from);
  }

  /** Finished batches of other inputs, another seed or another version, which a run here would neither use nor keep. */
  foreign(): number {
    return this.files().filter((name) => {
      if (!NAME.test(name)) return false;
      const file = readRows<RowsHeader>(join(this.folder, name), FORMAT);
      return !('problem' in file) && file.header.fingerprint !== this.fingerprint;
    }).length;
  }

  /** Removes the batches, and the folder where nothing else is in it. */
  clear(): void {
    for (const name of this.files()) if (LEFTOVER.test(name)) rmSync(join(this.folder, name), { force: true });
    if (this.files().length === 0) rmSync(this.folder, { recursive: true, force: true });
  }

  private files(): string[] {
    try {
      return readdirSync(this.folder);
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code === 'ENOENT') return [];
      throw error;
    }
  }
}
