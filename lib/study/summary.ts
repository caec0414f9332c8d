/** What a study found, as plain data with the unit in every key: the content of summary.json. */
import { type PlacedUnit, type Scenario, scenarioSource } from '../draw/index.js';
import { LIMIT_NAMES, type LimitName, RackModel } from '../ladder/index.js';
import { conductorMass, ZERO_CELSIUS } from '../rack/index.js';
import type { OperatingStateRule, StudyInput } from '../rack/index.js';
import { samplingWords, SCENARIO_QUANTITIES, type ScenarioQuantity, type Study } from '../rack/studyModel.js';
import {
  lowerToleranceRank, percentileEstimate, quantileSorted, rankCorrelationWith, replicatePercentile,
  SampleTooSmall, type ShareRow, shareTableOf, smallestSample, smallestSampleForInterval, smallestSampleForQuantile,
} from '../statistics/index.js';
import { isUnrateable } from './batch.js';
import { PLACEMENT_CLASSES } from './placementClass.js';
import { placementPicture } from './placementPicture.js';
import type { StudyRun } from './runStudy.js';
import { NOT_RATED, OPERATING_STATE_RULES, POLE_NAMES, RATED, type ScenarioTable } from './scenarioTable.js';
import { type PowersInOrder, powersInOrder } from './powersInOrder.js';
import { powersOfAll } from './sortedRatedPowers.js';
import { LIBRARY_VERSION } from './version.js';

export const SUMMARY_FORMAT = 'slotcast-summary/1';

/** A percentile of rated power: `percent` of scenarios fall below it, the rest exceed it. */
export interface PercentileRow {
  readonly percent: number;
  readonly ratedKw: number;
  /** Two-sided interval at the study's confidence; null where the sample is too small for one (see `note`). */
  readonly lowerKw: number | null;
  readonly upperKw: number | null;
  readonly method: 'order statistics' | 'independent replicates' | 'none';
  /** Ranks of the interval's ends (1 = lowest). */
  readonly lowerRank: number | null;
  readonly upperRank: number | null;
  /** Confidence reached, %: order statistics only. */
  readonly coveragePercent: number | null;
  readonly note: string | null;
}

/** A percentile too deep for the sample. */
export interface RefusedPercentile {
  readonly percent: number;
  /** Least number of scenarios that say anything of it; an interval needs more. */
  readonly leastScenarios: number;
}

/** A power exceeded by at least `exceededByPercent` of scenarios with the stated confidence (Wilks 1941). */
export interface ToleranceRow {
  readonly exceededByPercent: number;
  readonly confidencePercent: number;
  readonly boundKw: number | null;
  readonly rank: number | null;
  /** Least number of scenarios that gives such a bound at all. */
  readonly leastScenarios: number;
}

export interface ShareSummaryRow {
  readonly count: number;
  readonly sharePercent: number;
  readonly lowerPercent: number;
  readonly upperPercent: number;
}

export interface ClassRow {
  readonly placementClass: string;
  readonly count: number;
  readonly sharePercent: number;
  readonly lowestKw: number;
  readonly medianKw: number;
  readonly highestKw: number;
}

export interface PlacedUnitSummary {
  readonly kind: PlacedUnit['kind'];
  readonly equipment: string;
  readonly bottomSlot: number;
  readonly heightSlots: number;
  /** Part of the total load, %; 0 for sources. */
  readonly sharePercent: number;
}

export interface ScenarioSummary {
  readonly index: number;
  readonly ratedKw: number;
  readonly limit: LimitName;
  readonly slot: number;
  readonly pole: (typeof POLE_NAMES)[number];
  readonly state: OperatingStateRule;
  readonly outSlot: number;
  readonly placementClass: string;
  /** See placementPicture: bottom slot at the left. */
  readonly picture: string;
  readonly units: readonly PlacedUnitSummary[];
}

