/** A rack model fitted to a heat run. */
import type { HeatRun } from '../rack/heatRunModel.js';
import type { LadderSolution } from '../ladder/index.js';
import type { Catalogue, Rack } from '../rack/model.js';
import { suggestion } from '../rack/text/spelling.js';
import { normalQuantile } from '../draw/normalDistribution.js';
import { studentTwoSidedQuantile } from '../statistics/index.js';
import { type Alike, alikeQuantities, HOPELESS_CONDITION, listed } from './alike.js';
import { CalibrationError } from './errors.js';
import { HeatRunModel, startValues, type FitValues } from './heatRunModel.js';
import { type LeastSquaresFit, leastSquares } from './leastSquares.js';
import { type LinearFit, linearFit } from './linearFit.js';
import { type FitQuantity, fitQuantities, QUANTITY_TRAITS } from './quantities.js';
import { fitReadings, type ReadingFit, readingFits, type UsedReading } from './readings.js';
import { STEADY_DRIFT, type Steadiness, steadiness } from './steadiness.js';
import { deletedResiduals, type ExchangedPair, exchangedPairs, outlierBound, outliers } from './suspicions.js';

export interface FitOptions {
  /** Quantities to fit, see FIT_QUANTITIES; all others stay as the files say. */
  readonly quantities: readonly string[];
  /** Sensors left out of the fit; their residuals are still shown. */
  readonly drop?: readonly string[];
  /** Takes readings that still move by more than 1 K/h. */
  readonly allowUnsteady?: boolean;
}

export interface FittedQuantity {
  readonly quantity: FitQuantity;
  /** In the unit of its key in files, see QUANTITY_TRAITS. */
  readonly value: number;
  /** What the files say. */
  readonly before: number;
  /** Null for a value at its bound. */
  readonly standardError: number | null;
  /** Two-sided, 95 %, Student's t; null for a value at its bound. */
  readonly interval: readonly [number, number] | null;
  readonly atBound: 'lower' | 'upper' | null;
}

export interface HeatRunFit {
  readonly quantities: readonly FittedQuantity[];
  readonly values: FitValues;
  /** Quantities not at a bound: the order of `correlation`. */
  readonly free: readonly FitQuantity[];
  readonly correlation: readonly (readonly number[])[];
  readonly degreesOfFreedom: number;
  readonly chiSquare: number;
  /** Of the standard errors given, or of 1 K where none were: then it is the square of the scatter in K. */
  readonly reducedChiSquare: number;
  /** K, of the residuals about the model, degrees of freedom allowed for. */
  readonly scatter: number;
  /** Where the reduced chi-square of a right model lies in 95 % of heat runs; null where no standard errors were given. */
  readonly expectedReducedChiSquare: readonly [number, number] | null;
  /** Largest condition index of the Jacobian with columns of unit length. */
  readonly conditionNumber: number;
  readonly alike: readonly Alike[];
  /** All readings, those left out as well; the order of the heat run. */
  readonly readings: readonly ReadingFit[];
  /** Bound on studentised deleted residuals; null with too few readings to judge any. */
  readonly outlierBound: number | null;
  /** Worst first. */
  readonly outliers: readonly ReadingFit[];
  readonly exchanged: readonly ExchangedPair[];
  readonly missing: readonly { readonly point: string; readonly sensor: string }[];
  readonly dropped: readonly string[];
  readonly steadiness: Steadiness;
  /** Sources' measured currents together and what the model has them carry, A, by operating point where they were measured. */
  readonly currents: readonly { readonly point: string; readonly measured: number; readonly expected: number }[];
  readonly rounds: number;
}

const CONFIDENCE = 0.95;

/**
 * Fits quantities of a rack's model to the readings of a heat run by weighted least squares.
 *
 * Standard errors are scaled by the scatter found (reduced chi-square), so that only the ratios of those given count.
 * Readings of the air take part only where the exhaust rise is fitted: nothing else acts on them.
 * @throws CalibrationError for too few readings, quantities without effect or quite alike, a run that was not steady, a fit that
 *   does not converge, and no solution of the model where it is looked for
 */
