import { LIMIT_NAMES } from '../ladder/index.js';
import { ZERO_CELSIUS } from '../rack/index.js';
import { OPERATING_STATE_RULES, POLE_NAMES } from './batch.js';
import { PLACEMENT_CLASSES } from './placementClass.js';
import type { ScenarioTable } from './scenarioTable.js';

type Columns = ScenarioTable['columns'];

/** One column of the scenario table as people and other programs see it, the unit in its name. */
export interface ScenarioField {
  readonly name: string;
  /** `single`: about seven digits. */
  readonly kind: 'whole' | 'single' | 'double' | 'text';
  /** Value of scenario i as stored; null where the study does not draw the quantity. */
  readonly stored: (columns: Columns, i: number) => number | string | null;
  /** The same as it is written down: not with more digits than it has. */
  readonly at: (columns: Columns, i: number) => number | string | null;
}

/** Columns of scenarios.csv, scenarios.parquet and data frames, in order. */
export const SCENARIO_FIELDS: readonly ScenarioField[] = [
  // Not `index`: data frames have a member of that name, and danfo.js lets a column hide it.
  field('scenario', 'whole', (_, i) => i),
  field('ratedKw', 'double', (c, i) => Math.round(c.ratedPower[i] * 1e3) / 1e6),
  field('limit', 'text', (c, i) => LIMIT_NAMES[c.limit[i]]),
  field('slot', 'whole', (c, i) => c.slot[i]),
  field('pole', 'text', (c, i) => POLE_NAMES[c.pole[i]]),
  field('state', 'text', (c, i) => OPERATING_STATE_RULES[c.state[i]]),
  field('outSlot', 'whole', (c, i) => c.outSlot[i]),
  field('loads', 'whole', (c, i) => c.loadCount[i]),
  field('unitsLeftOut', 'whole', (c, i) => c.unitsLeftOut[i]),
  field('placementClass', 'text', (c, i) => PLACEMENT_CLASSES[c.placementClass[i]]),
  field('meanSourceSlot', 'single', (c, i) => c.meanSourceSlot[i]),
  field('meanLoadSlot', 'single', (c, i) => c.meanLoadSlot[i]),
  field('largestSharePercent', 'single', (c, i) => 100 * c.largestShare[i]),
  field('contactFactor', 'single', (c, i) => c.contactFactor[i]),
  field('filmFactor', 'single', (c, i) => c.filmFactor[i]),
  field('emissivity', 'single', (c, i) => (c.emissivity[i] < 0 ? null : c.emissivity[i])),
  field('areaFactor', 'single', (c, i) => c.areaFactor[i]),
  field('inletC', 'single', (c, i) => (c.inlet[i] < 0 ? null : c.inlet[i] - ZERO_CELSIUS), (celsius) => Number(celsius.toFixed(3))),
];

function field(
  name: string, kind: ScenarioField['kind'], stored: ScenarioField['stored'], round: (value: number) => number = sevenDigits,
): ScenarioField {
  if (kind !== 'single') return { name, kind, stored, at: stored };
  return {
    name, kind, stored,
    at: (columns, i) => {
      const value = stored(columns, i);
      return typeof value === 'number' ? round(value) : value;
    },
  };
}

/** Single-precision columns carry about seven digits. */
function sevenDigits(value: number): number {
  return Number(value.toPrecision(7));
}