export interface Summary {
  readonly format: typeof SUMMARY_FORMAT;
  readonly library: { readonly name: 'slotcast'; readonly version: string; readonly node: string };
  readonly study: {
    readonly name: string;
    readonly seed: string;
    readonly scenariosPlanned: number;
    readonly scenariosRun: number;
    readonly scenariosRated: number;
    readonly sampling: string;
    readonly percentileDefinition: string;
    readonly confidencePercent: number;
    readonly stopping: string | null;
  };
  readonly rack: {
    readonly name: string;
    readonly slotCount: number;
    readonly pitchMm: number;
    readonly copperKg: number;
    readonly setV: number;
    readonly inletC: number;
    readonly operatingStates: readonly OperatingStateRule[];
    readonly limits: Readonly<Record<string, number>>;
  };
  readonly inputs: readonly StudyInput[];
  /** Path of the study file from the folder of the results; null where no command wrote them there. */
  readonly studyFile: string | null;
  readonly lowestKw: number;
  readonly meanKw: number;
  readonly highestKw: number;
  readonly percentiles: readonly PercentileRow[];
  /** Percentiles asked for that lie beyond the lowest or highest scenario: none is given. */
  readonly percentilesRefused: readonly RefusedPercentile[];
  readonly toleranceBounds: readonly ToleranceRow[];
  readonly limits: readonly ({ readonly limit: LimitName } & ShareSummaryRow)[];
  readonly states: readonly ({ readonly state: OperatingStateRule } & ShareSummaryRow)[];
  /** How many scenarios bind at each slot, `[slot]`. */
  readonly bindingSlotCounts: readonly number[];
  readonly classes: readonly ClassRow[];
  /** Rank correlation of rated power with each drawn quantity. */
  readonly rankCorrelations: readonly { readonly quantity: ScenarioQuantity; readonly coefficient: number | null }[];
  /** Lowest rated powers met, ascending. The search for a worse one, and a proven floor, are not part of a sample. */
  readonly worst: readonly ScenarioSummary[];
  /** The scenario in the middle of the sample. */
  readonly median: ScenarioSummary;
  readonly notRated: NotRated;
}

/** Scenarios without a rated power: they count as carrying nothing. */
export interface NotRated {
  readonly count: number;
  readonly sharePercent: number;
  /** The first of them. */
  readonly indices: readonly number[];
  /** Why, for each of `indices`. */
  readonly reasons: readonly string[];
  /** The share that the study allows. */
  readonly mostPercent: number;
  /** Whether there are more: then the study has failed. */
  readonly isTooMany: boolean;
}

/** A study with more scenarios without a rated power than it allows. */
export class TooManyNotRated extends Error {
  constructor({ count, sharePercent, mostPercent, indices, reasons }: NotRated) {
    super(`${count} scenarios (${sharePercent} %) could not be rated; the study allows ${mostPercent} % (mostNotRatedPercent). `
      + `The first, scenario ${indices[0]}: ${reasons[0]}`);
    this.name = 'TooManyNotRated';
  }
}

/** A study of which no scenario could be rated. */
export class NothingRated extends Error {
  constructor(readonly scenarios: number) {
    super(`none of ${scenarios} scenarios could be rated; replay one of them to see why`);
    this.name = 'NothingRated';
  }
}

const WORST_SHOWN = 10;
const NOT_RATED_SHOWN = 20;

/** @throws NothingRated where no scenario was rated */
export function requireRated({ table, scenarios }: Pick<StudyRun, 'table' | 'scenarios'>): void {
  const { rated } = table.columns;
  for (let i = 0; i < scenarios; i++) if (rated[i] === RATED) return;
  throw new NothingRated(scenarios);
}

/**
 * Sums up a finished run. The same scenarios give the same summary, however they were run; see {@link timing}.
 * @param inOrder its rated scenarios in order, where they are known
 * @throws NothingRated where no scenario was rated
 */
