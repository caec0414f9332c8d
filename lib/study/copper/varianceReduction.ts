/** What rating designs on the same scenarios gains over rating each on scenarios of its own, measured. */
import type { Study } from '../../rack/studyModel.js';
import { quantileSorted } from '../../statistics/index.js';
import type { CopperDesign } from './copperDesigns.js';
import { rateDesign } from './rateDesign.js';
import { ScenarioSet } from './scenarioSet.js';

export interface VarianceReduction {
  /** W²: variance over the runs of the difference of the percentile to the base, on common scenarios. */
  readonly common: number;
  /** W²: variance of the difference between independent runs: the sum of both variances. */
  readonly independent: number;
  /** independent / common; null where the difference does not vary at all. */
  readonly factor: number | null;
}

export interface VarianceOptions {
  /** Fraction 0..1. */
  readonly percentile: number;
  readonly scenarios: number;
  /** Runs with seeds of their own, 2 or more. */
  readonly runs: number;
  readonly onScenario?: () => void;
}

/**
 * Runs the whole comparison again and again, each time with a seed of its own. Between independent runs the covariance is
 * zero, so that their difference has the sum of both variances; on common scenarios it has what is left.
 * @returns one for each design
 */
export function varianceReduction(
  study: Study, designs: readonly CopperDesign[], { percentile, scenarios, runs, onScenario }: VarianceOptions,
): VarianceReduction[] {
  if (!Number.isInteger(runs) || runs < 2) throw new RangeError(`${runs} runs: a whole number from 2 is needed`);
  const racks = [study.rack, ...designs.map(({ rack }) => rack)];
  const found: number[][] = racks.map(() => []);
  for (let run = 0; run < runs; run++) {
    const set = new ScenarioSet({ ...study, seed: `${study.seed} / run ${run + 1}` }, scenarios);
    racks.forEach((rack, k) => {
      const { powers } = rateDesign(rack, set, onScenario);
      found[k].push(quantileSorted(powers.sort(), percentile, study.percentileDefinition));
    });
  }
  const [base, ...others] = found;
  return others.map((own) => {
    const common = variance(own.map((power, run) => power - base[run]));
    const independent = variance(own) + variance(base);
    return { common, independent, factor: common > 0 ? independent / common : null };
  });
}

function variance(values: readonly number[]): number {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1);
}
