/** Designs of one bar on the same scenarios: what each carries, weighs and costs, and how it differs from the base. */
import { randomStream } from '../../draw/index.js';
import { BASE_NAME, type BalanceData, type Rack } from '../../rack/index.js';
import { replicateSizeOf, type Study } from '../../rack/studyModel.js';
import {
  type PairedQuantile, pairedQuantile, quantileSorted, smallestSampleForQuantile,
} from '../../statistics/index.js';
import { type BarMass, barMass, barPrice } from './barMass.js';
import type { CopperDesign } from './copperDesigns.js';
import { paretoFront } from './paretoFront.js';
import { percentileOf, type RatedPercentile } from './percentileOf.js';
import { loadDesign, type RatedDesign, rateDesign } from './rateDesign.js';
import { ScenarioSet } from './scenarioSet.js';
import { leastAngle, type LeastAngle } from './leastAngle.js';
import { type VarianceReduction, varianceReduction } from './varianceReduction.js';

/** A power proven for every allowed placement, W. */
export interface ProvenFloor {
  readonly power: number;
  /** Whether more time would hardly raise it: only floors that are settled compare bars, and not how far proofs got. */
  readonly settled: boolean;
}

export interface CopperOptions {
  /** Fraction 0..1. */
  readonly percentile: number;
  /** Default: as the study says. */
  readonly scenarios?: number;
  /** W, at which drop and heat are stated. */
  readonly load: number;
  /** Of a kilogram, by material. */
  readonly prices?: ReadonlyMap<string, number>;
  /** Proves a floor for a study with a design's rack. */
  readonly floor?: (study: Study) => ProvenFloor;
  /** Runs that measure the worth of common scenarios. Default 0: not measured. */
  readonly varianceRuns?: number;
  readonly balance?: BalanceData;
  readonly onProgress?: (done: number, planned: number) => void;
}

export interface DesignAnswer {
  readonly name: string;
  readonly rack: Rack;
  readonly bar: BarMass;
  /** Null where a material has no price. */
  readonly price: number | null;
  readonly percentile: RatedPercentile;
  readonly notRated: number;
  /** Whether more scenarios stayed without a rated power than the study allows: nothing may be made of its powers. */
  readonly failed: boolean;
  readonly floor: ProvenFloor | null;
  /** V; `high` is the percentile as far from the upper end as the study's from the lower; null where nothing is solved. */
  readonly drop: { readonly high: number; readonly largest: number } | null;
  /** W, means over the scenarios; null where nothing is solved. */
  readonly heat: { readonly bar: number; readonly all: number } | null;
  readonly unsolved: number;
  /** Against the base; null for the base itself, for failed designs and where there are fewer than ten blocks. */
  readonly difference: PairedQuantile | null;
  readonly variance: VarianceReduction | null;
  readonly tipping: LeastAngle | null;
  /** Not beaten in `CopperAnswer.front` by another design. */
  readonly onFront: boolean;
}

export interface CopperAnswer {
  readonly study: Study;
  readonly percentile: number;
  readonly scenarios: number;
  readonly load: number;
  /** What the front weighs against each other. */
  readonly front: { readonly cost: 'mass' | 'price'; readonly worth: 'percentile' | 'floor' };
  /** The base first. */
  readonly designs: readonly DesignAnswer[];
}

/** Resamples of the bootstrap. */
const RESAMPLES = 2000;

/**
 * Rates the base and every design on the same scenarios.
 *
 * @throws RangeError where the percentile lies beyond the ends of so few scenarios, or the base itself fails
 */
