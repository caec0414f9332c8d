/** What a heat run has to be before it is fitted. */
import { suggestion } from '../rack/text/spelling.js';
import { CalibrationError } from './errors.js';
import { STEADY_DRIFT, type Steadiness } from './steadiness.js';

/** @throws CalibrationError for a name that no sensor bears */
export function requireSensors(dropped: readonly string[], sensors: readonly string[]): void {
  for (const name of dropped) {
    if (sensors.includes(name)) continue;
    throw new CalibrationError(
      `no sensor "${name}" to leave out`,
      `${suggestion(name, sensors)}the sensors are ${sensors.slice(0, 30).join(', ')}`,
    );
  }
}

/** @throws CalibrationError where readings still move by more than 1 K/h */
export function requireSteady({ unsteady, timeConstant }: Steadiness): void {
  if (unsteady.length === 0) return;
  const { sensor, point, driftPerHour, missing } = unsteady[0];
  const count = unsteady.length === 1 ? '1 reading that still moves' : `${unsteady.length} readings that still move`;
  throw new CalibrationError(
    `${count} by more than ${STEADY_DRIFT} K/h, most of all ${sensor} at "${point}" by ${driftPerHour.toFixed(2)} K/h: `
      + `with a time constant of the bar of ${timeConstant.toFixed(1)} h it has some ${missing.toFixed(1)} K still to go`,
    'run until it is steady, or allow unsteady readings (--allow-unsteady): fitted values then carry that error',
  );
}