export function summarise(run: StudyRun, inputs: readonly StudyInput[], inOrder: PowersInOrder = powersInOrder(run)): Summary {
  const { study, table, scenarios } = run;
  const { columns } = table;
  requireRated(run);
  const sorted = inOrder.powers;
  // A scenario that could not be rated counts as carrying nothing: leaving it out could only raise the percentiles.
  let counted = sorted;
  if (sorted.length < scenarios) {
    counted = new Float64Array(scenarios);
    counted.set(sorted, scenarios - sorted.length);
  }
  const drawn = study.sampling.design === 'plain' ? null : powersOfAll(table, scenarios);
  const order = ratedRowsOf(run);
  const source = scenarioSource(study);
  const show = (index: number) => scenarioSummary(run, source.draw(index).scenario);
  const ratedRows = order.length;
  const missing: number[] = [];
  for (let i = 0; i < scenarios; i++) if (columns.rated[i] === NOT_RATED) missing.push(i);
  const slots = new Array<number>(study.rack.slotCount).fill(0);
  for (const i of order) if (columns.slot[i] > 0) slots[columns.slot[i] - 1]++;
  const mass = conductorMass(study.rack);
  return {
    format: SUMMARY_FORMAT,
    library: { name: 'slotcast', version: LIBRARY_VERSION, node: process.version },
    study: {
      name: study.name,
      seed: study.seed,
      scenariosPlanned: study.scenarios,
      scenariosRun: scenarios,
      scenariosRated: ratedRows,
      sampling: samplingWords(study.sampling),
      percentileDefinition: study.percentileDefinition,
      confidencePercent: percent(study.confidence),
      stopping: stoppingWords(run),
    },
    rack: {
      name: study.rack.name,
      slotCount: study.rack.slotCount,
      pitchMm: tidy(study.rack.pitch * 1e3),
      copperKg: tidy(mass.total),
      setV: study.rack.setVoltage,
      inletC: tidy(study.rack.air.inlet - ZERO_CELSIUS),
      operatingStates: study.rack.operatingStates,
      limits: limitValues(study),
    },
    inputs,
    studyFile: null,
    lowestKw: kw(sorted[0]),
    meanKw: kw(sorted.reduce((sum, p) => sum + p, 0) / sorted.length),
    highestKw: kw(sorted[sorted.length - 1]),
    percentiles: study.percentiles.filter((p) => scenarios >= smallestSampleForQuantile(p)).map((p) => percentileRow(run, counted, drawn, p)),
    percentilesRefused: study.percentiles.filter((p) => scenarios < smallestSampleForQuantile(p))
      .map((p) => ({ percent: percent(p), leastScenarios: smallestSampleForQuantile(p) })),
    toleranceBounds: study.percentiles.filter((p) => p > 0 && p < 0.5).map((p) => toleranceRow(run, counted, p)),
    limits: shares(run, order, columns.limit, LIMIT_NAMES)
      .map(({ label, ...row }) => ({ limit: label as LimitName, ...row })),
    states: shares(run, order, columns.state, OPERATING_STATE_RULES)
      .map(({ label, ...row }) => ({ state: label as OperatingStateRule, ...row })),
    bindingSlotCounts: slots,
    classes: classRows(run, inOrder),
    rankCorrelations: correlations(run, order, inOrder.rows),
    worst: lowestRows(run, order, WORST_SHOWN).map(show),
    median: show(rowOfRank(run, order, sorted, Math.floor((ratedRows - 1) / 2))),
    notRated: notRated(study, missing, scenarios),
  };
}

function notRated(study: Study, missing: readonly number[], scenarios: number): NotRated {
  const indices = missing.slice(0, NOT_RATED_SHOWN);
  const share = missing.length / scenarios;
  const source = indices.length === 0 ? null : scenarioSource(study);
  const model = indices.length === 0 ? null : new RackModel(study.rack);
  const reasonOf = (index: number): string => {
    try {
      if (source !== null) model?.rate(source.draw(index).scenario);
      return 'not known: it can be rated now';
    } catch (error) {
      if (!isUnrateable(error)) throw error;
      return error.message;
    }
  };
  return {
    count: missing.length, sharePercent: percent(share), indices, reasons: indices.map(reasonOf),
    mostPercent: percent(study.mostNotRated), isTooMany: share > study.mostNotRated,
  };
}

/** kW with milliwatts, so that a number reads the same wherever it is printed. */
function kw(watts: number): number {
  return Math.round(watts * 1e3) / 1e6;
}

function percent(fraction: number): number {
  return tidy(fraction * 100);
}

function tidy(value: number): number {
  return Number(value.toPrecision(9));
}

/** Row numbers of the rated scenarios, ascending. */
function ratedRowsOf({ table, scenarios }: StudyRun): Uint32Array {
  const { rated } = table.columns;
  const rows = new Uint32Array(scenarios);
  let count = 0;
  for (let i = 0; i < scenarios; i++) if (rated[i] === RATED) rows[count++] = i;
  return rows.subarray(0, count);
}

/** The rows with the lowest rated powers, ascending, ties by index. */
function lowestRows({ table }: StudyRun, rows: Uint32Array, count: number): number[] {
  const { ratedPower } = table.columns;
  const lowest: number[] = [];
  for (const i of rows) {
    if (lowest.length === count && !(ratedPower[i] < ratedPower[lowest[count - 1]])) continue;
    let at = lowest.length;
    while (at > 0 && ratedPower[i] < ratedPower[lowest[at - 1]]) at--;
    lowest.splice(at, 0, i);
    if (lowest.length > count) lowest.pop();
  }
  return lowest;
}

