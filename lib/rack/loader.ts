/** Racks and studies from files; the only place of this folder that touches the file system. */
import { createHash } from 'node:crypto';
import { readFileSync, statSync } from 'node:fs';
import { basename, dirname, isAbsolute, join } from 'node:path';
import type { InputProblem } from './errors.js';
import type { HeatRun } from './heatRunModel.js';
import { type LoadHistory, readLoadHistory } from './loadHistory.js';
import type { Catalogue, Rack } from './model.js';
import { logImplausibleColumn, namedAsMeant } from './plausible.js';
import { readCatalogue } from './readCatalogue.js';
import { type HeatRunContext, readHeatRun } from './readHeatRun.js';
import { readInventory } from './readInventory.js';
import { readMeasurements } from './readMeasurements.js';
import { readRack } from './readRack.js';
import { csvReferences, readStudy, readStudyParts } from './readStudy.js';
import type { ObservedRack, Study } from './studyModel.js';
import { decodeUtf8 } from './text/decodeUtf8.js';
import { ProblemLog, throwProblems } from './text/problemLog.js';
import { readStrictJson } from './text/strictJson.js';

/** A file that went into a study. */
export interface StudyInput {
  /** As the study file gives it, relative to the study file; the study file itself by its name. */
  readonly path: string;
  /** SHA-256 of the file's bytes, hexadecimal. */
  readonly sha256: string;
}

/** A study with the files it was read from. */
export interface LoadedStudy {
  readonly study: Study;
  /** The study file, its rack, its catalogue, then CSV files, each once. */
  readonly inputs: readonly StudyInput[];
  /** Numbers that can be used but look like a slip of units; see the key `meant` of the files. */
  readonly warnings: readonly InputProblem[];
}

/** Where a file is named, for a problem of not being able to open it. */
interface Mention {
  readonly log: ProblemLog;
  readonly path: string;
}

function openFailure(error: unknown): string {
  switch ((error as NodeJS.ErrnoException).code) {
    case 'ENOENT':
    case 'ENOTDIR':
      return 'does not exist';
    case 'EISDIR':
      return 'is a folder';
    case 'EACCES':
    case 'EPERM':
      return 'may not be read by this user';
    default:
      return `cannot be read (${(error as Error).message})`;
  }
}

/** Larger files are not opened: reading them whole would take longer than anyone waits. */
const LARGEST_BYTES = 20_000_000;

/** Bytes of a file, or null with a problem logged where the file is named. */
export function readBytes(path: string, { log, path: key }: Mention): Buffer | null {
  try {
    // Looked at before it is opened: a pipe would keep the program waiting, and a device may have no end.
    const stat = statSync(path);
    if (!stat.isFile() && !stat.isDirectory()) {
      log.add(key, `something that is not a file: ${path}`, 'give the path of a file');
      return null;
    }
    if (stat.size > LARGEST_BYTES) {
      log.add(key, `a file of ${stat.size} bytes: ${path}`, `give a file of at most ${LARGEST_BYTES} bytes`);
      return null;
    }
    return readFileSync(path);
  } catch (error) {
    log.add(key, `a file that ${openFailure(error)}${key === '' ? '' : `: ${path}`}`,
      key === '' ? 'give the path of a file' : 'give the path of a file, relative to the study file');
    return null;
  }
}

export function readJson(bytes: Buffer, log: ProblemLog): unknown {
  const text = decodeUtf8(bytes, log);
  return text === null ? undefined : readStrictJson(text, log);
}

/**
 * The rack of a rack file.
 *
 * @param onWarning told of numbers that can be used but look like a slip of units
 * @throws InputError with every problem found.
 */
export function loadRack(path: string, onWarning?: (warning: InputProblem) => void): Rack {
  return loadOne(path, (bytes, log) => fromJson(bytes, log, readRack), onWarning);
}

/**
 * The equipment catalogue of a catalogue file.
 *
 * @throws InputError with every problem found.
 */
export function loadCatalogue(path: string, onWarning?: (warning: InputProblem) => void): Catalogue {
  return loadOne(path, (bytes, log) => fromJson(bytes, log, readCatalogue), onWarning);
}

/** The load over time of such a file; as {@link loadRack}. */
export function loadLoadHistory(path: string, onWarning?: (warning: InputProblem) => void): LoadHistory {
  return loadOne(path, (bytes, log) => fromJson(bytes, log, readLoadHistory), onWarning);
}

/** A heat run with the hash of the file it was read from. */
export interface LoadedHeatRun {
  readonly heatRun: HeatRun;
  readonly input: StudyInput;
}

/**
 * The heat run of a CSV file, see `parseHeatRun`.
 *
 * @throws InputError with the problems found, the first twenty listed.
 */
