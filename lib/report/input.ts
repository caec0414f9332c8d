import type { Rack } from '../rack/index.js';
import type { Replay, Summary } from '../study/index.js';

/** Everything a report is made of. */
export interface ReportInput {
  readonly summary: Summary;
  /** Rated powers, kW, ascending, [rated scenario]. */
  readonly sortedRatedKw: ArrayLike<number>;
  /** Replay of `summary.worst[0]`. */
  readonly worst: Replay;
  /** Replay of `summary.median`. */
  readonly median: Replay;
  readonly rack: Rack;
  /** What was drawn, one line each, as `scenarioSource(study).describe()` says it. */
  readonly draws?: readonly string[];
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

/** @throws ReportInputError where the parts stem from different studies */
export function checkInput({ summary, sortedRatedKw: sorted, worst, median, rack }: ReportInput): void {
  const { study, lowestKw, highestKw } = summary;
  if (sorted.length !== study.scenariosRated) {
    throw new ReportInputError('sortedRatedKw', `${sorted.length} values`,
      `give the ${study.scenariosRated} rated powers of the summary's study`);
  }
  for (const [name, at, expected] of [['first', 0, lowestKw], ['last', sorted.length - 1, highestKw]] as const) {
    if (!(Math.abs(sorted[at] - expected) <= ROUNDING_KW)) {
      throw new ReportInputError('sortedRatedKw', `${sorted[at]} kW as the ${name} value`,
        `give rated powers in kW, ascending; the summary says ${expected} kW`);
    }
  }
  for (let i = 1; i < sorted.length; i++) {
    if (!(sorted[i] >= sorted[i - 1])) {
      throw new ReportInputError(
        `sortedRatedKw[${i}]`, `${sorted[i]} after ${sorted[i - 1]}`, 'give rated powers in ascending order');
    }
  }
  const replays = [['worst', worst, summary.worst[0]], ['median', median, summary.median]] as const;
  for (const [name, replay, expected] of replays) {
    const { scenario, rated } = replay;
    if (scenario.index !== expected.index || !(Math.abs(rated.power / 1e3 - expected.ratedKw) <= ROUNDING_KW)) {
      throw new ReportInputError(name, `scenario ${scenario.index} rated at ${rated.power / 1e3} kW`,
        `give the replay of scenario ${expected.index}, rated at ${expected.ratedKw} kW, from the same study`);
    }
  }
  if (rack.name !== summary.rack.name || rack.slotCount !== summary.rack.slotCount) {
    throw new ReportInputError('rack', `"${rack.name}" with ${rack.slotCount} slots`,
      `give the rack of the study, "${summary.rack.name}" with ${summary.rack.slotCount} slots`);
  }
}
