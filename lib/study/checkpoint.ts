/**
 * Finished batches on disk, so that a stopped study goes on where it was. One file per batch, written whole or not at
 * all (temporary name, then rename); a file holds a header line and the rows' bytes with their SHA-256.
 */
import { createHash } from 'node:crypto';
import { mkdirSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { BYTES_PER_SCENARIO, type ScenarioTable } from './scenarioTable.js';

const FORMAT = 'slotcast-batch/1';
const NAME = /^batch-(\d+)-(\d+)\.bin$/;
/** Batches and half-written ones. */
const LEFTOVER = /^batch-\d+-\d+\.bin(\.\d+\.part)?$/;

/** Scenarios from (inclusive) to (exclusive). */
export interface Span {
  readonly from: number;
  readonly to: number;
}

interface Header extends Span {
  readonly format: string;
  readonly fingerprint: string;
  readonly sha256: string;
}

export class Checkpoint {
  constructor(private readonly folder: string, private readonly fingerprint: string) {}

  /** Keeps the rows of a finished batch. */
  keep(table: ScenarioTable, span: Span): void {
    mkdirSync(this.folder, { recursive: true });
    const rows = table.readRows(span.from, span.to);
    const header: Header = {
      format: FORMAT, fingerprint: this.fingerprint, from: span.from, to: span.to,
      sha256: createHash('sha256').update(rows).digest('hex'),
    };
    const path = join(this.folder, `batch-${span.from}-${span.to}.bin`);
    const temporary = `${path}.${process.pid}.part`;
    writeFileSync(temporary, Buffer.concat([Buffer.from(`${JSON.stringify(header)}\n`), rows]));
    renameSync(temporary, path);
  }

  /**
   * Puts kept rows into the table.
   * @returns the spans restored, ascending; batches of other inputs, or damaged ones, are left out
   */
  restore(table: ScenarioTable): Span[] {
    const spans: Span[] = [];
    for (const name of this.files()) {
      if (!NAME.test(name)) continue;
      const bytes = readFileSync(join(this.folder, name));
      const end = bytes.indexOf(10);
      const header = readHeader(bytes.subarray(0, Math.max(0, end)).toString('utf8'));
      if (header === null || header.fingerprint !== this.fingerprint || header.to > table.capacity) continue;
      const rows = bytes.subarray(end + 1);
      if (rows.length !== (header.to - header.from) * BYTES_PER_SCENARIO) continue;
      if (createHash('sha256').update(rows).digest('hex') !== header.sha256) continue;
      table.writeRows(header.from, header.to, rows);
      spans.push({ from: header.from, to: header.to });
    }
    return spans.sort((a, b) => a.from - b.from);
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

function readHeader(text: string): Header | null {
  try {
    const header = JSON.parse(text) as Header;
    return header.format === FORMAT && Number.isInteger(header.from) && Number.isInteger(header.to)
      && header.from >= 0 && header.to > header.from ? header : null;
  } catch {
    return null;
  }
}
