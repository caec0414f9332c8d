/** What has to be said beside a fit. */
import type { HeatRunFit } from './calibrate.js';
import { QUANTITY_TRAITS } from './quantities.js';
import { FALSE_ALARM } from './suspicions.js';
import { STEADY_DRIFT } from './steadiness.js';

/** Said wherever a calibration is shown. */
export const FIT_CAUTION = 'Screening model: a fit to one heat run does not replace the temperature-rise test to the standard that applies. '
  + 'Energised busbars deliver large fault currents and burn; local codes and licensed practice decide.';

/** Currents of sources and loads that differ by more than this part are spoken of. Common practice, no published source. */
const CURRENTS_AGREE = 0.03;

const percent = (share: number) => `${Number((100 * share).toPrecision(3))} %`;

/** Suspicions about readings, in sentences; nothing was left out of the fit because of them. */
export function suspicionWords({ outliers, exchanged, outlierBound }: HeatRunFit): string[] {
  const pairs = exchanged.map(({ sensors, chiSquare, exchanged: after }) => (
    `${sensors[0]} and ${sensors[1]} look exchanged: with their readings swapped the sum of squares falls from ${chiSquare.toPrecision(3)} `
      + `to ${after.toPrecision(3)}. Check the wiring, correct the file and fit again; nothing was changed.`));
  const single = outliers.map(({ sensor, point, residual, studentised }) => {
    const inPair = exchanged.some(({ sensors }) => sensors.includes(sensor)) ? ' (one of a pair that looks exchanged)' : '';
    return `${sensor} at "${point}" reads ${signed(residual ?? 0)} K off the model${studentised === null ? '' : `, ${Math.abs(studentised).toFixed(1)} times `
      + 'what the others let expect'}${inPair}. It is still in the fit; --drop ${sensor} leaves it out.`;
  });
  if (single.length > 0 && outlierBound !== null) {
    single.push(`(Bound ${outlierBound.toFixed(2)}: in ${percent(FALSE_ALARM)} of sound heat runs some reading exceeds it.)`);
  }
  return [...pairs, ...single];
}

/** What limits how far the fit can be trusted, in sentences. */
export function fitWarnings(fit: HeatRunFit): string[] {
  const { quantities, alike, steadiness, reducedChiSquare, expectedReducedChiSquare: range, degreesOfFreedom } = fit;
  const bounds = quantities.filter(({ atBound }) => atBound !== null).map(({ quantity, value, atBound }) => (
    `The ${QUANTITY_TRAITS[quantity].words} lies at its ${atBound} bound, ${value}: that is no measurement. Its interval is not given, `
      + 'and those of the others hold only if it is right.'));
  const { known, readings, unsteady, timeConstant, effect } = steadiness;
  const rest = known === readings ? [] : [known === 0
    ? `Nothing in the file shows that the rack was steady (no drift, no repeated time stamps): at more than ${STEADY_DRIFT} K/h the fit is biased.`
    : `Drift is known of ${known} of ${readings} readings; the others are taken as steady.`];
  const moving = unsteady.length === 0 ? [] : [
    `Not steady, and taken all the same: ${unsteady.length} readings move by more than ${STEADY_DRIFT} K/h, ${unsteady[0].sensor} at `
      + `"${unsteady[0].point}" by ${unsteady[0].driftPerHour.toFixed(2)} K/h. With a time constant of the bar of ${timeConstant.toFixed(1)} h (its conductors alone) `
      + `it has some ${unsteady[0].missing.toFixed(1)} K to go; at the end of all drifts the fitted values would change by some `
      + `${fit.free.map((quantity, k) => `${signed(effect[k])} (${QUANTITY_TRAITS[quantity].words})`).join(', ')}. Standard errors do not hold that.`,
  ];
  const scatter = range === null || (reducedChiSquare >= range[0] && reducedChiSquare <= range[1]) ? [] : [
    reducedChiSquare > range[1]
      ? `The readings scatter ${Math.sqrt(reducedChiSquare).toPrecision(3)} times as widely as their standard errors say: the model misses something, or `
        + 'the errors are larger. Standard errors of the fit are widened by as much.'
      : `The readings scatter only ${Math.sqrt(reducedChiSquare).toPrecision(3)} times as widely as their standard errors say; those of the fit are narrowed by as much.`,
  ];
  const currents = fit.currents.filter(({ measured, expected }) => Math.abs(measured - expected) > CURRENTS_AGREE * expected)
    .map(({ point, measured, expected }) => (
      `At "${point}" the sources' currents add up to ${measured.toFixed(0)} A, while the loads take ${expected.toFixed(0)} A in the model: check the `
        + 'loads, their powers and the set voltage. The loads count, and the sources share as measured.'));
  const few = degreesOfFreedom >= 5 ? [] : [
    `Only ${degreesOfFreedom} readings more than quantities: intervals are wide and outliers hardly show.`,
  ];
  return [
    ...alike.map(({ words }) => words), ...bounds, ...moving, ...rest, ...scatter, ...currents, ...few,
    'One rack was measured: how racks of this build differ is not in these standard errors.',
  ];
}

export function signed(value: number): string {
  const text = Math.abs(value) >= 100 ? value.toFixed(0) : value.toPrecision(3);
  return value >= 0 ? `+${text}` : text;
}
