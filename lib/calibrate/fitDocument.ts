import { ZERO_CELSIUS } from '../rack/model.js';
import type { StudyInput } from '../rack/loader.js';
import { LIBRARY_VERSION } from '../study/index.js';
import type { HeatRunFit } from './fitModel.js';
import { FIT_CAUTION, fitWarnings, suspicionWords } from './cautions.js';
import { CONDITION_BOUND, CORRELATION_BOUND } from './alike.js';
import { QUANTITY_TRAITS } from './quantities.js';
import type { ReadingFit } from './readings.js';
import { STEADY_DRIFT } from './steadiness.js';
import { FALSE_ALARM } from './suspicions.js';

export const FIT_FORMAT = 'slotcast-fit/1';

/** What a fit adds to the numbers: where they come from. */
export interface FitContext {
  readonly rack: string;
  /** Rack, catalogue, study where there is one, and the heat run. */
  readonly inputs: readonly StudyInput[];
  /** As typed; null where the fit was made from code. */
  readonly command: string | null;
  /** What the calibrated files do not carry, or carry instead of what the study said. */
  readonly notes: readonly string[];
}

export type FitDocument = ReturnType<typeof fitDocument>;

/** Content of fit.json: every number with its unit in the key (a fitted value has the unit of the key `key`). */
export function fitDocument(fit: HeatRunFit, context: FitContext) {
  const { steadiness, expectedReducedChiSquare: range } = fit;
  const names = fit.free.map((quantity) => QUANTITY_TRAITS[quantity].key);
  return {
    format: FIT_FORMAT,
    library: { name: 'slotcast', version: LIBRARY_VERSION, node: process.version },
    rack: context.rack,
    inputs: context.inputs,
    command: context.command,
    caution: FIT_CAUTION,
    confidencePercent: 95,
    quantities: fit.quantities.map(({ quantity, value, before, standardError, interval, atBound }) => ({
      quantity,
      key: QUANTITY_TRAITS[quantity].key,
      unit: QUANTITY_TRAITS[quantity].unit,
      value: tidy(value),
      standardError: orNull(standardError),
      lower: orNull(interval?.[0] ?? null),
      upper: orNull(interval?.[1] ?? null),
      before: tidy(before),
      atBound,
    })),
    correlation: { between: names, pearson: fit.correlation.map((row) => row.map(tidy)) },
    degreesOfFreedom: fit.degreesOfFreedom,
    chiSquare: tidy(fit.chiSquare),
    reducedChiSquare: tidy(fit.reducedChiSquare),
    scatterK: tidy(fit.scatter),
    standardErrorsStated: range !== null,
    expectedReducedChiSquare: range === null ? null : { lower: tidy(range[0]), upper: tidy(range[1]) },
    conditionNumber: tidy(fit.conditionNumber),
    notToldApart: {
      conditionIndexBound: CONDITION_BOUND,
      correlationBound: CORRELATION_BOUND,
      groups: fit.alike.map(({ quantities, conditionIndex, correlation, words }) => ({
        quantities,
        conditionIndex: orNull(conditionIndex),
        correlation: orNull(correlation),
        words,
      })),
    },
    outliers: {
      falseAlarmPercent: 100 * FALSE_ALARM,
      bound: orNull(fit.outlierBound),
      readings: fit.outliers.map(readingJson),
    },
    exchangedSensors: {
      falseAlarmPercent: 100 * FALSE_ALARM,
      pairs: fit.exchanged.map(({ sensors, chiSquare, exchanged }) => ({
        sensors,
        chiSquare: tidy(chiSquare),
        chiSquareExchanged: tidy(exchanged),
      })),
    },
    missing: fit.missing,
    dropped: fit.dropped,
    steadiness: {
      steadyKPerH: STEADY_DRIFT,
      readings: steadiness.readings,
      driftKnown: steadiness.known,
      largestDriftKPerH: orNull(steadiness.largestDrift),
      timeConstantH: tidy(steadiness.timeConstant),
      unsteady: steadiness.unsteady.map(({ point, sensor, driftPerHour, missing }) => ({
        point,
        sensor,
        driftKPerH: tidy(driftPerHour),
        stillToGoK: tidy(missing),
      })),
      effect: fit.free.map((quantity, k) => ({
        key: QUANTITY_TRAITS[quantity].key,
        change: tidy(steadiness.effect[k]),
      })),
    },
    sourceCurrents: fit.currents.map(({ point, measured, expected }) => ({
      point,
      measuredA: tidy(measured),
      modelA: tidy(expected),
    })),
    suspicions: suspicionWords(fit),
    warnings: [...fitWarnings(fit), ...context.notes],
    readings: fit.readings.map(readingJson),
  };
}

function readingJson({
  point,
  sensor,
  place,
  slot,
  pole,
  depth,
  measured,
  expected,
  residual,
  standardError,
  studentised,
  use,
}: ReadingFit) {
  return {
    point,
    sensor,
    place,
    slot,
    pole: place === 'air' ? null : pole === 0 ? 'supply' : 'return',
    depth: place === 'air' ? null : depth,
    measuredC: measured === null ? null : tidy(measured - ZERO_CELSIUS),
    expectedC: tidy(expected - ZERO_CELSIUS),
    residualK: orNull(residual),
    standardErrorK: orNull(standardError),
    studentisedDeletedResidual: orNull(studentised),
    use,
  };
}

function orNull(value: number | null): number | null {
  return value === null ? null : tidy(value);
}

function tidy(value: number): number {
  return Number(value.toPrecision(9));
}