/** The row at a place (from 0) among the rated powers sorted, ties by index. */
function rowOfRank({ table }: StudyRun, rows: Uint32Array, sorted: Float64Array, rank: number): number {
  const { ratedPower } = table.columns;
  const power = sorted[rank];
  let before = rank - sorted.indexOf(power);
  for (const i of rows) if (ratedPower[i] === power && before-- === 0) return i;
  throw new RangeError(`no row of rank ${rank}`);
}

/**
 * @param sorted all powers, ascending
 * @param drawn the same in the order drawn, for a design
 */
function percentileRow(run: StudyRun, sorted: Float64Array, drawn: Float64Array | null, p: number): PercentileRow {
  const { study } = run;
  const { confidence, percentileDefinition: definition } = study;
  const plain = { lowerRank: null, upperRank: null, coveragePercent: null, note: null };
  const row = { percent: percent(p), ...plain };
  const pooled = () => kw(quantileSorted(sorted, p, definition));
  const tooFew = (each: number): PercentileRow => {
    const note = `an interval needs at least ${smallestSampleForInterval(p, each)} scenarios`;
    return { ...row, ratedKw: pooled(), lowerKw: null, upperKw: null, method: 'none', note };
  };
  if (drawn !== null && study.sampling.design !== 'plain') {
    if (run.scenarios < 2 * study.sampling.size) {
      const note = 'an interval needs two replicates or more, and this study has one';
      return { ...row, ratedKw: pooled(), lowerKw: null, upperKw: null, method: 'none', note };
    }
    try {
      const found = replicatePercentile(drawn, study.sampling.size, p, {
        confidence, definition, ascending: sorted,
      });
      return {
        ...row, ratedKw: kw(found.estimate), lowerKw: kw(found.lower), upperKw: kw(found.upper),
        method: 'independent replicates', lowerRank: found.lowerRank, upperRank: found.upperRank,
        note: `about ${percent(confidence)} %, from the shares below it in ${found.replicates} replicates (Woodruff 1952)`
          + `${found.valuesLeftOut > 0 ? `; ${found.valuesLeftOut} scenarios of an unfinished one are left out` : ''}`,
      };
    } catch (error) {
      if (!(error instanceof SampleTooSmall)) throw error;
      return tooFew(confidence);
    }
  }
  // A stopping rule looks several times; the looks share the confidence.
  const each = run.lookConfidence ?? confidence;
  try {
    const found = percentileEstimate(sorted, p, { confidence: each, definition });
    return {
      ...row, ratedKw: kw(found.estimate), lowerKw: kw(found.lower), upperKw: kw(found.upper),
      method: 'order statistics', lowerRank: found.lowerRank, upperRank: found.upperRank,
      coveragePercent: percent(found.coverage),
      note: run.lookConfidence === null ? null : `each look at ${percent(each)} % so that all planned looks keep ${percent(confidence)} %`,
    };
  } catch (error) {
    if (!(error instanceof SampleTooSmall)) throw error;
    return tooFew(each);
  }
}

function toleranceRow(run: StudyRun, sorted: Float64Array, p: number): ToleranceRow {
  const { study } = run;
  // As for the percentiles: where a stopping rule looks several times, each look takes its part of the confidence.
  const confidence = run.lookConfidence ?? study.confidence;
  const row = {
    exceededByPercent: percent(1 - p),
    confidencePercent: percent(study.confidence),
    leastScenarios: smallestSample({ p, confidence, order: 1 }),
  };
  // Order statistics need independent scenarios.
  if (study.sampling.design !== 'plain') return { ...row, boundKw: null, rank: null };
  try {
    const { rank } = lowerToleranceRank(sorted.length, p, confidence);
    return { ...row, boundKw: kw(sorted[rank - 1]), rank };
  } catch (error) {
    if (!(error instanceof SampleTooSmall)) throw error;
    return { ...row, boundKw: null, rank: null };
  }
}

/** How often each of some names occurs, of which a column holds the positions. */
function shares(
  run: StudyRun, order: Uint32Array, column: ArrayLike<number>, names: readonly string[],
): ({ label: string } & ShareSummaryRow)[] {
  const counts = countsOf(column, order, names.length);
  const met = new Map(names.map((name, at) => [name, counts[at]] as const).filter(([, count]) => count > 0));
  return shareTableOf(met, run.study.confidence).map((row: ShareRow) => ({
    label: row.label,
    count: row.count,
    sharePercent: percent(row.share),
    lowerPercent: percent(row.lower),
    upperPercent: percent(row.upper),
  }));
}