export function copperStudy(study: Study, designs: readonly CopperDesign[], options: CopperOptions): CopperAnswer {
  const { percentile, load, floor, varianceRuns = 0 } = options;
  const scenarios = options.scenarios ?? study.scenarios;
  const least = smallestSampleForQuantile(percentile);
  if (!(scenarios >= least)) throw new RangeError(`${scenarios} scenarios: this percentile needs at least ${least}`);
  if (!(load > 0 && Number.isFinite(load))) throw new RangeError(`load ${load} W: above 0 is needed`);
  const all: readonly CopperDesign[] = [{ name: BASE_NAME, rack: study.rack }, ...designs];
  const planned = scenarios * all.length * (2 + varianceRuns);
  let done = 0;
  const onScenario = () => {
    if (++done % 250 === 0 || done === planned) options.onProgress?.(done, planned);
  };
  const set = new ScenarioSet(study, scenarios);
  const rated = all.map(({ rack }) => rateDesign(rack, set, onScenario));
  const mostFailed = study.mostNotRated * scenarios;
  if (rated[0].notRated > mostFailed) {
    throw new RangeError(`the base has ${rated[0].notRated} of ${scenarios} scenarios without a rated power, `
      + 'more than its study allows');
  }
  const variances = varianceRuns === 0 ? null
    : varianceReduction(study, designs, { percentile, scenarios, runs: varianceRuns, onScenario });
  const answers = all.map(({ name, rack }, k): DesignAnswer => {
    const { powers, notRated } = rated[k];
    const bar = barMass(rack);
    const failed = notRated > mostFailed;
    return {
      name, rack, bar, notRated, failed,
      price: options.prices === undefined ? null : barPrice(bar, options.prices),
      percentile: percentileOf(powers, percentile, study),
      floor: floor === undefined || failed ? null : floor({ ...study, rack }),
      ...atLoad(rack, set, load, 1 - percentile, onScenario),
      difference: k === 0 || failed ? null : differenceOf(rated[k], rated[0], percentile, study),
      variance: k === 0 || variances === null ? null : variances[k - 1],
      tipping: options.balance === undefined ? null : leastAngle(rack, set, options.balance),
      onFront: false,
    };
  });
  return { study, percentile, scenarios, load, ...withFront(answers) };
}

function atLoad(rack: Rack, set: ScenarioSet, load: number, high: number, onScenario: () => void) {
  const { drop, barHeat, heat, unsolved } = loadDesign(rack, set, load, onScenario);
  if (drop.length === 0) return { drop: null, heat: null, unsolved };
  const sorted = Float64Array.from(drop).sort();
  const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
  return {
    drop: { high: quantileSorted(sorted, high), largest: sorted[sorted.length - 1] },
    heat: { bar: mean(barHeat), all: mean(heat) },
    unsolved,
  };
}

function differenceOf(ours: RatedDesign, base: RatedDesign, p: number, study: Study): PairedQuantile | null {
  const blockSize = replicateSizeOf(study.sampling) ?? 1;
  const n = ours.powers.length;
  if (n % blockSize !== 0 || n / blockSize < 10) return null;
  // The same resamples for every design, so that designs too are compared alike.
  const stream = randomStream(study.seed, 0, 'copper');
  return pairedQuantile(ours.powers, base.powers, p, {
    confidence: study.confidence, definition: study.percentileDefinition, resamples: RESAMPLES, blockSize,
    integerBelow: (count) => stream.integerBelow(count),
  });
}

/** By price where every design has one, and by floor where every one is proven and settled. */
function withFront(answers: readonly DesignAnswer[]): Pick<CopperAnswer, 'front' | 'designs'> {
  const usable = answers.filter(({ failed }) => !failed);
  const byPrice = usable.every(({ price }) => price !== null);
  const byFloor = usable.every(({ floor }) => floor?.settled === true);
  const on = paretoFront(usable.map(({ bar, price, percentile, floor }) => ({
    cost: byPrice && price !== null ? price : bar.mass,
    worth: byFloor && floor !== null ? floor.power : percentile.power,
  })));
  return {
    front: { cost: byPrice ? 'price' : 'mass', worth: byFloor ? 'floor' : 'percentile' },
    designs: answers.map((one) => ({ ...one, onFront: on[usable.indexOf(one)] ?? false })),
  };
}
