import { join } from 'node:path';
import { scenarioSource } from '../draw/index.js';
import { decideLabel } from '../label/index.js';
import { explainFound, explainLowest, labelPage } from '../report/index.js';
import { writeFileWhole } from '../study/index.js';
import { EXIT } from './exitCodes.js';
import { labelText } from './labelText.js';
import { openStudy } from './openStudy.js';
import type { Screen } from './program.js';
import { checkFolder, defaultFolder, openFolder } from './resultFolder.js';
import { commandLine } from './shellWord.js';
import { plainText } from './textTable.js';
import { rangesOf, told, type WorstCommandOptions } from './worstCommand.js';

export interface LabelCommandOptions extends WorstCommandOptions {
  readonly candidates?: readonly number[];
  readonly carried?: number;
  readonly stepKw: number;
  readonly wanted?: number;
  readonly out?: string;
  readonly workers: number;
  readonly replace: boolean;
}

/** Files that a label decision writes. */
const LABEL_FILES = ['label.json', 'label.html'] as const;

/** `slotcast label FILE`: the label decision with everything it rests on. */
export async function labelCommand(file: string, options: LabelCommandOptions, screen: Screen): Promise<number> {
  const { study, inputs } = openStudy(file, screen);
  scenarioSource(study);
  const ranges = rangesOf(study, options.coverPercent);
  const folder = options.out ?? `${defaultFolder(file)}-label`;
  // What cannot be written is said before minutes are spent on it.
  checkFolder(folder, options.replace, LABEL_FILES);
  openFolder(folder);
  const { candidates, carried, stepKw, wanted, workers, quiet, seed, starts, seconds } = options;
  const tell = (words: string) => {
    if (!quiet) screen.err(words);
  };
  const { document, sample, summary } = await decideLabel(study, inputs, ranges, {
    seed, starts, seconds, workers, stepKw, now: () => performance.now(), ...told(quiet, screen),
    command: commandWords(file, options), onStudy: (name) => tell(`study: ${plainText(name)}`),
    ...(candidates === undefined ? {} : { candidatesKw: candidates }),
    ...(carried === undefined ? {} : { carriedPercent: carried }),
    ...(wanted === undefined ? {} : { wantedKw: wanted }),
  });
  checkFolder(folder, options.replace, LABEL_FILES);
  writeFileWhole(join(folder, 'label.html'), labelPage({
    rack: study.rack, document, sample, worst: [explainFound(study, document), ...explainLowest(study, summary)],
  }));
  // Last, so that a folder with label.json is complete.
  writeFileWhole(join(folder, 'label.json'), [`${JSON.stringify(document, null, 2)}\n`]);
  screen.out(options.json ? JSON.stringify(document, null, 2) : labelText(document));
  tell(`\nlabel.json and label.html are in ${folder}`);
  return EXIT.ok;
}

/** The command that gives the same answer, but for what time allows. */
function commandWords(file: string, options: LabelCommandOptions): string {
  const { candidates, carried, stepKw, wanted, coverPercent, seed, starts, seconds } = options;
  return commandLine('label', file, {
    candidates: candidates?.join(','), carried, 'step-kw': stepKw, wanted, 'cover-percent': coverPercent, seed, starts, seconds,
  });
}
