import { rmSync } from 'node:fs';
import { join, relative, sep } from 'node:path';
import { labelSample } from '../label/labelSample.js';
import type { LoadedStudy } from '../rack/index.js';
import { reportHtml } from '../report/reportHtml.js';
import { reportInput } from '../report/reportInput.js';
import {
  powersInOrder, removeLeftovers, requireRated, type StudyRun, summarise, type Summary, timing, writeFileWhole, writeScenarioTablesAside,
} from '../study/index.js';
import { checkFolder, RESULT_FILES } from './resultFolder.js';
import type { TableChoice } from './tableChoices.js';

/** Scenarios up to which a table is written as CSV where nothing else is asked for. */
const CSV_UP_TO = 100_000;

export interface ResultOptions {
  readonly folder: string;
  /** The study file, as named on the command line. */
  readonly file: string;
  readonly table: TableChoice;
  readonly replace: boolean;
}

/** Writes all results of a finished study; the same run gives the same bytes, but for timing.json. */
export async function writeResults(
  run: StudyRun, inputs: LoadedStudy['inputs'], { folder, file, table, replace }: ResultOptions,
): Promise<{ readonly summary: Summary; readonly words: string }> {
  checkFolder(folder, replace);
  requireRated(run);
  const tables = tablesFor(table, run.scenarios);
  for (const name of ['scenarios.csv', 'scenarios.parquet']) {
    // A table of earlier results beside a new summary would mislead.
    if (!tables.includes(name)) rmSync(join(folder, name), { force: true });
  }
  // So would its report.
  if (replace) for (const name of ['report.md', 'report.pdf']) rmSync(join(folder, name), { force: true });
  const pathOf = (name: string) => (tables.includes(name) ? join(folder, name) : null);
  const written = writeScenarioTablesAside({ csv: pathOf('scenarios.csv'), parquet: pathOf('scenarios.parquet') }, run);
  // Its failure is waited for below.
  written.catch(() => {});
  const inOrder = powersInOrder(run);
  const summary: Summary = {
    ...summarise(run, inputs, inOrder), studyFile: relative(folder, file).split(sep).join('/'),
  };
  writeFileWhole(join(folder, 'report.html'), reportHtml(reportInput({ study: run.study, summary, sample: labelSample(run, inOrder) })));
  await written;
  writeFileWhole(join(folder, 'timing.json'), [`${JSON.stringify(timing(run, new Date()), null, 2)}\n`]);
  // Last, so that a folder with a summary is complete.
  writeFileWhole(join(folder, 'summary.json'), [summaryJson(summary)]);
  removeLeftovers(folder, RESULT_FILES);
  const why = table === 'auto' && run.scenarios > CSV_UP_TO
    ? ` (above ${CSV_UP_TO.toLocaleString('en-GB')} scenarios the table is Parquet; --table csv writes it as CSV)` : '';
  const names = ['summary.json', ...tables, 'report.html'];
  return { summary, words: `${names.slice(0, -1).join(', ')} and ${names[names.length - 1]} are in ${folder}${why}` };
}

export function summaryJson(summary: Summary): string {
  return `${JSON.stringify(summary, null, 2)}\n`;
}

function tablesFor(choice: TableChoice, scenarios: number): string[] {
  const chosen = choice === 'auto' ? (scenarios <= CSV_UP_TO ? 'csv' : 'parquet') : choice;
  if (chosen === 'none') return [];
  return chosen === 'both' ? ['scenarios.csv', 'scenarios.parquet'] : [`scenarios.${chosen}`];
}
