/**
 * A heat run: a temperature-rise test of a rack with known units, currents and air. SI inside, see model.ts.
 */

/** One unit that stood in the rack at an operating point. */
export interface HeatRunUnit {
  readonly kind: 'source' | 'load';
  /** Catalogue id. */
  readonly equipment: string;
  readonly bottomSlot: number;
  /** A as measured; null where none was given. A source without one takes its equal share. */
  readonly current: number | null;
  /** W at the terminals of a load; null for a source, and for a load whose current was measured. */
  readonly power: number | null;
}

/** Where over the depth of the bar a sensor sits: the mean stands for mid-depth too. */
export const SENSOR_DEPTHS = ['mean', 'front-edge'] as const;
export type SensorDepth = (typeof SENSOR_DEPTHS)[number];

/** What one sensor said at one operating point, at the end where it was read several times. */
export interface HeatRunReading {
  /** Name of the sensor, the same at every operating point. */
  readonly sensor: string;
  readonly place: 'bar' | 'air';
  readonly slot: number;
  /** 0 supply, 1 return; 0 for air. */
  readonly pole: 0 | 1;
  readonly depth: SensorDepth;
  /** K; null where the reading is missing. */
  readonly temperature: number | null;
  /** K, one standard deviation; null where none was given. */
  readonly standardError: number | null;
  /** K/h at the end, as given or from the last hour of the time stamps; null where the file tells neither. */
  readonly driftPerHour: number | null;
}

/** One steady condition of the rack. */
export interface OperatingPoint {
  readonly name: string;
  /** K, air at the inlet. */
  readonly inlet: number;
  /** In order of slot. */
  readonly units: readonly HeatRunUnit[];
  readonly readings: readonly HeatRunReading[];
}

export interface HeatRun {
  readonly points: readonly OperatingPoint[];
}
