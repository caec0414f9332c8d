/**
 * What the spread of the rated power is made of, and what a chosen percentile gains where a tolerance is tightened.
 *
 * Variance-based indices (Sobol 1993) from Saltelli's sampling, for the rated power and for "the rated power is below
 * the percentile", which shows what drives that percentile (target sensitivity, Marrel & Chabridon 2021, Reliability
 * Engineering & System Safety 214, 107711, from memory). The gains compare the percentile over the same scenarios
 * with and without the change. Scenarios are drawn one by one, whatever the design of the study: the law is the same.
 */
import { randomStream, scenarioSource } from '../../draw/index.js';
import { RackModel } from '../../ladder/index.js';
import type { Study } from '../../rack/studyModel.js';
import {
  type BootstrapOptions,
  percentileChanges,
  percentileEstimate,
  type PercentileOptions,
  type QuantileDefinition,
  quantileSorted,
  rankCorrelationInterval,
  rankCorrelationWith,
  SampleTooSmall,
  smallestSampleForQuantile,
  sobolIndices,
  type SobolSample,
} from '../../statistics/index.js';
import { NothingRated } from '../summary.js';
import { effectsOf } from './effects.js';
import { factorsOf, PLACEMENT } from './factors.js';
import { rateRows, type RatedRows } from './ratedRows.js';
import { RowScenarios } from './rowScenarios.js';
import type { QuantityCorrelation, RankOf, Sensitivity } from './sensitivityResult.js';
import { isScenarioQuantity, type Tolerance, tolerancesOf } from './tolerances.js';

export interface SensitivityOptions {
  /** Fraction: the percentile of rated power that matters. Default 0.01. */
  readonly percentile?: number;
  /** Rows of each sampling matrix. Default 5000. */
  readonly samples?: number;
  /** Of scenarios and intervals. Default: the study's. */
  readonly seed?: string;
  /** Two-sided confidence of each interval. Default: the study's. */
  readonly confidence?: number;
  /** Bootstrap resamples. Default 1000. */
  readonly resamples?: number;
  readonly onProgress?: (done: number, planned: number) => void;
}

/** A study in which nothing varies. */
export class NothingVaries extends Error {
  constructor() {
    super(
      'nothing varies: the study has one placement and no uncertain quantity, so that there is no spread to explain',
    );
    this.name = 'NothingVaries';
  }
}

const LEAST_SAMPLES = 50;
/** For the interval of a rank correlation. */
const LEAST_PAIRS = 4;
/** Of the mean; what differs by less differs by the rounding of the search for the rated power. */
const NO_SPREAD = 1e-6;

/**
 * @throws NothingVaries, NothingRated; RangeError for options that make no sense, a percentile too deep for the sample
 *   included; as {@link scenarioSource} for a study that cannot be drawn
 */
export function sensitivity(study: Study, options: SensitivityOptions = {}): Sensitivity {
  const {
    percentile = 0.01,
    samples = 5000,
    seed = study.seed,
    confidence = study.confidence,
    resamples,
    onProgress,
  } = options;
  requireOptions(percentile, samples);
  const tolerances = tolerancesOf(study);
  const candidates = factorsOf(study, tolerances);
  const rated = rateRows(
    samples,
    new RowScenarios(scenarioSource(study), seed, samples),
    new RackModel(study.rack),
    candidates,
    tolerances,
    onProgress ?? (() => {}),
  );
  if (rated.baseNotRated === 2 * samples) throw new NothingRated(2 * samples);
  const factors = candidates.filter((factor) => factor !== PLACEMENT || rated.placementVaries);
  if (factors.length === 0) throw new NothingVaries();

  const bootstrap = (use: number) => {
    const stream = randomStream(seed, use, 'bootstrap');
    return { confidence, resamples, random: () => stream.quick() };
  };
  const definition = study.percentileDefinition;
  const sample = { a: rated.a, b: rated.b, mixed: factors.map((factor) => rated.mixed[candidates.indexOf(factor)]) };
  const { notes, ofPower, ofBelow, ...spread } = spreadOf(sample, percentile, definition, bootstrap);
  const effects = effectsOf(
    rated,
    tolerances,
    (base, changed) => percentileChanges(base, changed, percentile, { ...bootstrap(2), definition }).changes,
  );
  return {
    percentile,
    samples,
    seed,
    confidence,
    ratings: rated.ratings,
    ...spread,
    ...notes,
    ...effects,
    base: baseOf(rated.a, percentile, { confidence, definition }),
    factors: factors.map((factor, at) => ({ ...factor, power: ofPower?.[at] ?? null, below: ofBelow?.[at] ?? null })),
    rankCorrelations: correlationsOf(rated, tolerances, spread.threshold, confidence),
    notRated: {
      base: rated.baseNotRated,
      baseShare: rated.baseNotRated / (2 * samples),
      count: rated.notRated,
      first: rated.firstNotRated,
    },
  };
}

