import { join } from 'node:path';
import { type CopperRequest, InputError, loadCopper, type Study } from '../rack/index.js';
import { replicateSizeOf } from '../rack/studyModel.js';
import { copperPage } from '../report/index.js';
import { smallestSampleForQuantile } from '../statistics/index.js';
import {
  copperDesigns, type CopperDesigns, copperDocument, copperStudy, leastCopper, type ProvenFloor, writeFileWhole,
} from '../study/index.js';
import { proveFloor, type ToleranceRanges, toleranceRanges, worstAnswer } from '../worst/index.js';
import { copperText } from './copperText.js';
import { EXIT } from './exitCodes.js';
import { warningText } from './openStudy.js';
import type { Screen } from './program.js';
import { progressBar } from './progress.js';
import { checkFolder, defaultFolder, openFolder } from './resultFolder.js';
import { commandLine } from './shellWord.js';
import { plainText } from './textTable.js';

export interface CopperCommandOptions {
  readonly out?: string;
  readonly scenarios?: number;
  readonly seed?: string;
  readonly replace: boolean;
  readonly json: boolean;
  readonly quiet: boolean;
}

/** Files that a copper study writes. */
const COPPER_FILES = ['copper.json', 'copper.html'] as const;

/** Starts of the search below which a floor is proven. */
const STARTS = 2;
/** Per cent of the worst found that may lie between it and a floor that counts as settled: where proofs stop. */
const SETTLED_PERCENT = 1;

/** `slotcast copper FILE`: which copper carries how much, and the least that carries what is wanted. */
export function copperCommand(file: string, options: CopperCommandOptions, screen: Screen): number {
  const { request, study: given, inputs, warnings } = loadCopper(file);
  for (const warning of warnings) screen.err(warningText(warning));
  const study = options.seed === undefined ? given : { ...given, seed: options.seed };
  const scenarios = options.scenarios ?? request.scenarios ?? study.scenarios;
  requireEnough(scenarios, request.percentile);
  requireWholeReplicates(study, scenarios);
  const ranges = rangesOf(study, request);
  const designs = copperDesigns(study, request.designs);
  requirePossible(file, request, designs);
  const folder = options.out ?? defaultFolder(file);
  // What cannot be written is said before minutes are spent on it.
  checkFolder(folder, options.replace, COPPER_FILES);
  openFolder(folder);
  const tell = (words: string) => {
    if (!options.quiet) screen.err(words);
  };
  tell(`${designs.designs.length + 1} bars on ${scenarios} scenarios${request.varianceRuns > 0
    ? `, and on those of ${request.varianceRuns} more seeds` : ''}${floorWords(request)}`);
  const progress = progressBar(options.quiet);
  const answer = withProgress(progress, () => copperStudy(study, designs.designs, {
    percentile: request.percentile, scenarios, load: request.load, varianceRuns: request.varianceRuns,
    onProgress: progress.update,
    ...(request.prices.size === 0 ? {} : { prices: request.prices }),
    ...(request.balance === null ? {} : { balance: request.balance }),
    ...(request.floor === null || ranges === null ? {} : { floor: floorOf(ranges, request.floor.seconds) }),
  }));
  const least = request.least === null ? null : leastCopper(study, request.least, {
    percentile: request.percentile, scenarios,
    onTrial: ({ power }) => tell(`least copper: a bar that carries ${(power / 1e3).toFixed(1)} kW`),
    ...(request.floor === null || ranges === null ? {} : { floorUpTo: floorUpTo(ranges, request.floor.seconds) }),
  });
  const command = commandLine('copper', file, { scenarios: options.scenarios, seed: options.seed });
  const document = copperDocument({ request, inputs, designs, answer, least, command });
  checkFolder(folder, options.replace, COPPER_FILES);
  writeFileWhole(join(folder, 'copper.html'), copperPage(document));
  // Last, so that a folder with copper.json is complete.
  writeFileWhole(join(folder, 'copper.json'), [`${JSON.stringify(document, null, 2)}\n`]);
  screen.out(options.json ? JSON.stringify(document, null, 2) : copperText(document));
  tell(`\ncopper.json and copper.html are in ${plainText(folder)}`);
  return EXIT.ok;
}

function withProgress<T>(progress: { stop(): void }, run: () => T): T {
  try {
    return run();
  } finally {
    progress.stop();
  }
}

function floorWords({ floor }: CopperRequest): string {
  return floor === null ? '' : `; then up to ${floor.seconds} s for the floor of each`;
}

function requireEnough(scenarios: number, percentile: number): void {
  const least = smallestSampleForQuantile(percentile);
  if (scenarios >= least) return;
  throw new InputError([{
    file: '--scenarios', path: '', found: String(scenarios),
    allowed: `at least ${least} for the ${Number((100 * percentile).toPrecision(9))} % percentile, and more for an interval`,
  }]);
}

/** Of part of a replicate nothing may be made. */
function requireWholeReplicates({ sampling }: Study, scenarios: number): void {
  const size = replicateSizeOf(sampling);
  if (size === null || scenarios % size === 0) return;
  throw new InputError([{
    file: '--scenarios', path: '', found: String(scenarios), allowed: `a multiple of ${size}, the size of one replicate of the design`,
  }]);
}

/** Designs asked for of which none can be built are a slip in the file. */
function requirePossible(file: string, { designs, least }: CopperRequest, found: CopperDesigns): void {
  if (least !== null || designs.length === 0 || found.impossible.length < designs.length) return;
  throw new InputError(found.impossible.flatMap(({ name, problems }) => (
    problems.map((problem) => ({ ...problem, file: `${file}: design "${name}"` })))));
}

function rangesOf(study: Study, { floor }: CopperRequest): ToleranceRanges | null {
  if (floor === null) return null;
  try {
    return toleranceRanges(study, floor.coverPercent);
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw new InputError([{
      file: 'copper file', path: 'floor.coverPercent', found: String(floor.coverPercent), allowed: error.message,
    }]);
  }
}

const now = () => performance.now();

function floorOf(ranges: ToleranceRanges, seconds: number): (study: Study) => ProvenFloor {
  return (study) => {
    const { floor, gapPercent } = worstAnswer(study, ranges, { seed: 'worst', starts: STARTS, seconds, now });
    return { power: floor.power, settled: floor.finished || gapPercent <= SETTLED_PERCENT };
  };
}

/** A floor sought no higher than what is wanted, which is all that counts. */
function floorUpTo(ranges: ToleranceRanges, seconds: number): (study: Study, wanted: number) => number {
  return (study, wanted) => proveFloor(study, ranges, { below: wanted, seconds }, now).power;
}
