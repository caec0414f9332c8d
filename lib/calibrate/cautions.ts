/** What has to be said beside a fit. */
import type { FittedQuantity, HeatRunFit } from './fitModel.js';
import { QUANTITY_TRAITS } from './quantities.js';
import { STEADY_DRIFT } from './steadiness.js';
import { FALSE_ALARM } from './suspicions.js';

/** Said wherever a calibration is shown. */
export const FIT_CAUTION =
  'Screening model: a fit to one heat run does not replace the temperature-rise test to the standard that applies. '
  + 'Energised busbars deliver large fault currents and burn; local codes and licensed practice decide.';

/** A larger difference of the currents of sources and loads is spoken of. Common practice, no published source. */
const CURRENTS_AGREE = 0.03;
/** Below so many degrees of freedom that is spoken of. Common practice, no published source. */
const FEW = 5;

/** Suspicions about readings, in sentences; nothing was left out of the fit because of them. */
export function suspicionWords({ outliers, exchanged, outlierBound }: HeatRunFit): string[] {
  const pairs = exchanged.map(({ sensors: [one, other], chiSquare, exchanged: after }) => (
    `${one} and ${other} look exchanged: with their readings swapped the sum of squares falls from `
      + `${chiSquare.toPrecision(3)} to ${after.toPrecision(3)}. Check the wiring, correct the file and fit again; `
      + 'nothing was changed.'
  ));
  const single = outliers.map(({ sensor, point, residual, studentised }) => {
    const isInPair = exchanged.some(({ sensors }) => sensors.includes(sensor));
    const times = studentised === null ? '' : `, ${Math.abs(studentised).toFixed(1)} times what the others let expect`;
    return `${sensor} at "${point}" reads ${signed(residual ?? 0)} K off the model${times}`
      + `${isInPair ? ' (one of a pair that looks exchanged)' : ''}. It is still in the fit; --drop ${sensor} leaves it out.`;
  });
  const bound = single.length === 0 || outlierBound === null ? []
    : [`(Bound ${outlierBound.toFixed(2)}: in ${100 * FALSE_ALARM} % of sound heat runs some reading exceeds it.)`];
  return [...pairs, ...single, ...bound];
}

/** What limits how far the fit can be trusted, in sentences. */
export function fitWarnings(fit: HeatRunFit): string[] {
  return [
    ...fit.alike.map(({ words }) => words),
    ...fit.quantities.filter(({ atBound }) => atBound !== null).map(boundWords),
    ...unsteadyWords(fit),
    ...driftWords(fit),
    ...scatterWords(fit),
    ...currentWords(fit),
    ...(fit.degreesOfFreedom >= FEW ? []
      : [`Only ${fit.degreesOfFreedom} readings more than quantities: intervals are wide and outliers hardly show.`]),
    'One rack was measured: how racks of this build differ is not in these standard errors.',
  ];
}

function boundWords({ quantity, value, atBound }: FittedQuantity): string {
  return `The ${QUANTITY_TRAITS[quantity].words} lies at its ${atBound} bound, ${value}: that is no measurement. `
    + 'Its interval is not given, and those of the others hold only if it is right.';
}

function unsteadyWords({ steadiness, free }: HeatRunFit): string[] {
  const { unsteady, timeConstant, effect } = steadiness;
  if (unsteady.length === 0) return [];
  const [{ sensor, point, driftPerHour, missing }] = unsteady;
  const changes = free.map((quantity, k) => `${signed(effect[k])} (${QUANTITY_TRAITS[quantity].words})`);
  return [
    `Not steady, and taken all the same: ${unsteady.length} readings move by more than ${STEADY_DRIFT} K/h, `
      + `${sensor} at "${point}" by ${driftPerHour.toFixed(2)} K/h. With a time constant of the bar of `
      + `${timeConstant.toFixed(1)} h (its conductors alone) it has some ${missing.toFixed(1)} K to go; at the end of all `
      + `drifts the fitted values would change by some ${changes.join(', ')}. Standard errors do not hold that.`,
  ];
}

function driftWords({ steadiness: { known, readings } }: HeatRunFit): string[] {
  if (known === readings) return [];
  return [known === 0
    ? 'Nothing in the file shows that the rack was steady (no drift, no repeated time stamps): at more than '
      + `${STEADY_DRIFT} K/h the fit is biased.`
    : `Drift is known of ${known} of ${readings} readings; the others are taken as steady.`];
}

function scatterWords({ reducedChiSquare, expectedReducedChiSquare: range }: HeatRunFit): string[] {
  if (range === null || (reducedChiSquare >= range[0] && reducedChiSquare <= range[1])) return [];
  const times = Math.sqrt(reducedChiSquare).toPrecision(3);
  return [reducedChiSquare > range[1]
    ? `The readings scatter ${times} times as widely as their standard errors say: the model misses something, or the `
      + 'errors are larger. Standard errors of the fit are widened by as much, which a model that misses something can '
      + 'still exceed by far: look at where the residuals lie, and whether another quantity should be fitted.'
    : `The readings scatter only ${times} times as widely as their standard errors say; those of the fit are narrowed `
      + 'by as much.'];
}

function currentWords({ currents }: HeatRunFit): string[] {
  return currents
    .filter(({ measured, expected }) => Math.abs(measured - expected) > CURRENTS_AGREE * expected)
    .map(({ point, measured, expected }) => (
      `At "${point}" the sources' currents add up to ${measured.toFixed(0)} A, while the loads take `
        + `${expected.toFixed(0)} A in the model: check the loads, their powers and the set voltage. `
        + 'The loads count, and the sources share as measured.'
    ));
}

/** Three digits, with the sign. */
export function signed(value: number): string {
  const text = Math.abs(value) >= 100 ? value.toFixed(0) : value.toPrecision(3);
  return value >= 0 ? `+${text}` : text;
}
