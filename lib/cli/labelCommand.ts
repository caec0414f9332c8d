import { join } from 'node:path';
import { scenarioSource } from '../draw/index.js';
import {
  excessFinder, type LabelBasis, labelJson, labelSample, labelTable, recommendLabel, type RuleCase, ruleTable,
  strandedPower,
} from '../label/index.js';
import { RackModel } from '../ladder/index.js';
import { loadStudy, type Study } from '../rack/index.js';
import { type ExplainedPlacement, labelPage } from '../report/index.js';
import {
  type Replay, replayScenario, runStudy, type ScenarioSummary, type StudyRun, summarise, writeFileWhole,
} from '../study/index.js';
import { answerRules, explainWorst, mildestRules, type WorstFound } from '../worst/index.js';
import { EXIT } from './exitCodes.js';
import { labelDocument } from './labelDocument.js';
import { labelText } from './labelText.js';
import type { Screen } from './program.js';
import { checkFolder, defaultFolder, openFolder } from './resultFolder.js';
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

/** How many of the lowest scenarios the page explains beside the worst found. */
const EXPLAINED = 3;

/** Files that a label decision writes. */
const LABEL_FILES = ['label.json', 'label.html'] as const;

/** The share that the second recommendation has to carry where none is asked for, per cent. */
const CARRIED = 99;

/** Times `--seconds` that the search for the mildest rules may take: it bounds a rule after the other. */
const MILDEST_TIMES = 2;

/** `slotcast label FILE`: the label decision with everything it rests on. */
export async function labelCommand(file: string, options: LabelCommandOptions, screen: Screen): Promise<number> {
  const { study, inputs } = loadStudy(file);
  scenarioSource(study);
  const ranges = rangesOf(study, options.coverPercent);
  const folder = options.out ?? `${defaultFolder(file)}-label`;
  // What cannot be written is said before minutes are spent on it.
  checkFolder(folder, options.replace, LABEL_FILES);
  openFolder(folder);
  const { workers, wanted, seed, starts, seconds } = options;
  const now = () => performance.now();
  const answers = answerRules(study, ranges, { seed, starts, seconds, now, ...told(options.quiet, screen) });
  const [{ answer }] = answers;
  if (answer === null) throw new Error('the study as it is has an answer');

  const tell = (words: string) => {
    if (!options.quiet) screen.err(words);
  };
  const cases: RuleCase[] = [];
  let plain: StudyRun | null = null;
  for (const { name, rules, study: ruled, answer: found } of answers) {
    if (found === null) continue;
    tell(`study: ${name}`);
    const run = await runStudy(ruled, { workers });
    plain ??= run;
    const { percentiles } = summarise(run, inputs, new Date());
    cases.push({ rules, floor: found.floor, worstFound: found.found, percentiles });
  }
  if (plain === null) throw new Error('the study as it is has run');

  const step = 1e3 * options.stepKw;
  const table = labelTable({
    sample: labelSample(plain), floor: answer.floor, worstFound: answer.found, percentiles: study.percentiles, step,
    excessAt: excessFinder(study.rack), scenarioAt: (index) => replayScenario(study, index).scenario,
    ...(options.candidates === undefined ? {} : { labels: options.candidates.map((kw) => 1e3 * kw) }),
  });
  const bases: LabelBasis[] = [
    { kind: 'every-placement' },
    { kind: 'share', carriedPercent: options.carried ?? CARRIED, confidencePercent: 100 * study.confidence },
  ];
  const json = labelJson({
    table, recommendations: bases.map((basis) => recommendLabel(table, basis)),
    stranded: bases.map((basis) => strandedPower({ table, basis })), rules: ruleTable(cases, step),
  });
  const explanation = explainWorst(study, answer.found);
  const label = labelDocument(json, {
    study, inputs, command: commandWords(file, options), search: { seed, starts, seconds }, answers, explanation,
    wantedKw: wanted ?? null,
    mildest: wanted === undefined ? null : mildestRules(
      study, ranges, 1e3 * wanted, { proven: answer.floor.power, seconds: MILDEST_TIMES * seconds, now }),
  });
  checkFolder(folder, options.replace, LABEL_FILES);
  writeFileWhole(join(folder, 'label.html'), labelPage({
    study: study.name, rack: study.rack, table, json, impossibleRules: label.impossibleRules, command: label.command,
    worst: [
      { heading: 'Worst found', replay: worstReplay(study, answer.found), explanation },
      ...lowestDrawn(study, summarise(plain, inputs, new Date()).worst.slice(0, EXPLAINED)),
    ],
  }));
  // Last, so that a folder with label.json is complete.
  writeFileWhole(join(folder, 'label.json'), [`${JSON.stringify(label, null, 2)}\n`]);
  screen.out(options.json ? JSON.stringify(label, null, 2) : labelText(label));
  tell(`\nlabel.json and label.html are in ${folder}`);
  return EXIT.ok;
}

/** The command that gives the same answer, but for what time allows. */
function commandWords(file: string, options: LabelCommandOptions): string {
  const { candidates, carried, stepKw, wanted, coverPercent, seed, starts, seconds } = options;
  const given: readonly (readonly [string, string | number | undefined])[] = [
    ['candidates', candidates?.join(',')], ['carried', carried], ['step-kw', stepKw], ['wanted', wanted],
    ['cover-percent', coverPercent], ['seed', seed], ['starts', starts], ['seconds', seconds],
  ];
  const words = given.flatMap(([name, value]) => (value === undefined ? [] : [`--${name} ${quoted(String(value))}`]));
  return ['slotcast label', quoted(file), ...words].join(' ');
}

/** As a shell takes it. */
function quoted(word: string): string {
  return /^[\w.,/:+-]+$/.test(word) ? word : `'${word.replaceAll("'", "'\\''")}'`;
}

/** The lowest of the sample, replayed and explained. */
function lowestDrawn(study: Study, lowest: readonly ScenarioSummary[]): ExplainedPlacement[] {
  return lowest.map(({ index }, k) => {
    const replay = replayScenario(study, index);
    const heading = `${['Lowest', 'Second lowest', 'Third lowest'][k]} of the sample, scenario ${index}`;
    return { heading, replay, explanation: explainWorst(study, replay) };
  });
}

/** The worst placement found as a replay, just below its rated power, in the state that binds. */
function worstReplay({ rack }: Study, { scenario, rated }: WorstFound): Replay {
  const power = Math.max(1, rated.power * (1 - 1e-6));
  return { scenario, rated, unitsLeftOut: 0, solutions: [new RackModel(rack).solutionAt(scenario, power, rated.state)] };
}
