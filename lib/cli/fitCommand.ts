import { createHash } from 'node:crypto';
import { existsSync, readFileSync, realpathSync, rmSync } from 'node:fs';
import { basename, dirname, isAbsolute, join, relative, resolve, sep } from 'node:path';
import {
  CALIBRATED_NAMES,
  CalibrationError,
  calibratedFiles,
  type FilesBefore,
  fitDocument,
  fitHeatRun,
  type HeatRunFit,
  type JsonObject,
} from '../calibrate/index.js';
import {
  type Catalogue,
  InputError,
  loadCatalogue,
  loadHeatRun,
  loadStudy,
  type Rack,
  type StudyInput,
} from '../rack/index.js';
import { writeFileWhole } from '../study/index.js';
import { EXIT } from './exitCodes.js';
import { fitText } from './fitText.js';
import { openRack, openStudy, warningText } from './openStudy.js';
import { formatOf, type Screen } from './program.js';
import { checkFolder, defaultFolder, openFolder } from './resultFolder.js';
import { shellWord } from './shellWord.js';

export interface FitCommandOptions {
  readonly heatRun: string;
  readonly fit: readonly string[];
  readonly catalogue?: string;
  readonly drop?: readonly string[];
  readonly allowUnsteady: boolean;
  readonly out?: string;
  readonly replace: boolean;
  readonly json: boolean;
}

/** Files that a fit writes. */
const FIT_FILES = ['fit.json', ...Object.values(CALIBRATED_NAMES)] as const;

/** A rack with its catalogue, from a study or from two files, and where their files are. */
interface Opened {
  readonly rack: Rack;
  readonly catalogue: Catalogue;
  readonly inputs: readonly StudyInput[];
  readonly paths: { readonly rack: string; readonly catalogue: string; readonly study: string | null };
}

/** `slotcast fit FILE --heat-run FILE.csv --fit …`: the model of a rack fitted to its heat run, and calibrated files. */
export async function fitCommand(file: string, options: FitCommandOptions, screen: Screen): Promise<number> {
  const opened =
    formatOf(file)?.startsWith('slotcast-rack/') === true
      ? fromRack(file, options, screen)
      : fromStudy(file, options, screen);
  const { rack, catalogue, inputs } = opened;
  const { heatRun, input } = loadHeatRun(options.heatRun, opened, (warning) => screen.err(warningText(warning)));
  const folder = options.out ?? `${defaultFolder(file)}-fit`;
  checkFolder(folder, options.replace, FIT_FILES);
  requireOwnFolder(folder, [...Object.values(opened.paths), options.heatRun]);
  let fit: HeatRunFit;
  try {
    fit = await fitHeatRun(rack, catalogue, heatRun, {
      quantities: options.fit,
      drop: options.drop ?? [],
      allowUnsteady: options.allowUnsteady,
    });
  } catch (error) {
    if (!(error instanceof CalibrationError)) throw error;
    throw new InputError([{ file: options.heatRun, path: '', found: error.found, allowed: error.allowed }]);
  }
  const files = calibratedFiles(fit, filesBefore(opened, folder, options.heatRun, heatRun.points[0]));
  const document = fitDocument(fit, {
    rack: rack.name,
    inputs: [...inputs, input],
    command: commandWords(file, options),
    notes: files.notes,
  });
  openFolder(folder);
  checkFolder(folder, options.replace, FIT_FILES);
  const write = (name: string, json: unknown) =>
    writeFileWhole(join(folder, name), [`${JSON.stringify(json, null, 2)}\n`]);
  write(CALIBRATED_NAMES.rack, files.rack);
  if (files.catalogue !== null) write(CALIBRATED_NAMES.catalogue, files.catalogue);
  // One of an earlier fit beside files that do not name it would mislead.
  else rmSync(join(folder, CALIBRATED_NAMES.catalogue), { force: true });
  write(CALIBRATED_NAMES.study, files.study);
  // Last, so that a folder with fit.json is complete.
  write('fit.json', document);
  screen.out(options.json ? JSON.stringify(document, null, 2) : fitText(fit, rack.name, files.notes));
  const written = `fit.json, ${files.catalogue === null ? '' : 'catalogue.json, '}rack.json and study.json`;
  screen.err(`\n${written} are in ${folder}${unloadable(join(folder, CALIBRATED_NAMES.study))}`);
  return EXIT.ok;
}

