import { LIMIT_NAMES } from '../ladder/index.js';
import { ZERO_CELSIUS } from '../rack/index.js';
import { OPERATING_STATE_RULES, POLE_NAMES, RATED } from './batch.js';
import { PLACEMENT_CLASSES } from './placementClass.js';
import type { StudyRun } from './runStudy.js';

/** Header of scenarios.csv: one row per scenario, the unit in each name. */
export const SCENARIO_CSV_HEADER = [
  'index', 'ratedKw', 'limit', 'slot', 'pole', 'state', 'outSlot', 'loads', 'unitsLeftOut', 'placementClass',
  'meanSourceSlot', 'meanLoadSlot', 'largestSharePercent', 'contactFactor', 'filmFactor', 'emissivity', 'areaFactor',
  'inletC',
] as const;

const ROWS_PER_PIECE = 1000;

/**
 * The scenario table as CSV, in pieces. A scenario that could not be rated has empty fields after its index; a
 * quantity that the study does not draw (emissivity, inlet) is empty.
 */
export function* scenarioCsv({ table, scenarios }: StudyRun): Generator<string> {
  const c = table.columns;
  yield `${SCENARIO_CSV_HEADER.join(',')}\n`;
  for (let from = 0; from < scenarios; from += ROWS_PER_PIECE) {
    const rows: string[] = [];
    for (let i = from; i < Math.min(scenarios, from + ROWS_PER_PIECE); i++) {
      if (c.rated[i] !== RATED) {
        rows.push(`${i}${','.repeat(SCENARIO_CSV_HEADER.length - 1)}\n`);
        continue;
      }
      const fields = [
        i, (c.ratedPower[i] / 1e3).toFixed(6), LIMIT_NAMES[c.limit[i]], c.slot[i], POLE_NAMES[c.pole[i]],
        OPERATING_STATE_RULES[c.state[i]], c.outSlot[i], c.loadCount[i], c.unitsLeftOut[i],
        PLACEMENT_CLASSES[c.placementClass[i]], tidy(c.meanSourceSlot[i]), tidy(c.meanLoadSlot[i]),
        tidy(100 * c.largestShare[i]), tidy(c.contactFactor[i]), tidy(c.filmFactor[i]),
        c.emissivity[i] < 0 ? '' : tidy(c.emissivity[i]), tidy(c.areaFactor[i]),
        c.inlet[i] < 0 ? '' : tidy(c.inlet[i] - ZERO_CELSIUS, 5),
      ];
      rows.push(`${fields.join(',')}\n`);
    }
    yield rows.join('');
  }
}

/** Single-precision columns carry about seven digits. */
function tidy(value: number, digits = 7): string {
  return String(Number(value.toPrecision(digits)));
}
