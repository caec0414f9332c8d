import type { UncertainFile } from '../schema/distributionSchema.js';
import { type CorrelationFile, modelQuantity, SCENARIO_KEYS } from '../schema/studySchema.js';
import type { Correlation, Distribution, ScenarioQuantity, Uncertain } from '../studyModel.js';
import type { ProblemLog } from '../text/problemLog.js';
import { readDistribution } from './distribution.js';
import type { StudyInputs } from './inputs.js';
import { QUANTITIES } from './quantities.js';

/** The uncertain quantities in SI; problems go to the log. */
export function readUncertain(file: Partial<UncertainFile>, inputs: StudyInputs, log: ProblemLog): Uncertain {
  const read = new Map<string, Distribution>();
  for (const quantity of QUANTITIES) {
    const distribution = file[quantity.key];
    const model = distribution && readDistribution(distribution, `uncertain.${quantity.key}`, quantity, inputs, log);
    if (model) {
      read.set(quantity.key, model);
    }
  }
  const perScenario: Partial<Record<ScenarioQuantity, Distribution>> = {};
  for (const key of SCENARIO_KEYS) {
    const distribution = read.get(key);
    if (distribution !== undefined) {
      perScenario[modelQuantity(key)] = distribution;
    }
  }
  return {
    perScenario,
    sourceContact: read.get('sourceContactMicroOhm') ?? null,
    loadContact: read.get('loadContactMicroOhm') ?? null,
    sharingWeight: read.get('sharingWeight') ?? null,
  };
}

/**
 * The correlations; problems go to the log. Whether all of them can hold together is found where they are used.
 *
 * @param uncertain what "uncertain" holds; null where it has problems of its own.
 */
export function readCorrelations(
  files: readonly CorrelationFile[], uncertain: Partial<UncertainFile> | null, log: ProblemLog,
): Correlation[] {
  const pairs = files.map(({ between }) => [...between].sort().join(' and '));
  return files.map(({ between, rank }, index) => {
    const path = `correlations[${index}].between`;
    const fixedOrAbsent = (key: keyof UncertainFile): boolean => {
      const distribution = uncertain?.[key]?.distribution;
      return uncertain !== null && (distribution === undefined || distribution === 'fixed');
    };
    if (between[0] === between[1]) {
      log.add(path, `"${between[0]}" twice`, 'give two different quantities');
    } else if (pairs.indexOf(pairs[index]) < index) {
      log.add(path, pairs[index], `give each pair once: correlations[${pairs.indexOf(pairs[index])}] has it already`);
    } else {
      between.forEach((key, side) => {
        if (fixedOrAbsent(key)) {
          log.add(`${path}[${side}]`, `"${key}", which does not vary`,
            `give it a distribution other than "fixed" under "uncertain", or leave the correlation out`);
        }
      });
    }
    return { between: [modelQuantity(between[0]), modelQuantity(between[1])], rank };
  });
}
