import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { scenarioSource } from '../draw/index.js';
import {
  excessFinder, type LabelBasis, type LabelJson, labelJson, labelSample, labelTable, recommendLabel,
  type RuleCase, ruleTable, strandedPower,
} from '../label/index.js';
import { RackModel } from '../ladder/index.js';
import { InputError, loadStudy, type Study } from '../rack/index.js';
import { labelPage } from '../report/index.js';
import { type Replay, replayScenario, runStudy, summarise, writeFileWhole } from '../study/index.js';
import { answerRules, explainWorst, mildestRules, toleranceRanges, type WorstFound } from '../worst/index.js';
import { EXIT } from './exitCodes.js';
import type { Screen } from './program.js';
import { defaultFolder, openFolder } from './resultFolder.js';
import { plainText, textTable } from './textTable.js';
import type { WorstCommandOptions } from './worstCommand.js';

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
  const { study, inputs } = loadStudy(file);
  scenarioSource(study);
  const folder = options.out ?? `${defaultFolder(file)}-label`;
  refuseHeld(folder, options.replace);
  const ranges = toleranceRanges(study, options.coverPercent ?? null);
  const tell = (words: string) => {
    if (!options.quiet) screen.err(words);
  };
  const answers = answerRules(study, ranges, {
    seed: options.seed, starts: options.starts, seconds: options.seconds, now: () => performance.now(),
    onSearch: (start, starts, lowest) => tell(`search: start ${start} of ${starts}, lowest ${(lowest / 1e3).toFixed(1)} kW`),
    onFloor: (floor, open) => tell(`floor: ${(floor / 1e3).toFixed(1)} kW proven, ${open} classes open`),
  });
  const cases: RuleCase[] = [];
  const percentilesOf = async (ruled: Study) => summarise(
    await runStudy(ruled, { workers: options.workers }), inputs, new Date()).percentiles;
  for (const { name, rules, study: ruled, answer, impossible } of answers) {
    if (answer === null) {
      tell(`${name}: ${impossible}`);
      continue;
    }
    tell(`study: ${name}`);
    cases.push({ rules, floor: answer.floor, worstFound: answer.found, percentiles: await percentilesOf(ruled) });
  }
  const [{ answer }] = answers;
  if (answer === null) throw new Error('the study as it is has an answer');
  const run = await runStudy(study, { workers: options.workers });
  const step = 1e3 * options.stepKw;
  const table = labelTable({
    sample: labelSample(run), floor: answer.floor, worstFound: answer.found, percentiles: study.percentiles, step,
    excessAt: excessFinder(study.rack), scenarioAt: (index) => replayScenario(study, index).scenario,
    ...(options.candidates === undefined ? {} : { labels: options.candidates.map((kw) => 1e3 * kw) }),
  });
  const bases: LabelBasis[] = [
    { kind: 'every-placement' },
    { kind: 'share', carriedPercent: options.carried ?? 99, confidencePercent: 100 * study.confidence },
  ];
  const json = labelJson({
    table, recommendations: bases.map((basis) => recommendLabel(table, basis)),
    stranded: bases.map((basis) => strandedPower({ table, basis })), rules: ruleTable(cases, step),
  });
  const explanation = explainWorst(study, answer.found);
  const mildest = options.wanted === undefined ? null
    : mildestRules(study, ranges, 1e3 * options.wanted, {
      seconds: 2 * options.seconds, proven: answer.floor.power, now: () => performance.now(),
    });
  openFolder(folder);
  refuseHeld(folder, options.replace);
  const command = `slotcast label ${file} --seed ${options.seed} --starts ${options.starts} --seconds ${options.seconds}`
    + (options.coverPercent === undefined ? '' : ` --cover-percent ${options.coverPercent}`);
  writeFileWhole(join(folder, 'label.html'), labelPage({
    study: study.name, rack: study.rack, table, json, explanation, command, worst: worstReplay(study, answer.found),
  }));
  writeFileWhole(join(folder, 'label.json'), [`${JSON.stringify({ ...json, explanation, mildest }, null, 2)}\n`]);
  screen.out(options.json ? JSON.stringify({ ...json, explanation, mildest }, null, 2)
    : labelText(study, json, explanation, mildest === null ? null : `For ${options.wanted} kW: ${mildest.words}`));
  tell(`\nlabel.json and label.html are in ${folder}`);
  return EXIT.ok;
}

/** The worst placement found as a replay, just below its rated power, in the state that binds. */
function worstReplay({ rack }: Study, { scenario, rated }: WorstFound): Replay {
  const power = Math.max(1, rated.power * (1 - 1e-6));
  return { scenario, rated, unitsLeftOut: 0, solutions: [new RackModel(rack).solutionAt(scenario, power, rated.state)] };
}

function refuseHeld(folder: string, replace: boolean): void {
  const held = LABEL_FILES.filter((name) => existsSync(join(folder, name)));
  if (held.length === 0 || replace) return;
  throw new InputError([{
    file: '--out', path: '', found: `${held.join(', ')} in ${folder}`,
    allowed: 'name another folder, or say --replace to write over these results',
  }]);
}

const kw = (value: number | null) => (value === null ? '' : value.toFixed(1));
const percent = (value: number | null) => (value === null ? '' : `${Number(value.toPrecision(3))}%`);

export function labelText(study: Study, json: LabelJson, explanation: string, wanted: string | null): string {
  return [
    `Label decision for study "${plainText(study.name)}" of rack "${plainText(study.rack.name)}"`,
    '',
    ...json.recommendations.map(({ words }) => words),
    '',
    `${json.percentileNote} ${json.boundNote}`,
    textTable(
      ['label kW', 'carry it', 'do not', 'at most', 'verdict', 'worst found would exceed'],
      json.labels.map((row) => [
        String(row.labelKw), percent(row.carryingPercent), percent(row.notCarryingPercent), percent(row.notCarryingUpperPercent),
        row.verdict, row.worstFoundExcess === null ? '' : row.worstFoundExcess.words,
      ]),
    ),
    '',
    `The worst placement found: ${explanation}`,
    ...(json.rules.length > 1 ? ['', 'What rules buy, kW', rulesTable(json)] : []),
    ...(wanted === null ? [] : ['', wanted]),
    '',
    ...json.strandedPower.map(({ words }) => words),
    '',
    json.caution,
  ].join('\n');
}

function rulesTable(json: LabelJson): string {
  const percentiles = json.rules[0].percentiles.map(({ percent: p }) => `${p}%`);
  return textTable(
    ['rule', 'floor', 'worst found', 'gap %', ...percentiles, 'label', 'buys'],
    json.rules.map((row) => [
      plainText(row.rule), kw(row.floorKw), kw(row.worstFoundKw), kw(row.gapPercent),
      ...row.percentiles.map(({ ratedKw }) => kw(ratedKw)), kw(row.labelKw), kw(row.buysLabelKw),
    ]),
  );
}
