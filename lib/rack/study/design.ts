import type { StudyFile } from '../schema/studySchema.js';
import type { Sampling, Stopping } from '../studyModel.js';
import type { ProblemLog } from '../text/problemLog.js';
import { fromKw, fromPercent } from '../text/units.js';

/** Whole replicates only: part of one is not spread as the whole is. */
export function logDesign({ sampling, scenarios, stop }: Partial<StudyFile>, log: ProblemLog): void {
  if (stop !== undefined && scenarios !== undefined && stop.lookEvery > scenarios) {
    log.add('stop.lookEvery', String(stop.lookEvery), `give at most the number of scenarios (${scenarios})`);
  }
  if (sampling === undefined || sampling.design === 'plain') {
    return;
  }
  const { size, design } = sampling;
  if (design === 'sobol' && !Number.isInteger(Math.log2(size))) {
    log.add('sampling.size', String(size), 'give a power of two, e.g. 256');
  }
  const what = design === 'sobol' ? 'replicate of Sobol points' : 'Latin hypercube';
  if (scenarios !== undefined && scenarios % size !== 0) {
    log.add('scenarios', String(scenarios), `give a multiple of ${size}, the size of one ${what}`);
  }
  if (stop !== undefined) {
    log.add('stop', `a study of ${design} design that stops by itself`,
      'leave it out, or use plain sampling: the replicates of a design fix the size of a study beforehand');
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

export function readSampling(file: StudyFile['sampling']): Sampling {
  if (file.design === 'plain') return { design: 'plain' };
  const { design, size, stratifySources } = file;
  return stratifySources === true ? { design, size, stratifySources } : { design, size };
}
