import { join, relative, sep } from 'node:path';
import { scenarioSource } from '../draw/index.js';
import { labelSample } from '../label/index.js';
import { InputError, loadStudy, type Study } from '../rack/index.js';
import { reportHtml, reportInput } from '../report/index.js';
import {
  Checkpoint, runStudy, scenarioCsv, summarise, type Summary, writeFileWhole,
} from '../study/index.js';
import { EXIT } from './exitCodes.js';
import { progressBar } from './progress.js';
import type { Screen } from './program.js';
import { checkFolder, defaultFolder, openFolder } from './resultFolder.js';
import { studyText } from './studyText.js';

export interface StudyOptions {
  readonly out?: string;
  readonly workers: number;
  readonly batch: number;
  readonly scenarios?: number;
  readonly seed?: string;
  readonly replace: boolean;
  readonly json: boolean;
  readonly quiet: boolean;
}

export async function studyCommand(file: string, options: StudyOptions, screen: Screen): Promise<number> {
  const loaded = loadStudy(file);
  const study = withOverrides(loaded.study, options);
  const folder = options.out ?? defaultFolder(file);
  checkFolder(folder, options.replace);
  // Rules that cannot be met end here, before anything is written.
  scenarioSource(study);
  openFolder(folder);

  const stop = new AbortController();
  const onSignal = () => stop.abort();
  process.once('SIGINT', onSignal);
  process.once('SIGTERM', onSignal);
  const progress = progressBar(options.quiet || options.json);
  const checkpointFolder = join(folder, 'batches');
  try {
    const run = await runStudy(study, {
      workers: options.workers,
      batchSize: options.batch,
      checkpointFolder,
      onProgress: progress.update,
      signal: stop.signal,
    });
    progress.stop();
    const summary: Summary = {
      ...summarise(run, loaded.inputs, new Date()),
      studyFile: relative(folder, file).split(sep).join('/'),
    };
    checkFolder(folder, options.replace);
    writeFileWhole(join(folder, 'scenarios.csv'), scenarioCsv(run));
    writeFileWhole(join(folder, 'report.html'), reportHtml(reportInput({ study, summary, sample: labelSample(run) })));
    // Last, so that a folder with a summary is complete.
    writeFileWhole(join(folder, 'summary.json'), [summaryJson(summary)]);
    new Checkpoint(checkpointFolder, '').clear();
    screen.out(options.json ? summaryJson(summary).trimEnd() : studyText(summary));
    if (!options.quiet) {
      const restored = run.restored > 0 ? ` (${run.restored} scenarios kept from before)` : '';
      screen.err(`\n${run.scenarios} scenarios in ${run.seconds.toFixed(1)} s with ${run.workers} worker${run.workers === 1 ? '' : 's'}${restored}; `
        + `summary.json, scenarios.csv and report.html are in ${folder}`);
    }
    return EXIT.ok;
  } finally {
    progress.stop();
    process.off('SIGINT', onSignal);
    process.off('SIGTERM', onSignal);
  }
}

export function summaryJson(summary: Summary): string {
  return `${JSON.stringify(summary, null, 2)}\n`;
}

/** A study with what the command line says instead of the file. */
export function withOverrides(study: Study, options: { readonly scenarios?: number; readonly seed?: string }): Study {
  const scenarios = options.scenarios ?? study.scenarios;
  const { sampling } = study;
  if (sampling.design === 'latin-hypercube' && scenarios % sampling.size !== 0) {
    throw new InputError([{
      file: '--scenarios', path: '', found: String(scenarios),
      allowed: `a multiple of the Latin hypercube's size, ${sampling.size}`,
    }]);
  }
  return { ...study, scenarios, seed: options.seed ?? study.seed };
}