function requireOptions(percentile: number, samples: number): void {
  if (!(percentile > 0 && percentile < 1))
    throw new RangeError(`percentile ${percentile}: a fraction above 0 and below 1 is needed`);
  if (!Number.isInteger(samples) || samples < LEAST_SAMPLES) {
    throw new RangeError(`samples ${samples}: a whole number from ${LEAST_SAMPLES} is needed`);
  }
  const least = smallestSampleForQuantile(percentile);
  if (samples < least) {
    throw new RangeError(
      `samples ${samples}: the ${100 * percentile} % percentile lies beyond them; at least ${least} are needed`,
    );
  }
}

/** Moments and indices over A and B, and why there are no indices where there are none. */
function spreadOf(
  sample: SobolSample,
  percentile: number,
  definition: QuantileDefinition,
  bootstrap: (use: number) => BootstrapOptions,
) {
  const pooled = Float64Array.from([...Array.from(sample.a), ...Array.from(sample.b)]).sort();
  const threshold = quantileSorted(pooled, percentile, definition);
  const meanPower = pooled.reduce((sum, power) => sum + power, 0) / pooled.length;
  const standardDeviation = Math.sqrt(
    pooled.reduce((sum, power) => sum + (power - meanPower) ** 2, 0) / (pooled.length - 1),
  );
  const scenariosBelow = pooled.findIndex((power) => power >= threshold);
  const powerNote =
    standardDeviation > NO_SPREAD * meanPower
      ? null
      : 'the rated power is the same in every scenario: what varies does not move it';
  const belowNote =
    powerNote ?? (scenariosBelow > 0 ? null : 'no scenario lies below the percentile: many have exactly its power');
  const isBelow = (powers: ArrayLike<number>) => Float64Array.from(powers, (power) => (power < threshold ? 1 : 0));
  const event = { a: isBelow(sample.a), b: isBelow(sample.b), mixed: sample.mixed.map(isBelow) };
  return {
    meanPower,
    standardDeviation,
    threshold,
    scenariosBelow,
    notes: { powerNote, belowNote },
    ofPower: powerNote === null ? sobolIndices(sample, bootstrap(0)).indices : null,
    ofBelow: belowNote === null ? sobolIndices(event, bootstrap(1)).indices : null,
  };
}

function baseOf(powers: Float64Array, percentile: number, options: PercentileOptions): Sensitivity['base'] {
  const sorted = powers.slice().sort();
  try {
    return {
      power: quantileSorted(sorted, percentile, options.definition),
      interval: percentileEstimate(sorted, percentile, options),
    };
  } catch (error) {
    if (!(error instanceof SampleTooSmall)) throw error;
    return { power: quantileSorted(sorted, percentile, options.definition), interval: null };
  }
}

function correlationsOf(
  rated: RatedRows, tolerances: readonly Tolerance[], threshold: number, confidence: number,
): QuantityCorrelation[] {
  // A scenario that found no placement has no quantities either.
  const ofDrawn = (column: Float64Array) => column.filter((_, row) => rated.drawn[row] === 1);
  const powers = ofDrawn(rated.a);
  const correlateWith = (values: Float64Array) => {
    const correlate = rankCorrelationWith(values);
    return (quantity: Float64Array): RankOf | null => {
      const found = values.length < LEAST_PAIRS ? null : correlate(quantity);
      if (found === null || !found.defined) return null;
      const { coefficient } = found;
      return { coefficient, ...rankCorrelationInterval(coefficient, values.length, confidence) };
    };
  };
  const withPower = correlateWith(powers);
  const withEvent = correlateWith(powers.map((power) => (power < threshold ? 1 : 0)));
  return tolerances
    .map(({ name }) => name)
    .filter(isScenarioQuantity)
    .map((quantity) => {
      const values = ofDrawn(rated.quantities[quantity]);
      return { quantity, rank: withPower(values), below: withEvent(values) };
    });
}