export function loadHeatRun(
  path: string, context: HeatRunContext, onWarning?: (warning: InputProblem) => void,
): LoadedHeatRun {
  return loadOne(path, (bytes, log) => {
    const text = decodeUtf8(bytes, log);
    const heatRun = text === null ? null : readHeatRun(text, context, log);
    return heatRun && { heatRun, input: { path, sha256: createHash('sha256').update(bytes).digest('hex') } };
  }, onWarning);
}

function fromJson<T>(bytes: Buffer, log: ProblemLog, read: (json: unknown, log: ProblemLog) => T | null): T | null {
  const json = readJson(bytes, log);
  return log.isEmpty ? read(json, log) : null;
}

/** What a reader makes of one file; throws what it logged, and hands warnings on. */
function loadOne<T>(
  path: string, read: (bytes: Buffer, log: ProblemLog) => T | null, onWarning?: (warning: InputProblem) => void,
): T {
  const log = new ProblemLog(path);
  const bytes = readBytes(path, { log, path: '' });
  const value = bytes === null ? null : read(bytes, log);
  throwProblems(log);
  if (onWarning !== undefined) log.warnings.forEach(onWarning);
  return value as T;
}

/** Files of one study: each opened once, named once in the list of inputs, with one log for its problems. */
class StudyFiles {
  readonly inputs: StudyInput[] = [];
  readonly logs: ProblemLog[] = [];
  private readonly texts = new Map<string, { text: string | null; log: ProblemLog } | null>();

  constructor(private readonly folder: string) {}

  /** Text of a file (null where it is not UTF-8) and its log; null, with the problem logged, where it does not open. */
  text(given: string, mention: Mention): { text: string | null; log: ProblemLog } | null {
    const known = this.texts.get(given);
    if (known !== undefined) {
      return known;
    }
    const path = isAbsolute(given) ? given : join(this.folder, given);
    const bytes = readBytes(path, mention);
    if (bytes === null) {
      this.texts.set(given, null);
      return null;
    }
    this.inputs.push({ path: given, sha256: createHash('sha256').update(bytes).digest('hex') });
    const log = new ProblemLog(path);
    this.logs.push(log);
    const entry = { text: decodeUtf8(bytes, log), log };
    this.texts.set(given, entry);
    return entry;
  }

  /** What a reader makes of a JSON file a key of the study names. */
  json<T>(given: string | undefined, mention: Mention, read: (json: unknown, log: ProblemLog) => T | null): T | null {
    const file = given === undefined ? null : this.text(given, mention);
    if (file === null || file.text === null) {
      return null;
    }
    const json = readStrictJson(file.text, file.log);
    return file.log.isEmpty ? read(json, file.log) : null;
  }
}

/**
 * A study file with everything it refers to: rack, catalogue, inventory and measurements.
 *
 * @throws InputError with the problems of all files together; nothing has been computed or written.
 */
export function loadStudy(path: string): LoadedStudy {
  const opening = new ProblemLog(path);
  const files = new StudyFiles(dirname(path));
  const file = files.text(basename(path), { log: opening, path: '' });
  const json = file === null || file.text === null ? undefined : readStrictJson(file.text, file.log);
  throwProblems(opening, ...files.logs);
  const log = file?.log ?? opening;
  const parts = readStudyParts(json, false, log);
  if (parts === null) {
    throwProblems(log);
    throw new Error('a study file without parts has logged why');
  }
  const rack: Rack | null = files.json(parts.parts.rack, { log, path: 'rack' }, readRack);
  const catalogue: Catalogue | null = files.json(parts.parts.catalogue, { log, path: 'catalogue' }, readCatalogue);
  const inventories = new Map<string, { racks: ObservedRack[]; log: ProblemLog }>();
  const measurements = new Map<string, number[]>();
  const meant = namedAsMeant(json);
  for (const { path: key, file: given, column, quantity } of csvReferences(parts)) {
    const warnOf = (values: readonly number[]) => logImplausibleColumn(values, quantity, key, meant.includes(key), log);
    const csv = files.text(given, { log, path: key });
    if (csv === null || csv.text === null) {
      continue;
    }
    if (column === null) {
      const racks = readInventory(csv.text, csv.log);
      if (racks !== null) {
        inventories.set(given, { racks, log: csv.log });
        warnOf(racks.flatMap(({ units }) => units.map((unit) => unit.power / 1e3)));
      }
    } else {
      const values = readMeasurements(csv.text, column, csv.log);
      if (values !== null) {
        measurements.set(JSON.stringify([given, column]), values);
        warnOf(values);
      }
    }
  }
  const study = readStudy(parts, {
    rack,
    catalogue,
    inventory: (given) => inventories.get(given) ?? null,
    measurements: (given, column) => measurements.get(JSON.stringify([given, column])) ?? null,
  }, log);
  throwProblems(...files.logs);
  const warnings = files.logs.flatMap((each) => each.warnings);
  return { study: study as Study, inputs: files.inputs, warnings };
}
