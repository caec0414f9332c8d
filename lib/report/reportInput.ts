import type { LabelDocument, LabelSample } from '../label/index.js';
import type { Study } from '../rack/index.js';
import { replayPlacement, replayScenario, type ReplayTools, replayTools, scenarioOfRecord, type Summary } from '../study/index.js';
import { explainTools, explainWorst } from '../worst/index.js';
import type { ExplainedPlacement } from './explainedPlacement.js';
import type { ReportInput } from './input.js';

/** How many of the lowest scenarios a report explains beside the worst found. */
const EXPLAINED = 3;

export interface ReportParts {
  readonly study: Study;
  readonly summary: Summary;
  readonly sample: LabelSample;
  /** As in label.json; left out where no label was decided yet. */
  readonly label?: LabelDocument;
}

/**
 * Puts a report's content together: replays and explains the lowest placements, the median and the worst found.
 * @throws the errors of `replayScenario`, and InputError where a placement of the label names equipment unknown here
 */
export function reportInput({ study, summary, sample, label }: ReportParts): ReportInput {
  const tools = replayTools(study);
  return {
    summary, sample, rack: study.rack, draws: tools.source.describe(),
    lowest: explainLowest(study, summary, tools),
    median: replayScenario(study, summary.median.index, tools),
    ...(label === undefined ? {} : { label: { document: label, worst: explainFound(study, label) } }),
  };
}

/** The lowest of the sample, replayed and explained. */
export function explainLowest(
  study: Study, { worst }: Pick<Summary, 'worst'>, tools: ReplayTools = replayTools(study),
): ExplainedPlacement[] {
  const explaining = explainTools(study, tools.model);
  return worst.slice(0, EXPLAINED).map(({ index }, k) => {
    const replay = replayScenario(study, index, tools);
    const heading = `${['Lowest', 'Second lowest', 'Third lowest'][k]} of the sample, scenario ${index}`;
    return { heading, replay, explanation: explainWorst(study, replay, explaining) };
  });
}

/** The worst placement that a label decision found. */
export function explainFound(study: Study, { worstFound }: LabelDocument): ExplainedPlacement {
  const { kind, explanation, placement } = worstFound;
  const replay = replayPlacement(study, { scenario: scenarioOfRecord(placement, study), unitsLeftOut: 0 });
  return { heading: `Worst found (${kind})`, replay, explanation };
}
