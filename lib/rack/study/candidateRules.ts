import type { StudyFile } from '../schema/studySchema.js';
import type { CandidateRules } from '../studyModel.js';
import { describeValue, type ProblemLog } from '../text/problemLog.js';
import type { StudyInputs } from './inputs.js';
import { readRules } from './rules.js';

/** Candidate rules in SI, checked as the study's own are; a name given twice goes to the log, as tables go by it. */
export function readCandidateRules(
  candidates: StudyFile['candidateRules'], inputs: StudyInputs, log: ProblemLog,
): CandidateRules[] {
  const names = candidates.map(({ name }) => name);
  return candidates.map(({ name, rules }, index) => {
    const path = `candidateRules[${index}]`;
    if (names.indexOf(name) < index) {
      log.add(`${path}.name`, `${describeValue(name)} a second time`, 'give each name once');
    }
    return { name, rules: readRules(rules, inputs, log, `${path}.rules`) };
  });
}
