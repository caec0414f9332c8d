/** A study in parts, for several machines, and the whole again from them. */
import { existsSync } from 'node:fs';
import type { Study } from '../rack/studyModel.js';
import { studyFingerprint } from './fingerprint.js';
import { readRows, type RowsHeader, type Span, writeRows } from './rowsFile.js';
import type { StudyRun } from './runStudy.js';
import { ScenarioTable } from './scenarioTable.js';
import { LIBRARY_VERSION } from './version.js';

export const PART_FORMAT = 'slotcast-part/1';

/** Part `part` (from 1) of `parts`. */
export interface PartOf {
  readonly part: number;
  readonly parts: number;
}

interface PartHeader extends RowsHeader, PartOf {
  readonly scenarios: number;
  readonly seed: string;
  readonly study: string;
  readonly library: string;
  readonly node: string;
}

/** Parts that do not make a study: each file with what is wrong. Nothing was merged. */
export class PartsError extends Error {
  constructor(readonly problems: readonly { readonly file: string; readonly problem: string }[]) {
    super(problems.map(({ file, problem }) => (file === '' ? problem : `${file}: ${problem}`)).join('\n'));
    this.name = 'PartsError';
  }
}

/**
 * Scenarios of a part: cut as evenly as whole numbers allow, by the numbers alone.
 * @throws RangeError unless 1 ≤ part ≤ parts ≤ scenarios
 */
export function partSpan({ part, parts }: PartOf, scenarios: number): Span {
  if (!(Number.isInteger(part) && Number.isInteger(parts) && part >= 1 && part <= parts)) {
    throw new RangeError(`part ${part} of ${parts}: a part is a whole number from 1 to the number of parts`);
  }
  if (parts > scenarios) throw new RangeError(`${parts} parts of ${scenarios} scenarios: each part needs one or more`);
  const cut = (k: number) => Number((BigInt(k) * BigInt(scenarios)) / BigInt(parts));
  return { from: cut(part - 1), to: cut(part) };
}

/** Name of the file of a part. */
export function partFileName({ part, parts }: PartOf): string {
  return `part-${String(part).padStart(String(parts).length, '0')}-of-${parts}.bin`;
}

/** Writes the rows of a part that ran. */
export function writePart(path: string, { study, table }: StudyRun, which: PartOf): void {
  const span = partSpan(which, study.scenarios);
  writeRows(path, table, span, PART_FORMAT, studyFingerprint(study), {
    ...which, scenarios: study.scenarios, seed: study.seed, study: study.name, library: LIBRARY_VERSION, node: process.version,
  }, true);
}

/** Whether a file is that part of this study already, whole. */
export function isWritten(path: string, study: Study, { part, parts }: PartOf): boolean {
  if (!existsSync(path)) return false;
  const read = readRows<PartHeader>(path, PART_FORMAT);
  if ('problem' in read) return false;
  const { header } = read;
  return header.fingerprint === studyFingerprint(study) && header.scenarios === study.scenarios
    && header.part === part && header.parts === parts;
}

/**
 * The run of a study from the files of all its parts, the same as if it had run at once.
 * @throws PartsError where a part is lost, doubled, damaged, or of other inputs; RangeError for a study that cannot be split
 */
export function mergeParts(study: Study, files: readonly string[]): StudyRun {
  requireSplittable(study);
  const fingerprint = studyFingerprint(study);
  const problems: { file: string; problem: string }[] = [];
  const table = new ScenarioTable(study.scenarios);
  const fileOf = new Map<number, string>();
  let parts: number | null = null;
  for (const file of files) {
    const refuse = (problem: string) => problems.push({ file, problem });
    let read: ReturnType<typeof readRows<PartHeader>>;
    try {
      read = readRows<PartHeader>(file, PART_FORMAT);
    } catch (error) {
      refuse(`it cannot be read (${(error as NodeJS.ErrnoException).code ?? (error as Error).message})`);
      continue;
    }
    if ('problem' in read) {
      refuse(read.problem);
      continue;
    }
    const { header, rows } = read;
    if (header.fingerprint !== fingerprint) {
      refuse(otherInputs(header, study));
      continue;
    }
    if (header.scenarios !== study.scenarios) {
      refuse(`it is part of ${header.scenarios} scenarios, and the study has ${study.scenarios}`);
      continue;
    }
    parts ??= header.parts;
    if (header.parts !== parts) {
      refuse(`it is one of ${header.parts} parts, and ${fileOf.values().next().value} is one of ${parts}`);
      continue;
    }
    const before = fileOf.get(header.part);
    if (before !== undefined) {
      refuse(`it is part ${header.part} again, which ${before} is already`);
      continue;
    }
    let span: Span | null = null;
    try {
      span = partSpan(header, study.scenarios);
    } catch {
      span = null;
    }
    if (span === null || span.from !== header.from || span.to !== header.to) {
      refuse(`its scenarios ${header.from} to ${header.to - 1} are not those of part ${header.part} of ${header.parts}`);
      continue;
    }
    fileOf.set(header.part, file);
    table.writeRows(span.from, span.to, rows);
  }
  const missing = Array.from({ length: parts ?? 0 }, (_, k) => k + 1).filter((part) => !fileOf.has(part));
  if (missing.length > 0) {
    problems.push({ file: '', problem: `missing: part ${missing.join(', ')} of ${parts}` });
  }
  if (parts === null && problems.length === 0) problems.push({ file: '', problem: 'no part was named' });
  if (problems.length > 0) throw new PartsError(problems);
  return {
    study, table, scenarios: study.scenarios, restored: study.scenarios, looks: [], lookConfidence: null, workers: 0,
    batchSize: 0, seconds: 0,
  };
}

/**
 * @throws RangeError where a part cannot know what the others find
 */
export function requireSplittable(study: Study): void {
  if (study.stopping !== null) {
    throw new RangeError('a study that stops at a half-width cannot run in parts: when to stop depends on all scenarios');
  }
}

function otherInputs(header: PartHeader, study: Study): string {
  if (header.library !== LIBRARY_VERSION || header.node !== process.version) {
    return `it ran with slotcast ${header.library} on Node.js ${header.node}, and this is ${LIBRARY_VERSION} on ${process.version}`;
  }
  if (header.seed !== study.seed) return `its seed is ${JSON.stringify(header.seed)}, and the study's ${JSON.stringify(study.seed)}`;
  return `it was made from other inputs (study "${header.study}"): rack, catalogue or study file differ`;
}