/** `[value]`: how many of the rows have it in a column of whole numbers from 0. */
function countsOf(column: ArrayLike<number>, rows: Uint32Array, values: number): Float64Array {
  const counts = new Float64Array(values);
  for (const i of rows) counts[column[i]]++;
  return counts;
}

function classRows({ table }: StudyRun, { rows, powers }: PowersInOrder): ClassRow[] {
  const { placementClass } = table.columns;
  const counts = countsOf(placementClass, rows, PLACEMENT_CLASSES.length);
  // In order already: each class takes its own.
  const groups = Array.from(counts, (count) => new Float64Array(count));
  const filled = new Uint32Array(groups.length);
  for (let k = 0; k < rows.length; k++) {
    const at = placementClass[rows[k]];
    groups[at][filled[at]++] = powers[k];
  }
  return groups
    .map((own, at) => ({ placementClass: PLACEMENT_CLASSES[at], own }))
    .filter(({ own }) => own.length > 0)
    .map(({ placementClass: name, own }) => ({
      placementClass: name,
      count: own.length,
      sharePercent: percent(own.length / rows.length),
      lowestKw: kw(own[0]),
      medianKw: kw(quantileSorted(own, 0.5, 'type-7')),
      highestKw: kw(own[own.length - 1]),
    }))
    .sort((a, b) => a.medianKw - b.medianKw);
}

function correlations(run: StudyRun, order: Uint32Array, rows: Uint32Array): Summary['rankCorrelations'] {
  const { study, table } = run;
  const powers = picked(table.columns.ratedPower, order);
  const correlate = rankCorrelationWith(powers, rows.length === run.scenarios ? rows : undefined);
  return SCENARIO_QUANTITIES.filter((quantity) => {
    const drawn = study.uncertain.perScenario[quantity];
    return drawn !== undefined && drawn.distribution !== 'fixed';
  }).map((quantity) => {
    if (powers.length < 2) return { quantity, coefficient: null };
    const found = correlate(picked(table.columns[quantity], order));
    return { quantity, coefficient: found.defined ? tidy(found.coefficient) : null };
  });
}

/** The column's values in the rows of `order`: the column itself where these are all of a study's first rows. */
function picked(
  column: ScenarioTable['columns'][ScenarioQuantity | 'ratedPower'], order: Uint32Array,
): ArrayLike<number> {
  if (order.length > 0 && order[order.length - 1] === order.length - 1) return column.subarray(0, order.length);
  const values = new Float64Array(order.length);
  for (let k = 0; k < order.length; k++) values[k] = column[order[k]];
  return values;
}

function scenarioSummary({ study, table }: StudyRun, scenario: Scenario): ScenarioSummary {
  const { columns } = table;
  const { index, units } = scenario;
  const total = units.reduce((sum, unit) => sum + (unit.kind === 'load' ? unit.power : 0), 0);
  return {
    index,
    ratedKw: kw(columns.ratedPower[index]),
    limit: LIMIT_NAMES[columns.limit[index]],
    slot: columns.slot[index],
    pole: POLE_NAMES[columns.pole[index]],
    state: OPERATING_STATE_RULES[columns.state[index]],
    outSlot: columns.outSlot[index],
    placementClass: PLACEMENT_CLASSES[columns.placementClass[index]],
    picture: placementPicture(units, study.rack.slotCount),
    units: units.map((unit) => ({
      kind: unit.kind,
      equipment: unit.equipment,
      bottomSlot: unit.bottomSlot,
      heightSlots: unit.heightSlots,
      sharePercent: unit.kind === 'load' ? percent(unit.power / total) : 0,
    })),
  };
}

function stoppingWords({ study, scenarios, looks }: StudyRun): string | null {
  if (study.stopping === null) return null;
  const { percentile, halfWidth } = study.stopping;
  const reached = looks.some((look) => look.reached);
  return `half-width ${tidy(halfWidth / 1e3)} kW on the ${percent(percentile)} % percentile: `
    + (reached ? `reached at ${scenarios} scenarios` : `not reached in ${scenarios} scenarios`);
}

function limitValues({ rack }: Study): Record<string, number> {
  const { limits } = rack;
  const all: Record<string, number> = {
    barRiseK: limits.barRise,
    barC: limits.barTemperature - ZERO_CELSIUS,
    contactC: limits.contactTemperature - ZERO_CELSIUS,
    loadContactA: limits.loadContactCurrent,
    lowestLoadV: limits.lowestLoadVoltage,
  };
  return Object.fromEntries(Object.entries(all).filter(([, value]) => Number.isFinite(value))
    .map(([key, value]) => [key, tidy(value)]));
}
