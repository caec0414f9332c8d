import { parse } from 'csv-parse/sync';
import { LIMIT_NAMES, type LimitName } from '../ladder/index.js';
import { InputError, type Study } from '../rack/index.js';
import { plannedLooks } from '../statistics/index.js';
import { PLACEMENT_CLASSES, type PlacementClass } from '../study/placementClass.js';
import type { LabelSample } from './labelSample.js';

/**
 * The sample of a study again from its scenarios.csv, powers to the milliwatt.
 *
 * @param file name for messages
 * @throws InputError where the text is not a scenario table in the order drawn
 */
export function labelSampleCsv(text: string, study: Study, file: string): LabelSample {
  const refuse = (path: string, found: string, allowed: string): never => {
    throw new InputError([{ file, path, found, allowed }]);
  };
  let rows: Record<string, string>[];
  try {
    rows = parse(text, { columns: true, skip_empty_lines: true }) as Record<string, string>[];
  } catch (error) {
    return refuse('', error instanceof Error ? error.message : String(error), 'give the scenarios.csv that a study wrote');
  }
  return sampleOfRows(rows, study, file);
}

/** Columns of a scenario table that a sample needs. */
export const SAMPLE_COLUMNS = ['scenario', 'ratedKw', 'limit', 'placementClass'] as const;

/**
 * The same from rows that were read, empty or null where a scenario was not rated.
 * @throws InputError where the rows are not a scenario table in the order drawn
 */
export function sampleOfRows(
  rows: readonly Readonly<Record<string, unknown>>[], study: Study, file: string,
): LabelSample {
  const refuse = (path: string, found: string, allowed: string): never => {
    throw new InputError([{ file, path, found, allowed }]);
  };
  const powers = new Float64Array(rows.length);
  const limit: (LimitName | null)[] = [];
  const placementClass: (PlacementClass | null)[] = [];
  rows.forEach((row, i) => {
    const at = `row ${i + 1}`;
    if (String(row.scenario) !== String(i)) {
      refuse(at, `scenario "${row.scenario}"`, `scenario ${i}: one row per scenario, in the order drawn`);
    }
    const isRated = row.ratedKw !== undefined && row.ratedKw !== null && row.ratedKw !== '';
    const power = isRated ? 1e3 * Number(row.ratedKw) : 0;
    if (!(power >= 0 && Number.isFinite(power))) refuse(at, `ratedKw "${row.ratedKw}"`, 'a power in kW, 0 or more');
    powers[i] = power;
    limit.push(isRated ? named(LIMIT_NAMES, row.limit) ?? refuse(at, `limit "${row.limit}"`, LIMIT_NAMES.join(', ')) : null);
    placementClass.push(isRated
      ? named(PLACEMENT_CLASSES, row.placementClass)
        ?? refuse(at, `placementClass "${row.placementClass}"`, PLACEMENT_CLASSES.join(', '))
      : null);
  });
  return {
    ratedPower: powers, limit, placementClass, sampling: study.sampling, confidence: study.confidence,
    looks: study.stopping === null ? 1 : plannedLooks(study.scenarios, study.stopping.lookEvery),
  };
}

function named<Name extends string>(names: readonly Name[], text: unknown): Name | null {
  return names.find((name) => name === text) ?? null;
}
