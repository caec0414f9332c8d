import { ruleInWords } from '../draw/index.js';
import type { Study, StudyInput } from '../rack/index.js';
import { LIBRARY_VERSION, type ScenarioRecord } from '../study/index.js';
import type { MildestRules, RuleAnswer } from '../worst/index.js';
import type { LabelJson } from './labelJson.js';

/** What a label decision adds to the numbers: where they come from. Powers in kW, time in s. */
export interface LabelContext {
  readonly study: Study;
  readonly inputs: readonly StudyInput[];
  /** As typed; null where the decision was made from code. */
  readonly command: string | null;
  readonly search: { readonly seed: string; readonly starts: number; readonly seconds: number | null };
  readonly answers: readonly RuleAnswer[];
  readonly explanation: string;
  /** The worst placement found. */
  readonly placement: ScenarioRecord;
  readonly wantedKw: number | null;
  readonly mildest: MildestRules | null;
}

export type LabelDocument = ReturnType<typeof labelDocument>;

/** Content of label.json as a file: the decision with study, inputs, seeds, version and the worst placement found. */
export function labelDocument(json: LabelJson, context: LabelContext) {
  const { study, inputs, command, search, answers, explanation, placement, wantedKw, mildest } = context;
  const { format, ...decision } = json;
  // The table has a row for each set of rules that leaves a placement, in the same order.
  const possible = answers.filter(({ answer }) => answer !== null);
  return {
    format,
    library: { name: 'slotcast', version: LIBRARY_VERSION, node: process.version },
    study: { name: study.name, seed: study.seed, scenariosPlanned: study.scenarios },
    rack: { name: study.rack.name, slotCount: study.rack.slotCount },
    inputs,
    command,
    search,
    ...decision,
    worstFound: { ...decision.worstFound, explanation, placement },
    rules: json.rules.map((row, k) => ({ name: possible[k].name, ...row })),
    impossibleRules: answers.flatMap(({ name, impossible: reason }) => (reason === null ? [] : [{ name, reason }])),
    mildestRules: mildest === null || wantedKw === null ? null : {
      wantedKw,
      words: mildest.words,
      rules: mildest.rules === null ? null : mildest.rules.map(ruleInWords),
      floorKw: Math.floor(mildest.floor * 1e3) / 1e6,
    },
  };
}
