import { scenarioSource } from '../draw/index.js';
import { lockFolder, mergeParts } from '../study/index.js';
import { EXIT } from './exitCodes.js';
import { openStudy } from './openStudy.js';
import type { Screen } from './program.js';
import { checkFolder, defaultFolder, openFolder } from './resultFolder.js';
import { withOverrides } from './studyCommand.js';
import { studyText } from './studyText.js';
import type { TableChoice } from './tableChoices.js';
import { summaryJson, writeResults } from './writeResults.js';

export interface MergeOptions {
  readonly study: string;
  readonly out?: string;
  readonly scenarios?: number;
  readonly seed?: string;
  readonly table: TableChoice;
  readonly replace: boolean;
  readonly json: boolean;
}

/** `slotcast merge PARTS…`: the results of a study from all its parts. */
export async function mergeCommand(parts: readonly string[], options: MergeOptions, screen: Screen): Promise<number> {
  const loaded = openStudy(options.study, screen);
  const study = withOverrides(loaded.study, options);
  const folder = options.out ?? defaultFolder(options.study);
  checkFolder(folder, options.replace);
  scenarioSource(study);
  const run = mergeParts(study, parts);
  openFolder(folder);
  const unlock = lockFolder(folder);
  try {
    const { summary, words } = await writeResults(
      run, loaded.inputs, { folder, file: options.study, table: options.table, replace: options.replace });
    screen.out(options.json ? summaryJson(summary).trimEnd() : studyText(summary));
    screen.err(`\n${run.scenarios} scenarios from ${parts.length} part${parts.length === 1 ? '' : 's'}; ${words}`);
    return summary.notRated.isTooMany ? EXIT.failure : EXIT.ok;
  } finally {
    unlock();
  }
}
