import { ascendingPowers } from '../label/ascendingPowers.js';
import type { LabelDocument, LabelSample } from '../label/index.js';
import type { Rack } from '../rack/index.js';
import type { Replay, Summary } from '../study/index.js';
import type { ExplainedPlacement } from './explainedPlacement.js';

/** Everything a report is made of; `reportInput` puts it together. */
export interface ReportInput {
  readonly summary: Summary;
  /** The scenarios' rated powers in the order drawn. */
  readonly sample: LabelSample;
  /** The lowest placements of the sample, `summary.worst[0]` first; at least that one. */
  readonly lowest: readonly ExplainedPlacement[];
  /** Replay of `summary.median`. */
  readonly median: Replay;
  readonly rack: Rack;
  /** What was drawn, one line each, as `scenarioSource(study).describe()` says it. */
  readonly draws?: readonly string[];
  /** The label decision with search and floor; left out where there is none yet. */
  readonly label?: ReportLabel;
}

/** A label decision and the worst placement that it found. */
export interface ReportLabel {
  readonly document: LabelDocument;
  readonly worst: ExplainedPlacement;
}

/** Parts of a report that do not belong together. Nothing has been written. */
export class ReportInputError extends Error {
  constructor(readonly part: string, found: string, readonly allowed: string) {
    super(`${part}: found ${found}; ${allowed}`);
    this.name = 'ReportInputError';
  }
}

/** Largest difference between a sample and its summary, kW: the summary is rounded to milliwatts. */
const ROUNDING_KW = 1e-6;

/** Rated powers of the scenarios that could be rated, kW, ascending. */
export function sortedRatedKw(sample: LabelSample): Float64Array {
  const { limit } = sample;
  let notRated = 0;
  for (let i = 0; i < limit.length; i++) if (limit[i] === null) notRated++;
  // They carry nothing, and so come first.
  return ascendingPowers(sample).subarray(notRated).map((power) => power / 1e3);
}

/** How many rated powers there are, the lowest and the highest, kW. */
function ratedRange({ ratedPower, limit }: LabelSample): { count: number; lowest: number; highest: number } {
  let count = 0;
  let lowest = Number.POSITIVE_INFINITY;
  let highest = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < ratedPower.length; i++) {
    if (limit[i] === null) continue;
    count++;
    lowest = Math.min(lowest, ratedPower[i] / 1e3);
    highest = Math.max(highest, ratedPower[i] / 1e3);
  }
  return { count, lowest, highest };
}

/** @throws ReportInputError where the parts stem from different studies */
export function checkInput({ summary, sample, lowest, median, rack, label }: ReportInput): void {
  const { study, lowestKw, highestKw } = summary;
  if (sample.ratedPower.length !== study.scenariosRun) {
    throw new ReportInputError('sample', `${sample.ratedPower.length} scenarios`,
      `give the ${study.scenariosRun} scenarios of the summary's study`);
  }
  const { count, lowest: least, highest: most } = ratedRange(sample);
  if (count !== study.scenariosRated) {
    throw new ReportInputError('sample', `${count} rated powers`,
      `give the ${study.scenariosRated} rated powers of the summary's study`);
  }
  for (const [name, found, expected] of [['lowest', least, lowestKw], ['highest', most, highestKw]] as const) {
    if (!(Math.abs(found - expected) <= ROUNDING_KW)) {
      throw new ReportInputError('sample', `${found} kW as the ${name} rated power`,
        `give the powers of the same study in W; the summary says ${expected} kW`);
    }
  }
  const replays = [['lowest[0]', lowest[0]?.replay, summary.worst[0]], ['median', median, summary.median]] as const;
  for (const [name, replay, expected] of replays) {
    const found = replay === undefined ? 'nothing' : `scenario ${replay.scenario.index} rated at ${replay.rated.power / 1e3} kW`;
    const same = replay !== undefined && replay.scenario.index === expected.index
      && Math.abs(replay.rated.power / 1e3 - expected.ratedKw) <= ROUNDING_KW;
    if (!same) {
      throw new ReportInputError(name, found,
        `give the replay of scenario ${expected.index}, rated at ${expected.ratedKw} kW, from the same study`);
    }
  }
  if (rack.name !== summary.rack.name || rack.slotCount !== summary.rack.slotCount) {
    throw new ReportInputError('rack', `"${rack.name}" with ${rack.slotCount} slots`,
      `give the rack of the study, "${summary.rack.name}" with ${summary.rack.slotCount} slots`);
  }
  if (label !== undefined) checkLabel(label, summary);
}

function checkLabel({ document }: ReportLabel, { inputs, study }: Summary): void {
  const hashes = (files: Summary['inputs']) => files.map(({ sha256 }) => sha256).join(' ');
  if (hashes(document.inputs) !== hashes(inputs)) {
    throw new ReportInputError('label', 'a decision made from other input files (their hashes differ)',
      'decide the label again from the files of this study');
  }
  if (document.study.seed !== study.seed || document.study.scenariosPlanned !== study.scenariosPlanned) {
    throw new ReportInputError('label',
      `a decision for seed ${document.study.seed} and ${document.study.scenariosPlanned} scenarios`,
      `give one for seed ${study.seed} and ${study.scenariosPlanned} scenarios, or run the study as its file says`);
  }
}
