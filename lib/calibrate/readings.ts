/** Readings of a heat run as the fit uses and shows them. */
import type { HeatRunReading } from '../rack/heatRunModel.js';
import type { FittedReading } from './suspicions.js';

type PointReading = HeatRunReading & { readonly point: string };

/** K, where the file gives no standard errors: only their ratios count, and those are all 1. */
const EQUAL_ERROR = 1;

/** A reading that takes part in the fit. */
export interface UsedReading extends FittedReading {
  /** Position among all readings. */
  readonly index: number;
  readonly driftPerHour: number | null;
  /** Whether the standard error is the file's. */
  readonly isStated: boolean;
}

export interface ReadingFit extends Omit<PointReading, 'driftPerHour' | 'temperature'> {
  /** K; null where the reading is missing. */
  readonly measured: number | null;
  /** K, by the fitted model. */
  readonly expected: number;
  /** K, measured − expected. */
  readonly residual: number | null;
  /** Residual over what the other readings let expect of it; null where it is not in the fit or cannot be judged. */
  readonly studentised: number | null;
  readonly use: 'fitted' | 'missing' | 'dropped' | 'compared';
}

/** Readings that take part: all but missing and dropped ones, and those of the air where nothing fitted acts on them. */
export function fitReadings(
  readings: readonly PointReading[],
  dropped: readonly string[],
  withAir: boolean,
): UsedReading[] {
  return readings.flatMap(({ point, sensor, place, temperature, standardError, driftPerHour }, index) => {
    if (temperature === null || dropped.includes(sensor) || (place === 'air' && !withAir)) return [];
    return [
      {
        index,
        point,
        sensor,
        driftPerHour,
        measured: temperature,
        standardError: standardError ?? EQUAL_ERROR,
        isStated: standardError !== null,
      },
    ];
  });
}

/**
 * All readings beside what the model expects.
 * @param expected K, `[reading]`
 * @param studentised of the used ones, in their order
 */
export function readingFits(
  readings: readonly PointReading[],
  used: readonly UsedReading[],
  expected: ArrayLike<number>,
  studentised: readonly (number | null)[],
): ReadingFit[] {
  const usedAt = new Map(used.map(({ index }, at) => [index, at]));
  return readings.map(({ temperature, driftPerHour: _, ...reading }, index): ReadingFit => {
    const at = usedAt.get(index);
    return {
      ...reading,
      measured: temperature,
      expected: expected[index],
      residual: temperature === null ? null : temperature - expected[index],
      studentised: at === undefined ? null : (studentised[at] ?? null),
      use:
        temperature === null
          ? 'missing'
          : at !== undefined
            ? 'fitted'
            : reading.place === 'air'
              ? 'compared'
              : 'dropped',
    };
  });
}