/** What was read is never written over, whatever --replace says. */
function requireOwnFolder(folder: string, read: readonly (string | null)[]): void {
  const whole = existsSync(folder) ? realpathSync(folder) : resolve(folder);
  const inputs = read.flatMap((path) => (path === null ? [] : [realpathSync(path)]));
  const held = FIT_FILES.find((name) => inputs.includes(join(whole, name)));
  if (held === undefined) return;
  throw new InputError([
    { file: '--out', path: '', found: `${folder}, whose ${held} is an input`, allowed: 'name another folder' },
  ]);
}

function fromStudy(file: string, { catalogue }: FitCommandOptions, screen: Screen): Opened {
  if (catalogue !== undefined) {
    throw new InputError([
      { file: '--catalogue', path: '', found: catalogue, allowed: 'leave it out: the study names its catalogue' },
    ]);
  }
  const { study, inputs } = openStudy(file, screen);
  const json = readJson(file);
  const named = (key: string) =>
    isAbsolute(String(json[key])) ? String(json[key]) : join(dirname(file), String(json[key]));
  return {
    rack: study.rack,
    catalogue: study.catalogue,
    inputs: inputs.slice(0, 3),
    paths: { rack: named('rack'), catalogue: named('catalogue'), study: file },
  };
}

function fromRack(file: string, { catalogue }: FitCommandOptions, screen: Screen): Opened {
  if (catalogue === undefined) {
    throw new InputError([
      {
        file: '--catalogue',
        path: '',
        found: 'nothing',
        allowed: 'name the equipment catalogue: a rack file alone names none',
      },
    ]);
  }
  return {
    rack: openRack(file, screen).rack,
    catalogue: loadCatalogue(catalogue, (warning) => screen.err(warningText(warning))),
    inputs: [file, catalogue].map((path) => ({
      path,
      sha256: createHash('sha256').update(readFileSync(path)).digest('hex'),
    })),
    paths: { rack: file, catalogue, study: null },
  };
}

/** Files that have been checked already. */
function readJson(path: string): JsonObject {
  return JSON.parse(readFileSync(path, 'utf8').replace(/^\uFEFF/, '')) as JsonObject;
}

function filesBefore(
  { rack, paths }: Opened,
  folder: string,
  heatRun: string,
  firstPoint: FilesBefore['firstPoint'],
): FilesBefore {
  const seenFrom = (path: string) => relative(resolve(folder), resolve(path)).split(sep).join('/');
  return {
    firstPoint,
    rack: readJson(paths.rack),
    catalogue: readJson(paths.catalogue),
    study: paths.study === null ? null : readJson(paths.study),
    cataloguePath: seenFrom(paths.catalogue),
    heatRun: basename(heatRun),
    setVoltage: rack.setVoltage,
    rebase: (path, of) => (isAbsolute(path) ? path : seenFrom(join(dirname(paths[of] ?? paths.rack), path))),
  };
}

/** A rack's operating states may need more than stood in its heat run; then its study is a beginning to be changed. */
function unloadable(study: string): string {
  try {
    loadStudy(study);
    return '';
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return `; study.json cannot be run as it is: ${error.message}`;
  }
}

/** The command that gives the same answer. */
function commandWords(file: string, { heatRun, fit, catalogue, drop, allowUnsteady }: FitCommandOptions): string {
  return [
    'slotcast fit',
    shellWord(file),
    '--heat-run',
    shellWord(heatRun),
    '--fit',
    shellWord(fit.join(',')),
    ...(catalogue === undefined ? [] : ['--catalogue', shellWord(catalogue)]),
    ...(drop === undefined || drop.length === 0 ? [] : ['--drop', shellWord(drop.join(','))]),
    ...(allowUnsteady ? ['--allow-unsteady'] : []),
  ].join(' ');
}
