/** The command line: reads options, calls the library, prints. What a command needs is loaded when it is given. */
import { readFileSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { Command, CommanderError, InvalidArgumentError, Option } from 'commander';
import { FIT_QUANTITIES } from '../calibrate/quantities.js';
import type { PartOf } from '../study/index.js';
import { LIBRARY_VERSION } from '../study/version.js';
import type { BarOptions } from './barCommand.js';
import type { CopperCommandOptions } from './copperCommand.js';
import { EXIT } from './exitCodes.js';
import type { FitCommandOptions } from './fitCommand.js';
import type { RareCommandOptions } from './rareCommand.js';
import type { PeakCommandOptions } from './peakCommand.js';
import type { MergeOptions } from './mergeCommand.js';
import type { LabelCommandOptions } from './labelCommand.js';
import type { ReportOptions } from './reportCommand.js';
import type { SensitivityCommandOptions } from './sensitivityCommand.js';
import type { StudyOptions } from './studyCommand.js';
import { TABLE_CHOICES } from './tableChoices.js';
import type { WorstCommandOptions } from './worstCommand.js';

/** Where a command prints: results go to `out`, everything else to `err`. */
export interface Screen {
  out(text: string): void;
  err(text: string): void;
}

const EXIT_HELP = `
Exit codes: 0 done; 1 failure of the program or the disk, or too many scenarios that could not be rated; 2 input that
cannot be used (nothing written);
3 stopped by a signal (finished batches are kept, the same command goes on from there).
Results go to standard output, progress and messages to standard error.

Screening calculation: a rating is proven by a temperature-rise test to the standard that applies. Energised busbars
and fault currents can kill or burn; local codes and licensed practice decide.`;

/** Runs one command. @returns the exit code */
export async function runCommandLine(argv: readonly string[], screen: Screen): Promise<number> {
  let code: number = EXIT.ok;
  const program = buildProgram(screen, (result) => {
    code = result;
  });
  try {
    await program.parseAsync(argv as string[], { from: 'user' });
    return code;
  } catch (error) {
    // Commander has printed its message (or the help that was asked for) already.
    if (error instanceof CommanderError) return error.exitCode === 0 ? EXIT.ok : EXIT.badInput;
    const { explainError } = await import('./explainError.js');
    return explainError(error, screen);
  }
}

function buildProgram(screen: Screen, finish: (code: number) => void): Command {
  const program = new Command('slotcast');
  program
    .description("What a rack's DC busbar carries, over everything that may be mounted in it.")
    .version(LIBRARY_VERSION)
    .addHelpText('after', EXIT_HELP)
    .exitOverride()
    .configureOutput({ writeOut: (text) => screen.out(text.trimEnd()), writeErr: (text) => screen.err(text.trimEnd()) });

  program.command('study')
    .description('run a study: percentiles of rated power, what binds, worst placements, report')
    .argument('<file>', 'study file (JSON)')
    .option('--out <folder>', 'folder for summary.json, scenarios.csv and report.html (default: results/<file name>)')
    .option('--workers <n>', 'worker threads', wholeNumber(1, 256), Math.min(8, availableParallelism()))
    .option('--batch <n>', 'scenarios per batch (default: 250, more in large studies)', wholeNumber(1, 1_000_000))
    .option('--scenarios <n>', 'run this many instead of what the file says', wholeNumber(1, 100_000_000))
    .option('--seed <text>', 'use this seed instead of the file’s')
    .option('--part <k/n>', 'run part k of n alone, e.g. 3/16: for several machines; `slotcast merge` makes the whole', partOf)
    .addOption(tableOption())
    .option('--replace', 'write over results in the folder', false)
    .option('--json', 'print summary.json instead of tables', false)
    .option('--quiet', 'no progress bar', false)
    .action(async (file: string, options: StudyOptions) => {
      // They load what they need while this thread loads the command and the study.
      const threads = options.workers > 1 ? new (await import('../study/ratingThreads.js')).RatingThreads(options.workers) : null;
      finish(await (await import('./studyCommand.js')).studyCommand(file, options, screen, threads));
    });

  program.command('merge')
    .description('the results of a study from the files of all its parts; a part that is lost, doubled, damaged or of other'
      + ' inputs is named, and then nothing is written')
    .argument('<parts...>', 'files that `slotcast study --part` wrote, all of them')
    .requiredOption('--study <file>', 'the study file (JSON)')
    .option('--out <folder>', 'folder for the results (default: results/<study file name>)')
    .option('--scenarios <n>', 'as the parts were run with', wholeNumber(1, 100_000_000))
    .option('--seed <text>', 'as the parts were run with')
    .addOption(tableOption())
    .option('--replace', 'write over results in the folder', false)
    .option('--json', 'print summary.json instead of tables', false)
    .action(async (parts: string[], options: MergeOptions) => finish(await (await import('./mergeCommand.js')).mergeCommand(parts, options, screen)));

  program.command('replay')
    .description('one scenario in full: currents, voltages and temperatures slot by slot')
    .argument('<file>', 'study file (JSON)')
    .argument('<index>', 'index of the scenario', wholeNumber(0, Number.MAX_SAFE_INTEGER))
    .option('--seed <text>', 'use this seed instead of the file’s')
    .option('--json', 'print JSON instead of tables', false)
    .action(async (file: string, index: number, options: { json: boolean; seed?: string }) =>
      finish(await (await import('./replayCommand.js')).replayCommand(file, index, options, screen)));

  program.command('worst')
    .description('the worst placement from both sides: a seeded search, and a proven floor below it')
    .argument('<file>', 'study file (JSON)')
    .option('--cover-percent <n>', 'uncertain quantities anywhere in ranges that cover so much of each distribution;'
      + ' without it, as the files say', percent)
    .option('--seed <text>', 'seed of the search', 'worst')
    .option('--starts <n>', 'independent starts of the search', wholeNumber(1, 10_000), 8)
    .option('--seconds <n>', 'time, a third of it at most for the search; more raises the floor', positive, 60)
    .option('--json', 'print JSON instead of text', false)
    .option('--quiet', 'no progress on standard error', false)
    .action(async (file: string, options: WorstCommandOptions) => finish(await (await import('./worstCommand.js')).worstCommand(file, options, screen)));

  program.command('label')
    .description('which number may stand on the label: candidate labels against risk, floor and worst found; what rules buy')
    .argument('<file>', 'study file (JSON)')
    .option('--candidates <list>', 'labels to compare, kW, ascending, e.g. 90,95,100', ascending)
    .option('--carried <n>', 'share of scenarios that the second recommendation has to carry, per cent (default: 99)',
      openPercent)
    .option('--step-kw <n>', 'labels are whole numbers of this', positive, 1)
    .option('--wanted <n>', 'a label, kW: look for the mildest rules that make it hold everywhere;'
      + ' takes up to twice --seconds more', positive)
    .option('--cover-percent <n>', 'uncertain quantities anywhere in ranges that cover so much of each distribution;'
      + ' without it, as the files say', percent)
    .option('--seed <text>', 'seed of the search', 'worst')
    .option('--starts <n>', 'independent starts of the search', wholeNumber(1, 10_000), 8)
    .option('--seconds <n>', 'time for search and floor, under each rule', positive, 60)
    .option('--workers <n>', 'worker threads of the study', wholeNumber(1, 256), Math.min(8, availableParallelism()))
    .option('--out <folder>', 'folder for label.json and label.html (default: results/<file name>-label)')
    .option('--replace', 'write over results in the folder', false)
    .option('--json', 'print JSON instead of text', false)
    .option('--quiet', 'no progress on standard error', false)
    .action(async (file: string, options: LabelCommandOptions) => finish(await (await import('./labelCommand.js')).labelCommand(file, options, screen)));

  program.command('copper')
    .description('which copper buys the next label: variants of the bar on the same scenarios, least copper for a power, tipping')
    .argument('<file>', 'copper file (JSON)')
    .option('--scenarios <n>', 'rate this many instead of what the files say', wholeNumber(1, 10_000_000))
    .option('--seed <text>', 'use this seed instead of the study’s')
    .option('--out <folder>', 'folder for copper.json and copper.html (default: results/<file name>)')
    .option('--replace', 'write over results in the folder', false)
    .option('--json', 'print JSON instead of text', false)
    .option('--quiet', 'no progress on standard error', false)
    .action(async (file: string, options: CopperCommandOptions) => finish(await (await import('./copperCommand.js')).copperCommand(file, options, screen)));

  program.command('rare')
    .description('how likely a rack carries no more than a power, where plain scenarios would meet that too seldom to count')
    .argument('<file>', 'study file (JSON)')
    .requiredOption('--below-kw <n>', 'the power, kW', positive)
    .option('--population <n>', 'scenarios led from level to level together', wholeNumber(50, 1_000_000), 500)
    .option('--moves <n>', 'moves of each at each level', wholeNumber(1, 10_000), 12)
    .option('--replicates <n>', 'independent runs, from which the interval comes', wholeNumber(2, 1000), 10)
    .option('--seed <text>', 'seed of the runs (default: the study’s)')
    .option('--json', 'print JSON instead of text', false)
    .option('--quiet', 'no progress on standard error', false)
    .action(async (file: string, options: RareCommandOptions) => finish(await (await import('./rareCommand.js')).rareCommand(file, options, screen)));

  program.command('peak')
    .description('one scenario over time: temperatures under a load that changes, or the largest load it carries for a while')
    .argument('<file>', 'study file (JSON)')
    .requiredOption('--scenario <n>', 'index of the scenario, as summary.json and the report name it',
      wholeNumber(0, Number.MAX_SAFE_INTEGER))
    .option('--load-file <file>', 'load over time (JSON): a steady load, then steps that may repeat')
    .option('--seconds <n>', 'without a load file: how long the peak lasts, s', positive)
    .option('--before-kw <n>', 'steady load before the peak, kW (default: 0)', notNegative)
    .option('--rest-seconds <n>', 'the peak comes again and again, with so many seconds between', positive)
    .option('--rest-kw <n>', 'load between the peaks, kW', notNegative)
    .option('--json', 'print JSON instead of text', false)
    .action(async (file: string, options: PeakCommandOptions) => finish(await (await import('./peakCommand.js')).peakCommand(file, options, screen)));

  program.command('fit')
    .description('fit the model of a rack to a heat run (a temperature-rise test with sensors on the bar): fitted values with their'
      + ' errors, suspicious readings, and calibrated files')
    .argument('<file>', 'study file, or rack file with --catalogue (JSON)')
    .requiredOption('--heat-run <file>', 'readings (CSV)')
    .requiredOption('--fit <list>', `what to fit, some of ${FIT_QUANTITIES.join(',')}`, words)
    .option('--catalogue <file>', 'equipment catalogue (JSON), where <file> is a rack')
    .option('--drop <list>', 'sensors to leave out of the fit', words)
    .option('--allow-unsteady', 'take readings that still move by more than 1 K/h', false)
    .option('--out <folder>', 'folder for fit.json and the calibrated files (default: results/<file name>-fit)')
    .option('--replace', 'write over results in the folder', false)
    .option('--json', 'print fit.json instead of tables', false)
    .action(async (file: string, options: FitCommandOptions) => finish(await (await import('./fitCommand.js')).fitCommand(file, options, screen)));

  program.command('sensitivity')
    .description('what the spread of rated power is made of, and which tolerance to tighten first, in kW of a percentile')
    .argument('<file>', 'study file (JSON)')
    .option('--percentile <n>', 'the percentile of rated power that matters, per cent', openPercent, 1)
    .option('--samples <n>', 'rows of the sampling matrices; each costs some forty ratings', wholeNumber(50, 100_000), 5000)
    .option('--seed <text>', 'seed of scenarios and intervals (default: the study’s)')
    .option('--out <folder>', 'folder for sensitivity.json and sensitivity.html (default: results/<file name>-sensitivity)')
    .option('--replace', 'write over results in the folder', false)
    .option('--json', 'print JSON instead of text', false)
    .option('--quiet', 'no progress on standard error', false)
    .action(async (file: string, options: SensitivityCommandOptions) => finish(await (await import('./sensitivityCommand.js')).sensitivityCommand(file, options, screen)));

  program.command('report')
    .description('the report of a finished study as HTML, Markdown with pictures and PDF, with its label decision')
    .argument('<folder>', 'folder that `slotcast study` wrote')
    .option('--study <file>', 'the study file, where it is no longer where it was')
    .option('--label <folder>', 'folder that `slotcast label` wrote (default: <folder>-label, where it exists)')
    .option('--replace', 'write over report.md, report.pdf and figures', false)
    .action(async (folder: string, options: ReportOptions) => finish(await (await import('./reportCommand.js')).reportCommand(folder, options, screen)));

  program.command('check')
    .description('check a study file with everything it names (or a rack, catalogue, load-over-time or copper file) and say what it holds')
    .argument('<file>', 'JSON file')
    .option('--json', 'print JSON instead of text', false)
    .action(async (file: string, options: { json: boolean }) => finish(await (await import('./checkCommand.js')).checkCommand(file, options, screen)));

  barOptions(program.command('bar'))
    .description('one long plain bar: the current for a rise, or the rise for a current, to compare with handbooks')
    .action(async (options: BarOptions) => finish(await (await import('./barCommand.js')).barCommand(options, screen)));
  return program;
}

function tableOption(): Option {
  return new Option('--table <format>', 'scenario table: csv, parquet, both or none; auto is csv up to 100,000 scenarios')
    .choices(TABLE_CHOICES).default('auto');
}

function barOptions(command: Command): Command {
  return command
    .requiredOption('--depth-mm <n>', 'broad face of a plate', positive)
    .requiredOption('--thickness-mm <n>', 'thickness of a plate', positive)
    .option('--plates <n>', 'parallel plates', wholeNumber(1, 20), 1)
    .option('--gap-mm <n>', 'gap between plates', positive)
    .option('--material <id>', 'built-in material', 'copper-iacs-100')
    .addOption(new Option('--run <way>', 'how the bar runs; a horizontal bar stands on edge')
      .choices(['horizontal', 'vertical']).default('horizontal'))
    .option('--length-m <n>', 'height of a vertical run', positive, 2)
    .addOption(new Option('--film <model>', 'film on outer faces and edges')
      .choices(['still-air', 'slender-still-air', 'handbook', 'moving-air', 'fixed']).default('still-air'))
    .option('--film-factor <n>', 'factor on every film', positive, 1)
    .option('--speed-m-per-s <n>', 'air speed, moving air only', positive)
    .option('--coefficient-w-per-m2k <n>', 'film coefficient, fixed film only', positive)
    .option('--emissivity <n>', '0 to 1', fraction, 0.4)
    .option('--ambient-c <n>', 'air and surroundings', anyNumber, 40)
    .option('--altitude-m <n>', 'above sea level', anyNumber, 0)
    .option('--rise-k <n>', 'find the current for this rise', positive)
    .option('--current-a <n>', 'find the rise for this current', positive)
    .option('--json', 'print JSON instead of text', false);
}

/** `3/16` as part 3 of 16. */
function partOf(text: string): PartOf {
  const [, part, parts] = /^(\d{1,6})\/(\d{1,6})$/.exec(text) ?? [];
  if (part === undefined || Number(part) < 1 || Number(part) > Number(parts)) {
    throw new InvalidArgumentError('Allowed: k/n, part k of n parts, e.g. 3/16.');
  }
  return { part: Number(part), parts: Number(parts) };
}

function anyNumber(text: string): number {
  const value = Number(text);
  if (text.trim() === '' || !Number.isFinite(value)) throw new InvalidArgumentError('Allowed: a number.');
  return value;
}

function notNegative(text: string): number {
  const value = anyNumber(text);
  if (!(value >= 0)) throw new InvalidArgumentError('Allowed: a number from 0.');
  return value;
}

function positive(text: string): number {
  const value = anyNumber(text);
  if (!(value > 0)) throw new InvalidArgumentError('Allowed: a number above 0.');
  return value;
}

function fraction(text: string): number {
  const value = anyNumber(text);
  if (!(value >= 0 && value <= 1)) throw new InvalidArgumentError('Allowed: 0 to 1.');
  return value;
}

function ascending(text: string): number[] {
  const values = text.split(',').map(positive);
  if (values.some((value, i) => i > 0 && value <= values[i - 1])) throw new InvalidArgumentError('Allowed: ascending numbers.');
  return values;
}

/** Names between commas. */
function words(text: string): string[] {
  return text.split(',').map((word) => word.trim()).filter((word) => word !== '');
}

function openPercent(text: string): number {
  const value = anyNumber(text);
  if (!(value > 0 && value < 100)) throw new InvalidArgumentError('Allowed: above 0 and below 100.');
  return value;
}

function percent(text: string): number {
  const value = anyNumber(text);
  if (!(value > 0 && value <= 100)) throw new InvalidArgumentError('Allowed: above 0, up to 100.');
  return value;
}

function wholeNumber(min: number, max: number): (text: string) => number {
  return (text) => {
    const value = anyNumber(text);
    if (!Number.isInteger(value) || value < min || value > max) {
      throw new InvalidArgumentError(`Allowed: a whole number from ${min} to ${max}.`);
    }
    return value;
  };
}

/** The format key of a JSON file, or null where it cannot be read; the readers give the full message. */
export function formatOf(file: string): string | null {
  try {
    const json: unknown = JSON.parse(readFileSync(file, 'utf8'));
    return typeof json === 'object' && json !== null && 'format' in json ? String(json.format) : null;
  } catch {
    return null;
  }
}
