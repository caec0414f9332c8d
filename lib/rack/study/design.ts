import type { StudyFile } from '../schema/studySchema.js';
import type { Stopping } from '../studyModel.js';
import type { ProblemLog } from '../text/problemLog.js';
import { fromKw, fromPercent } from '../text/units.js';

/** Whole hypercubes only: part of one is no Latin hypercube. */
export function logDesign({ sampling, scenarios, stop }: Partial<StudyFile>, log: ProblemLog): void {
  if (stop !== undefined && scenarios !== undefined && stop.lookEvery > scenarios) {
    log.add('stop.lookEvery', String(stop.lookEvery), `give at most the number of scenarios (${scenarios})`);
  }
  if (sampling === undefined || sampling.design !== 'latin-hypercube') {
    return;
  }
  const { size } = sampling;
  if (scenarios !== undefined && scenarios % size !== 0) {
    log.add('scenarios', String(scenarios), `give a multiple of ${size}, the size of one Latin hypercube`);
  }
  if (stop !== undefined && stop.lookEvery % size !== 0) {
    log.add('stop.lookEvery', String(stop.lookEvery), `give a multiple of ${size}, the size of one Latin hypercube`);
  }
}

/** Percentiles as fractions in rising order; a repeated one goes to the log. */
export function readPercentiles(percents: readonly number[], log: ProblemLog): number[] {
  percents.forEach((percent, index) => {
    if (percents.indexOf(percent) < index) {
      log.add(`percentilesPercent[${index}]`, `${percent} a second time`, 'name each percentile once');
    }
  });
  return percents.map(fromPercent).sort((a, b) => a - b);
}

export function readStopping(file: StudyFile['stop']): Stopping | null {
  return file === undefined ? null : {
    percentile: fromPercent(file.percentilePercent),
    halfWidth: fromKw(file.halfWidthKw),
    lookEvery: file.lookEvery,
  };
}
