/** The label decision as a whole: both sides of the worst placement and a study, under each rule, and what follows. */
import type { Study, StudyInput } from '../rack/index.js';
import { replayScenario, runStudy, scenarioRecord, type StudyRun, summarise, type Summary, TooManyNotRated } from '../study/index.js';
import {
  answerRules, explainWorst, mildestRules, type RuleAnswer, type ToleranceRanges, type WorstFound, type WorstOptions,
} from '../worst/index.js';
import type { LabelBasis } from './labelBasis.js';
import { type LabelDocument, labelDocument } from './labelDocument.js';
import { labelJson } from './labelJson.js';
import { type LabelSample, labelSample } from './labelSample.js';
import { DEFAULT_LABEL_STEP, labelTable } from './labelTable.js';
import { excessFinder } from './limitExcess.js';
import { recommendLabel } from './recommendLabel.js';
import { type RuleCase, ruleTable } from './ruleTable.js';
import { strandedPower } from './strandedPower.js';

/** The share that the second recommendation has to carry where none is asked for, per cent. */
const CARRIED = 99;

/** Times `seconds` that the search for the mildest rules may take: it bounds a rule after the other. */
const MILDEST_TIMES = 2;

export interface DecideOptions extends Omit<WorstOptions, 'atLeast'> {
  /** Worker threads of the studies; default 1. */
  readonly workers?: number;
  /** Candidate labels, kW, ascending; left out: chosen. */
  readonly candidatesKw?: readonly number[];
  /** Share that the second recommendation has to carry, per cent; default 99. */
  readonly carriedPercent?: number;
  /** kW, labels are whole numbers of it; default 1. */
  readonly stepKw?: number;
  /** kW: a label for which the mildest rules are sought. */
  readonly wantedKw?: number;
  /** For the document: the command that was typed. */
  readonly command?: string;
  /** Called before the study under each set of rules, with its name. */
  readonly onStudy?: (rules: string) => void;
}

export interface LabelDecision {
  /** Content of label.json. */
  readonly document: LabelDocument;
  /** The sample of the study without a further rule. */
  readonly sample: LabelSample;
  readonly summary: Summary;
  readonly worstFound: WorstFound;
}

/**
 * Searches, bounds and samples a study, without and with each of its candidate rules, and decides which label holds.
 * Without `seconds` the answer does not depend on the machine.
 *
 * @throws as `answerRules`, `runStudy` and `summarise`; RangeError for candidates that do not ascend
 */
export async function decideLabel(
  study: Study, inputs: readonly StudyInput[], ranges: ToleranceRanges, options: DecideOptions,
): Promise<LabelDecision> {
  const { workers = 1, candidatesKw, carriedPercent = CARRIED, wantedKw, command, onStudy, now } = options;
  const { seed, starts, seconds } = options;
  const step = options.stepKw === undefined ? DEFAULT_LABEL_STEP : 1e3 * options.stepKw;
  const answers = answerRules(study, ranges, options);
  const [{ answer }] = answers;
  if (answer === null) throw new Error('the study as it is has an answer');
  const { run, cases, summary } = await studies(answers, inputs, workers, onStudy);
  const sample = labelSample(run);
  const table = labelTable({
    sample, floor: answer.floor, worstFound: answer.found, percentiles: study.percentiles, step,
    excessAt: excessFinder(study.rack), scenarioAt: (index) => replayScenario(study, index).scenario,
    ...(candidatesKw === undefined ? {} : { labels: candidatesKw.map((kw) => 1e3 * kw) }),
  });
  const bases: LabelBasis[] = [
    { kind: 'every-placement' },
    { kind: 'share', carriedPercent, confidencePercent: 100 * study.confidence },
  ];
  const json = labelJson({
    table, recommendations: bases.map((basis) => recommendLabel(table, basis)),
    stranded: bases.map((basis) => strandedPower({ table, basis })), rules: ruleTable(cases, step),
  });
  const mildest = wantedKw === undefined ? null : mildestRules(study, ranges, 1e3 * wantedKw, {
    proven: answer.floor.power, now, ...(seconds === undefined ? {} : { seconds: MILDEST_TIMES * seconds }),
  });
  const document = labelDocument(json, {
    study, inputs, command: command ?? null, search: { seed, starts, seconds: seconds ?? null }, answers,
    explanation: explainWorst(study, answer.found), placement: scenarioRecord(answer.found.scenario),
    wantedKw: wantedKw ?? null, mildest,
  });
  return { document, sample, summary, worstFound: answer.found };
}

/** A study under each set of rules that leaves a placement, the first without a further one. */
async function studies(
  answers: readonly RuleAnswer[], inputs: readonly StudyInput[], workers: number, onStudy?: (rules: string) => void,
): Promise<{ readonly run: StudyRun; readonly cases: readonly RuleCase[]; readonly summary: Summary }> {
  const cases: RuleCase[] = [];
  let plain: { run: StudyRun; summary: Summary } | null = null;
  for (const { name, rules, study, answer } of answers) {
    if (answer === null) continue;
    onStudy?.(name);
    const run = await runStudy(study, { workers });
    const summary = summarise(run, inputs);
    // A label on scenarios of which too many failed would be worth nothing.
    if (summary.notRated.isTooMany) throw new TooManyNotRated(summary.notRated);
    plain ??= { run, summary };
    cases.push({ rules, floor: answer.floor, worstFound: answer.found, percentiles: summary.percentiles });
  }
  if (plain === null) throw new Error('the study as it is has run');
  return { ...plain, cases };
}
