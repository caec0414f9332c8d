/** Whether the rack had come to rest, and what a run that was stopped too soon does to the fit. */
import type { HeatRunReading } from '../rack/heatRunModel.js';
import { linearFit } from './linearFit.js';

/** Steady: no reading moves by more than this, K/h (temperature-rise test of IEC 61439-1; from memory). */
export const STEADY_DRIFT = 1;

export interface UnsteadyReading {
  readonly point: string;
  readonly sensor: string;
  /** K/h. */
  readonly driftPerHour: number;
  /** K that the reading is still below its end: drift × time constant of the bar. */
  readonly missing: number;
}

export interface Steadiness {
  /** Readings whose drift is known, of those used. */
  readonly known: number;
  readonly readings: number;
  /** K/h, the largest in size; null where none is known. */
  readonly largestDrift: number | null;
  /** The largest drift first. */
  readonly unsteady: readonly UnsteadyReading[];
  /** h, the longest of the operating points. */
  readonly timeConstant: number;
  /** What each fitted value would change by if the drifting readings were at their end, `[quantity]`. */
  readonly effect: readonly number[];
}

interface Read extends Pick<HeatRunReading, 'sensor' | 'driftPerHour'> {
  readonly point: string;
  readonly standardError: number;
}

/**
 * @param timeConstants s, by operating point; a bar that follows as a first-order lag has drift × time constant still to go
 * @param jacobian `[reading][quantity]` over the standard errors; empty where nothing has been fitted
 */
export function steadiness(
  readings: readonly Read[],
  timeConstants: ReadonlyMap<string, number>,
  jacobian: readonly (readonly number[])[],
): Steadiness {
  const drifts = readings.map(({ driftPerHour }) => driftPerHour);
  const known = drifts.filter((drift): drift is number => drift !== null);
  const missing = readings.map(
    ({ point, driftPerHour }) => ((driftPerHour ?? 0) * (timeConstants.get(point) ?? 0)) / 3600,
  );
  const unsteady = readings.flatMap(({ point, sensor, driftPerHour }, i) =>
    Math.abs(driftPerHour ?? 0) > STEADY_DRIFT
      ? [{ point, sensor, driftPerHour: driftPerHour ?? 0, missing: missing[i] }]
      : [],
  );
  return {
    known: known.length,
    readings: readings.length,
    largestDrift:
      known.length === 0 ? null : known.reduce((most, drift) => (Math.abs(drift) > Math.abs(most) ? drift : most)),
    unsteady: unsteady.sort((a, b) => Math.abs(b.driftPerHour) - Math.abs(a.driftPerHour)),
    timeConstant: Math.max(0, ...timeConstants.values()) / 3600,
    effect:
      jacobian.length === 0
        ? []
        : linearFit(
            jacobian,
            missing.map((k, i) => k / readings[i].standardError),
          ).step,
  };
}