export async function fitHeatRun(rack: Rack, catalogue: Catalogue, run: HeatRun, options: FitOptions): Promise<HeatRunFit> {
  const quantities = fitQuantities(options.quantities);
  const dropped = options.drop ?? [];
  const model = new HeatRunModel(rack, catalogue, run);
  requireSensors(dropped, [...new Set(model.readings.map(({ sensor }) => sensor))]);
  const used = fitReadings(model.readings, dropped, quantities.includes('exhaustRise'));
  if (used.length <= quantities.length) {
    throw new CalibrationError(`${used.length} usable readings for ${quantities.length} quantities`,
      'give at least one reading more than quantities (several times as many make a fit that can be judged), or fit fewer');
  }
  const start = startValues(quantities, rack);
  const first = model.expected(valuesOf(quantities, start));
  if (!first.solved) throw new CalibrationError(first.reason, 'check the units and their currents: the model finds no steady state there');
  const timeConstants = (at: typeof first) => (
    new Map(model.timeConstants(at.solutions).map((seconds, k) => [run.points[k].name, seconds]))
  );
  if (options.allowUnsteady !== true) requireSteady(steadiness(used, timeConstants(first), []));
  const fit = await leastSquaresOf(model, quantities, used, start);
  const values = valuesOf(quantities, fit.values);
  const best = model.expected(values);
  if (!best.solved) throw new CalibrationError(best.reason, 'fit fewer quantities');
  const freeAt = quantities.map((_, k) => k).filter((k) => fit.atBound[k] === null);
  const free = freeAt.map((k) => quantities[k]);
  const jacobian = fit.jacobian.map((row) => freeAt.map((k) => row[k]));
  return {
    values, free, dropped,
    ...judged(quantities, free, fit, jacobian, used, start),
    readings: readingFits(model.readings, used, best.temperature, free.length > 0 ? deletedResiduals(jacobian, fit.residual) : []),
    missing: model.readings.filter(({ temperature }) => temperature === null).map(({ point, sensor }) => ({ point, sensor })),
    steadiness: steadiness(used, timeConstants(best), free.length > 0 ? jacobian : []),
    currents: sourceCurrents(run, best.solutions),
    rounds: fit.rounds,
    ...suspected(free, fit, jacobian, used, model, best.temperature),
  };
}

async function leastSquaresOf(
  model: HeatRunModel, quantities: readonly FitQuantity[], used: readonly UsedReading[], start: readonly number[],
): Promise<LeastSquaresFit> {
  let fit: LeastSquaresFit;
  try {
    fit = await leastSquares({
      start,
      lowest: quantities.map((quantity) => QUANTITY_TRAITS[quantity].lowest),
      highest: quantities.map((quantity) => QUANTITY_TRAITS[quantity].highest),
      measured: used.map(({ measured }) => measured),
      standardError: used.map(({ standardError }) => standardError),
      expected(values) {
        const found = model.expected(valuesOf(quantities, values));
        return found.solved ? used.map(({ index }) => found.temperature[index]) : null;
      },
    });
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw new CalibrationError(error.message, 'check units and currents, or fit fewer quantities');
  }
  if (!fit.converged) {
    throw new CalibrationError(`a fit that did not converge in ${fit.rounds} rounds`, 'fit fewer quantities, or look for readings that contradict each other');
  }
  return fit;
}

/** Uncertainty of the values. */
function judged(
  quantities: readonly FitQuantity[], free: readonly FitQuantity[], fit: LeastSquaresFit, jacobian: readonly (readonly number[])[],
  used: readonly UsedReading[], start: readonly number[],
) {
  const freedom = used.length - free.length;
  const reduced = fit.chiSquare / freedom;
  // Dependencies may be what drove a value to its bound: they are looked for among all quantities.
  const all = effective(quantities, fit);
  const linear = free.length === 0 ? null : linearFit(jacobian, fit.residual);
  const spread = linear === null ? [] : linear.covariance.map((row, k) => Math.sqrt(row[k] * reduced));
  const t = studentTwoSidedQuantile(CONFIDENCE, freedom);
  return {
    degreesOfFreedom: freedom,
    chiSquare: fit.chiSquare,
    reducedChiSquare: reduced,
    scatter: Math.sqrt(fit.residual.reduce((sum, r, i) => sum + (r * used[i].standardError) ** 2, 0) / freedom),
    expectedReducedChiSquare: used.some(({ isStated }) => isStated) ? expectedRange(freedom) : null,
    conditionNumber: all.conditionIndex[all.conditionIndex.length - 1],
    correlation: linear === null ? [] : correlationOf(linear),
    alike: alikeQuantities(quantities, all, correlationOf(all)),
    quantities: quantities.map((quantity, k): FittedQuantity => {
      const at = free.indexOf(quantity);
      const [value, before] = [fit.values[k], start[k]];
      const standardError = at < 0 ? null : spread[at];
      const interval = standardError === null ? null : [value - t * standardError, value + t * standardError] as const;
      return { quantity, value, before, standardError, interval, atBound: fit.atBound[k] };
    }),
  };
}

