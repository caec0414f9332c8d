/** The content of sensitivity.json: a sensitivity study as plain data with the unit in every key. */
import { ZERO_CELSIUS, type StudyInput } from '../../rack/index.js';
import type { Study } from '../../rack/studyModel.js';
import { type BootstrapEstimate, RANK_CORRELATION_METHOD, type SobolIndex } from '../../statistics/index.js';
import { LIBRARY_VERSION } from '../version.js';
import type { FactorSensitivity, RankOf, Sensitivity, ToleranceEffect } from './sensitivityResult.js';

export const SENSITIVITY_FORMAT = 'slotcast-sensitivity/1';

export type SensitivityDocument = ReturnType<typeof sensitivityDocument>;

export interface SensitivityContext {
  readonly study: Study;
  readonly inputs: readonly StudyInput[];
  /** As typed; null where it was made from code. */
  readonly command: string | null;
}

/** Powers in kW, shares of the variance in per cent. */
export function sensitivityDocument(found: Sensitivity, { study, inputs, command }: SensitivityContext) {
  const { base, notRated } = found;
  return {
    format: SENSITIVITY_FORMAT,
    library: { name: 'slotcast', version: LIBRARY_VERSION, node: process.version },
    study: { name: study.name, seed: found.seed },
    rack: { name: study.rack.name, slotCount: study.rack.slotCount },
    inputs,
    command,
    samples: found.samples,
    ratings: found.ratings,
    confidencePercent: percent(found.confidence),
    methods: {
      sampling:
        'matrices A, B and A with one factor of B; every scenario drawn by itself, whatever the design of the study',
      first: 'Saltelli et al. 2010',
      total: 'Jansen 1999',
      intervals: 'bootstrap percentile, rows resampled jointly',
      rankCorrelations: `Spearman, interval by ${RANK_CORRELATION_METHOD}`,
    },
    meanKw: kw(found.meanPower),
    standardDeviationKw: kw(found.standardDeviation),
    percentile: {
      percent: percent(found.percentile),
      ratedKw: kw(base.power),
      definition: study.percentileDefinition,
      lowerKw: base.interval === null ? null : kw(base.interval.lower),
      upperKw: base.interval === null ? null : kw(base.interval.upper),
      method: base.interval === null ? 'none' : 'order statistics',
    },
    below: { thresholdKw: kw(found.threshold), scenarios: found.scenariosBelow, of: 2 * found.samples },
    factors: found.factors.map(factorRow),
    notes: { power: found.powerNote, below: found.belowNote },
    tolerances: found.tolerances.map(toleranceRow),
    allTolerances: { halved: gain(found.allTolerances.halved), removed: gain(found.allTolerances.removed) },
    rankCorrelations: found.rankCorrelations.map(({ quantity, rank, below }) => ({
      quantity,
      ...rankRow(rank),
      below: rankRow(below),
    })),
    notRated: {
      base: notRated.base,
      basePercent: percent(notRated.baseShare),
      mostPercent: percent(study.mostNotRated),
      isTooMany: notRated.baseShare > study.mostNotRated,
      ratings: notRated.count,
      first: notRated.first,
    },
  };
}

function factorRow({ name, words, tolerances, power, below }: FactorSensitivity) {
  return { name, words, tolerances, power: shares(power), below: shares(below) };
}

function shares(index: SobolIndex | null) {
  if (index === null) return null;
  const { first, total } = index;
  return {
    firstPercent: percent(first.estimate),
    firstLowerPercent: percent(first.lower),
    firstUpperPercent: percent(first.upper),
    totalPercent: percent(total.estimate),
    totalLowerPercent: percent(total.lower),
    totalUpperPercent: percent(total.upper),
  };
}

function toleranceRow({ name, words, median, perUnit, halved, removed, behindFirst }: ToleranceEffect) {
  return {
    name,
    words,
    ...medianOf(name, median),
    perUnit: perUnit === null ? null : { unit: perUnit.unit, ...gain(perUnit) },
    halved: gain(halved),
    removed: gain(removed),
    behindFirst: behindFirst === null ? null : gain(behindFirst),
  };
}

function medianOf(name: ToleranceEffect['name'], median: number) {
  switch (name) {
    case 'loadContact':
    case 'sourceContact':
      return { medianMicroOhm: tidy(median * 1e6) };
    case 'inlet':
      return { medianC: tidy(median - ZERO_CELSIUS) };
    default:
      return { median: tidy(median) };
  }
}

/** What the percentile changes by. */
function gain({ estimate, lower, upper }: BootstrapEstimate) {
  return { changeKw: kw(estimate), lowerKw: kw(lower), upperKw: kw(upper) };
}

/** kW with milliwatts. */
function kw(watts: number): number {
  return Math.round(watts * 1e3) / 1e6 + 0;
}

function percent(fraction: number): number {
  return tidy(100 * fraction);
}

function tidy(value: number): number {
  return Number(value.toPrecision(6));
}

function rankRow(rank: RankOf | null) {
  return {
    coefficient: rank === null ? null : tidy(rank.coefficient),
    lower: rank === null ? null : tidy(rank.lower),
    upper: rank === null ? null : tidy(rank.upper),
  };
}
