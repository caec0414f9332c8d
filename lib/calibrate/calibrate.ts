/** A rack model fitted to a heat run. */
import type { LadderSolution } from '../ladder/index.js';
import type { HeatRun } from '../rack/heatRunModel.js';
import type { Catalogue, Rack } from '../rack/model.js';
import { CalibrationError } from './errors.js';
import type { FitOptions, HeatRunFit } from './fitModel.js';
import { type FitValues, HeatRunModel, startValues } from './heatRunModel.js';
import { type LeastSquaresFit, leastSquares } from './leastSquares.js';
import { type FitQuantity, fitQuantities, QUANTITY_TRAITS } from './quantities.js';
import { fitReadings, readingFits, type UsedReading } from './readings.js';
import { requireSensors, requireSteady } from './requirements.js';
import { steadiness } from './steadiness.js';
import { deletedResiduals, exchangedPairs, outlierBound, outliers } from './suspicions.js';
import { uncertainty } from './uncertainty.js';

/**
 * Fits quantities of a rack's model to the readings of a heat run by weighted least squares.
 *
 * Standard errors are scaled by the scatter found (reduced chi-square), so that only the ratios of those given count.
 * Readings of the air take part only where the exhaust rise is fitted: nothing else acts on them.
 * @throws CalibrationError for too few readings, quantities without effect or quite alike, a run that was not steady, a fit that
 *   does not converge, and no solution of the model where it is looked for
 */
export async function fitHeatRun(
  rack: Rack,
  catalogue: Catalogue,
  run: HeatRun,
  options: FitOptions,
): Promise<HeatRunFit> {
  const quantities = fitQuantities(options.quantities);
  const dropped = options.drop ?? [];
  const model = new HeatRunModel(rack, catalogue, run);
  requireSensors(dropped, [...new Set(model.readings.map(({ sensor }) => sensor))]);
  const used = fitReadings(model.readings, dropped, quantities.includes('exhaustRise'));
  if (used.length <= quantities.length) {
    throw new CalibrationError(
      `${used.length} usable readings for ${quantities.length} quantities`,
      'give at least one reading more than quantities (several times as many make a fit that can be judged), or fit fewer',
    );
  }
  const start = startValues(quantities, rack);
  const first = model.expected(valuesOf(quantities, start));
  if (!first.solved)
    throw new CalibrationError(
      first.reason,
      'check the units and their currents: the model finds no steady state there',
    );
  const timeConstants = (at: typeof first) =>
    new Map(model.timeConstants(at.solutions).map((seconds, k) => [run.points[k].name, seconds]));
  if (options.allowUnsteady !== true) requireSteady(steadiness(used, timeConstants(first), []));
  const fit = await leastSquaresOf(model, quantities, used, start);
  const values = valuesOf(quantities, fit.values);
  const best = model.expected(values);
  if (!best.solved) throw new CalibrationError(best.reason, 'fit fewer quantities');
  const freeAt = quantities.map((_, k) => k).filter((k) => fit.atBound[k] === null);
  const free = freeAt.map((k) => quantities[k]);
  const jacobian = fit.jacobian.map((row) => freeAt.map((k) => row[k]));
  return {
    values,
    free,
    dropped,
    ...uncertainty(quantities, free, fit, jacobian, used, start),
    readings: readingFits(
      model.readings,
      used,
      best.temperature,
      free.length > 0 ? deletedResiduals(jacobian, fit.residual) : [],
    ),
    missing: model.readings
      .filter(({ temperature }) => temperature === null)
      .map(({ point, sensor }) => ({ point, sensor })),
    steadiness: steadiness(used, timeConstants(best), free.length > 0 ? jacobian : []),
    currents: sourceCurrents(run, best.solutions),
    rounds: fit.rounds,
    ...suspected(free, fit, jacobian, used, model, best.temperature),
  };
}

async function leastSquaresOf(
  model: HeatRunModel,
  quantities: readonly FitQuantity[],
  used: readonly UsedReading[],
  start: readonly number[],
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
    throw new CalibrationError(
      `a fit that did not converge in ${fit.rounds} rounds`,
      'fit fewer quantities, or look for readings that contradict each other',
    );
  }
  return fit;
}

function suspected(
  free: readonly FitQuantity[],
  fit: LeastSquaresFit,
  jacobian: readonly (readonly number[])[],
  used: readonly UsedReading[],
  model: HeatRunModel,
  expected: Float64Array,
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
    const sources = units.flatMap((unit, at) =>
      unit.kind === 'source' ? [{ given: unit.current, found: solutions[k].units[at].current }] : [],
    );
    if (sources.some(({ given }) => given === null)) return [];
    const sum = (values: readonly number[]) => values.reduce((all, value) => all + value, 0);
    return [
      {
        point: name,
        measured: sum(sources.map(({ given }) => given ?? 0)),
        expected: sum(sources.map(({ found }) => found)),
      },
    ];
  });
}

function valuesOf(quantities: readonly FitQuantity[], values: readonly number[]): FitValues {
  return Object.fromEntries(quantities.map((quantity, k) => [quantity, values[k]]));
}
