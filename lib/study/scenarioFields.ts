import { LIMIT_NAMES } from '../ladder/limitCheck.js';
import { ZERO_CELSIUS } from '../rack/model.js';
import { PLACEMENT_CLASSES } from './placementClass.js';
import { OPERATING_STATE_RULES, POLE_NAMES, type ScenarioTable } from './scenarioTable.js';

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
  /** The column of the table that holds just these values; null where they are made of it. */
  readonly kept: keyof Columns | null;
  /** Of text: the words, and the column of the table that counts them. */
  readonly words: { readonly list: readonly string[]; readonly column: keyof Columns } | null;
}

/** Columns of scenarios.csv, scenarios.parquet and data frames, in order. */
export const SCENARIO_FIELDS: readonly ScenarioField[] = [
  // Not `index`: data frames have a member of that name, and danfo.js lets a column hide it.
  field('scenario', 'whole', (_, i) => i),
  field('ratedKw', 'double', (c, i) => Math.round(c.ratedPower[i] * 1e3) / 1e6),
  words('limit', LIMIT_NAMES, 'limit'),
  asKept('slot', 'whole', 'slot'),
  words('pole', POLE_NAMES, 'pole'),
  words('state', OPERATING_STATE_RULES, 'state'),
  asKept('outSlot', 'whole', 'outSlot'),
  asKept('loads', 'whole', 'loadCount'),
  asKept('unitsLeftOut', 'whole', 'unitsLeftOut'),
  words('placementClass', PLACEMENT_CLASSES, 'placementClass'),
  asKept('meanSourceSlot', 'single', 'meanSourceSlot'),
  asKept('meanLoadSlot', 'single', 'meanLoadSlot'),
  field('largestSharePercent', 'single', (c, i) => 100 * c.largestShare[i]),
  asKept('contactFactor', 'single', 'contactFactor'),
  asKept('filmFactor', 'single', 'filmFactor'),
  field('emissivity', 'single', (c, i) => (c.emissivity[i] < 0 ? null : c.emissivity[i])),
  asKept('areaFactor', 'single', 'areaFactor'),
  field('inletC', 'single', (c, i) => (c.inlet[i] < 0 ? null : c.inlet[i] - ZERO_CELSIUS), (celsius) => Number(celsius.toFixed(3))),
];

function field(
  name: string, kind: ScenarioField['kind'], stored: ScenarioField['stored'], round: (value: number) => number = sevenDigits,
): ScenarioField {
  if (kind !== 'single') return { name, kind, stored, at: stored, kept: null, words: null };
  return {
    name, kind, stored, kept: null, words: null,
    at: (columns, i) => {
      const value = stored(columns, i);
      return typeof value === 'number' ? round(value) : value;
    },
  };
}

function asKept(name: string, kind: ScenarioField['kind'], kept: keyof Columns): ScenarioField {
  return { ...field(name, kind, (columns, i) => columns[kept][i]), kept };
}

function words(name: string, list: readonly string[], column: keyof Columns): ScenarioField {
  return { ...field(name, 'text', (columns, i) => list[columns[column][i]]), words: { list, column } };
}

/** Single-precision columns carry about seven digits. */
function sevenDigits(value: number): number {
  return Number(value.toPrecision(7));
}
