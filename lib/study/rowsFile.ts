/**
 * Rows of the scenario table in a file: a header line (JSON) and the rows' bytes with their SHA-256. Batches of a study
 * that runs and parts of a study that runs on several machines are such files.
 */
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { writeFileWhole } from './atomicFile.js';
import { BYTES_PER_SCENARIO, type ScenarioTable } from './scenarioTable.js';

/** Scenarios from (inclusive) to (exclusive). */
export interface Span {
  readonly from: number;
  readonly to: number;
}

export interface RowsHeader extends Span {
  readonly format: string;
  /** See studyFingerprint: what decides the rows. */
  readonly fingerprint: string;
  /** Of the rows' bytes. */
  readonly sha256: string;
}

/** Writes the rows of a span, whole or not at all. `more` goes into the header beside what every such file has. */
export function writeRows(
  path: string, table: ScenarioTable, span: Span, format: string, fingerprint: string, more: object = {}, durable = false,
): void {
  const rows = table.readRows(span.from, span.to);
  const header = { format, fingerprint, from: span.from, to: span.to, sha256: sha256(rows), ...more };
  writeFileWhole(path, [`${JSON.stringify(header)}\n`, rows], durable);
}

/** What a file of rows holds, or in words what is wrong with it. */
export type RowsFile<Header> =
  | { readonly header: Header; readonly rows: Uint8Array }
  | { readonly problem: string };

/** @throws where the file cannot be read */
export function readRows<Header extends RowsHeader>(path: string, format: string): RowsFile<Header> {
  const bytes = readFileSync(path);
  const end = bytes.indexOf(10);
  let header: Header;
  try {
    header = JSON.parse(bytes.subarray(0, Math.max(0, end)).toString('utf8')) as Header;
  } catch {
    return { problem: 'it does not begin with a header' };
  }
  if (typeof header !== 'object' || header === null || header.format !== format) {
    return { problem: `its format is not ${format}` };
  }
  const { from, to } = header;
  if (!(Number.isSafeInteger(from) && Number.isSafeInteger(to) && from >= 0 && to > from)) {
    return { problem: 'its header names no scenarios' };
  }
  const rows = bytes.subarray(end + 1);
  const expected = (to - from) * BYTES_PER_SCENARIO;
  if (rows.length !== expected) return { problem: `it holds ${rows.length} bytes of rows and ${expected} belong to it` };
  if (sha256(rows) !== header.sha256) return { problem: 'its rows do not have the SHA-256 of its header: it is damaged' };
  return { header, rows };
}

function sha256(bytes: Uint8Array): string {
  return createHash('sha256').update(bytes).digest('hex');
}
