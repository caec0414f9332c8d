import type { RuleFile } from '../schema/ruleSchema.js';
import type { Rule, UnitSelector } from '../studyModel.js';
import { describeValue, type ProblemLog } from '../text/problemLog.js';
import { listWords, suggestion } from '../text/spelling.js';
import { fromKw } from '../text/units.js';
import { logBand } from './bands.js';
import type { StudyInputs } from './inputs.js';

function toModel(file: RuleFile): Rule {
  switch (file.rule) {
    case 'max-power-per-slot':
      return { rule: file.rule, power: fromKw(file.powerKw) };
    case 'max-power-in-band':
      return { rule: file.rule, fromSlot: file.fromSlot, toSlot: file.toSlot, power: fromKw(file.powerKw) };
    default:
      return file;
  }
}

/** The rules in SI; unknown ids and bands outside the rack go to the log. */
export function readRules(
  files: readonly RuleFile[], { catalogue, rack }: StudyInputs, log: ProblemLog, where = 'rules',
): Rule[] {
  const ids = catalogue === null ? null : [...catalogue.sources, ...catalogue.loads].map(({ id }) => id);
  const checkSelector = (selector: UnitSelector, path: string): void => {
    if (typeof selector === 'object' && ids !== null && !ids.includes(selector.id)) {
      log.add(`${path}.id`, describeValue(selector.id),
        `${suggestion(selector.id, ids)}give the id of a source or load of the catalogue: ${listWords(ids)}`);
    }
  };
  return files.map((file, index) => {
    const path = `${where}[${index}]`;
    if ('units' in file) {
      checkSelector(file.units, `${path}.units`);
    }
    if ('neighbours' in file) {
      checkSelector(file.neighbours, `${path}.neighbours`);
    }
    if ('fromSlot' in file) {
      logBand(file, path, rack?.slotCount ?? null, log);
    }
    return toModel(file);
  });
}
