import { join } from 'node:path';
import { loadStudy, type Rack, type Study, type StudyInput } from '../../lib/rack/index.js';
import { type LabelSample, labelSample } from '../../lib/label/index.js';
import { type ExplainedPlacement, explainLowest } from '../../lib/report/index.js';
import {
  type Replay, replayScenario, runStudy, sortedRatedPowers, summarise, type Summary,
} from '../../lib/study/index.js';

/** A study that has been run, with all that figures and reports are made of. */
export interface StudiedRack {
  readonly study: Study;
  readonly inputs: readonly StudyInput[];
  readonly summary: Summary;
  readonly sortedRatedKw: readonly number[];
  readonly sample: LabelSample;
  /** The lowest of the sample, explained; `worst` is the replay of the first. */
  readonly lowest: readonly ExplainedPlacement[];
  readonly worst: Replay;
  readonly median: Replay;
  readonly rack: Rack;
}

const FEW = 400;

/** A demonstration study of a few scenarios, changed before it runs. */
export async function studiedRack(
  name: 'deep-bar-anywhere' | 'plain-bar-even' | 'deep-bar-inventory', change: (study: Study) => Study = (study) => study,
): Promise<StudiedRack> {
  const loaded = loadStudy(join(__dirname, '..', '..', 'data-demo', `${name}.json`));
  const study = change({ ...loaded.study, scenarios: FEW, stopping: null });
  const run = await runStudy(study, { workers: 1 });
  const summary = summarise(run, loaded.inputs);
  const lowest = explainLowest(study, summary);
  return {
    study,
    sample: labelSample(run),
    lowest,
    inputs: loaded.inputs,
    summary,
    sortedRatedKw: Array.from(sortedRatedPowers(run.table, run.scenarios), (watts) => watts / 1e3),
    worst: lowest[0].replay,
    median: replayScenario(study, summary.median.index),
    rack: study.rack,
  };
}

/** No limit but that of the bar's temperature, K. */
export function onlyBarTemperature(study: Study, barTemperature: number): Study {
  const limits = {
    barRise: Number.POSITIVE_INFINITY, barTemperature, contactTemperature: Number.POSITIVE_INFINITY,
    loadContactCurrent: Number.POSITIVE_INFINITY, lowestLoadVoltage: Number.NEGATIVE_INFINITY,
  };
  const sources = study.catalogue.sources.map((source) => ({
    ...source, maxCurrent: Number.POSITIVE_INFINITY, maxPower: Number.POSITIVE_INFINITY,
  }));
  return { ...study, catalogue: { ...study.catalogue, sources }, rack: { ...study.rack, limits } };
}