function correlationOf({ covariance }: LinearFit): number[][] {
  return covariance.map((row, k) => row.map((value, l) => (
    k === l ? 1 : Math.min(1, Math.max(-1, value / Math.sqrt(row[k] * covariance[l][l])))
  )));
}

/** The tangent plane, provided that every quantity acts on the readings and none acts quite as others do. */
function effective(quantities: readonly FitQuantity[], { jacobian, residual }: LeastSquaresFit): LinearFit {
  quantities.forEach((quantity, k) => {
    // A unit of it would change no reading by a millionth of its error.
    if (Math.max(...jacobian.map((row) => Math.abs(row[k]))) < 1e-6) {
      throw new CalibrationError(`${QUANTITY_TRAITS[quantity].words} without effect on any reading`, 'leave it out of the fit, or measure where it acts');
    }
  });
  const linear = linearFit(jacobian, residual);
  const last = linear.conditionIndex.length - 1;
  if (linear.conditionIndex[last] > HOPELESS_CONDITION) {
    const members = quantities.filter((_, k) => linear.varianceShare[last][k] > 0.5);
    throw new CalibrationError(`${listed(members)} that act alike on every reading`, 'fit one of them, or measure where they differ');
  }
  return linear;
}

function suspected(
  free: readonly FitQuantity[], fit: LeastSquaresFit, jacobian: readonly (readonly number[])[], used: readonly UsedReading[],
  model: HeatRunModel, expected: Float64Array,
) {
  if (free.length === 0) return { outlierBound: null, outliers: [], exchanged: [] };
  const studentised = deletedResiduals(jacobian, fit.residual);
  const all = readingFits(model.readings, used, expected, studentised);
  return {
    outlierBound: outlierBound(used.length, free.length),
    outliers: outliers(jacobian, fit.residual).map((i) => all[used[i].index]),
    exchanged: exchangedPairs(jacobian, fit.residual, used),
  };
}

function sourceCurrents({ points }: HeatRun, solutions: readonly LadderSolution[]): HeatRunFit['currents'] {
  return points.flatMap(({ name, units }, k) => {
    const sources = units.flatMap((unit, at) => (unit.kind === 'source' ? [{ given: unit.current, found: solutions[k].units[at].current }] : []));
    if (sources.some(({ given }) => given === null)) return [];
    const sum = (values: readonly number[]) => values.reduce((all, value) => all + value, 0);
    return [{ point: name, measured: sum(sources.map(({ given }) => given ?? 0)), expected: sum(sources.map(({ found }) => found)) }];
  });
}

function valuesOf(quantities: readonly FitQuantity[], values: readonly number[]): FitValues {
  return Object.fromEntries(quantities.map((quantity, k) => [quantity, values[k]]));
}

function requireSensors(dropped: readonly string[], sensors: readonly string[]): void {
  for (const name of dropped) {
    if (sensors.includes(name)) continue;
    throw new CalibrationError(`no sensor "${name}" to leave out`, `${suggestion(name, sensors)}the sensors are ${sensors.slice(0, 30).join(', ')}`);
  }
}

function requireSteady({ unsteady, timeConstant }: Steadiness): void {
  if (unsteady.length === 0) return;
  const { sensor, point, driftPerHour, missing } = unsteady[0];
  throw new CalibrationError(
    `${unsteady.length} ${unsteady.length === 1 ? 'reading that still moves' : 'readings that still move'} by more than ${STEADY_DRIFT} K/h, `
      + `most of all ${sensor} at "${point}" by ${driftPerHour.toFixed(2)} K/h: with a time constant of the bar of ${timeConstant.toFixed(1)} h it has `
      + `some ${missing.toFixed(1)} K still to go`,
    'run until it is steady, or allow unsteady readings (--allow-unsteady): fitted values then carry that error');
}

/** Chi-square over its degrees of freedom, 2.5 % and 97.5 % (Wilson & Hilferty 1931, from memory). */
function expectedRange(freedom: number): [number, number] {
  const at = (probability: number) => Math.max(0, 1 - 2 / (9 * freedom) + normalQuantile(probability) * Math.sqrt(2 / (9 * freedom))) ** 3;
  return [at(0.025), at(0.975)];
}
