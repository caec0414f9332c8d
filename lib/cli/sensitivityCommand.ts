import { join } from 'node:path';
import { scenarioSource } from '../draw/index.js';
import { InputError } from '../rack/index.js';
import { sensitivityPage } from '../report/index.js';
import { smallestSampleForQuantile } from '../statistics/index.js';
import {
  NothingVaries,
  type Sensitivity,
  sensitivity,
  type SensitivityOptions,
  sensitivityDocument,
  writeFileWhole,
} from '../study/index.js';
import type { Study } from '../rack/studyModel.js';
import { EXIT } from './exitCodes.js';
import { openStudy } from './openStudy.js';
import type { Screen } from './program.js';
import { progressBar } from './progress.js';
import { checkFolder, defaultFolder, openFolder } from './resultFolder.js';
import { sensitivityText } from './sensitivityText.js';
import { commandLine } from './shellWord.js';

export interface SensitivityCommandOptions {
  readonly percentile: number;
  readonly samples: number;
  readonly seed?: string;
  readonly out?: string;
  readonly replace: boolean;
  readonly json: boolean;
  readonly quiet: boolean;
}

/** Files that a sensitivity study writes. */
const SENSITIVITY_FILES = ['sensitivity.json', 'sensitivity.html'] as const;

/** `slotcast sensitivity FILE`: what the spread is made of, and which tolerance to tighten first. */
export function sensitivityCommand(file: string, options: SensitivityCommandOptions, screen: Screen): number {
  const { study, inputs } = openStudy(file, screen);
  scenarioSource(study);
  const { percentile, samples, seed, replace, json, quiet } = options;
  requireDeepEnough(percentile, samples);
  const folder = options.out ?? `${defaultFolder(file)}-sensitivity`;
  // What cannot be written is said before time is spent on it.
  checkFolder(folder, replace, SENSITIVITY_FILES);
  openFolder(folder);
  const found = analysed(
    study,
    file,
    { percentile: percentile / 100, samples, ...(seed === undefined ? {} : { seed }) },
    quiet || json,
  );
  const document = sensitivityDocument(found, { study, inputs, command: commandWords(file, options) });
  checkFolder(folder, replace, SENSITIVITY_FILES);
  writeFileWhole(join(folder, 'sensitivity.html'), sensitivityPage(document));
  // Last, so that a folder with sensitivity.json is complete.
  writeFileWhole(join(folder, 'sensitivity.json'), [`${JSON.stringify(document, null, 2)}\n`]);
  screen.out(json ? JSON.stringify(document, null, 2) : sensitivityText(document));
  if (!quiet) screen.err(`\nsensitivity.json and sensitivity.html are in ${folder}`);
  return document.notRated.isTooMany ? EXIT.failure : EXIT.ok;
}

/** @throws InputError where the percentile would lie beyond the ends of the sample */
function requireDeepEnough(percentile: number, samples: number): void {
  const least = smallestSampleForQuantile(percentile / 100);
  if (samples >= least) return;
  throw new InputError([
    {
      file: '--samples',
      path: '',
      found: String(samples),
      allowed:
        `the ${percentile} % percentile lies beyond the ends of so few; at least ${least}, and some ${30 * least} for an ` +
        'answer of use',
    },
  ]);
}

/** @throws InputError where nothing varies */
function analysed(study: Study, file: string, options: SensitivityOptions, silent: boolean): Sensitivity {
  const progress = progressBar(silent);
  try {
    return sensitivity(study, { ...options, onProgress: progress.update });
  } catch (error) {
    if (!(error instanceof NothingVaries)) throw error;
    throw new InputError([{ file, path: 'uncertain', found: 'nothing that varies', allowed: error.message }]);
  } finally {
    progress.stop();
  }
}

/** The command that gives the same answer. */
function commandWords(file: string, { percentile, samples, seed }: SensitivityCommandOptions): string {
  return commandLine('sensitivity', file, { percentile, samples, seed });
}
