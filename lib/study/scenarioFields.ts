import { LIMIT_NAMES } from '../ladder/index.js';
import { ZERO_CELSIUS } from '../rack/index.js';
import { OPERATING_STATE_RULES, POLE_NAMES } from './batch.js';
import { PLACEMENT_CLASSES } from './placementClass.js';
import type { ScenarioTable } from './scenarioTable.js';

type Columns = ScenarioTable['columns'];

/** One column of the scenario table as people and other programs see it, the unit in its name. */
export interface ScenarioField {
  readonly name: string;
  readonly kind: 'whole' | 'number' | 'text';
  /** Value of scenario i; null where the study does not draw the quantity. */
  readonly at: (columns: Columns, i: number) => number | string | null;
}

/** Columns of scenarios.csv, scenarios.parquet and data frames, in order. */
export const SCENARIO_FIELDS: readonly ScenarioField[] = [
  // Not `index`: data frames have a member of that name, and danfo.js lets a column hide it.
  { name: 'scenario', kind: 'whole', at: (_, i) => i },
  { name: 'ratedKw', kind: 'number', at: (c, i) => Math.round(c.ratedPower[i] * 1e3) / 1e6 },
  { name: 'limit', kind: 'text', at: (c, i) => LIMIT_NAMES[c.limit[i]] },
  { name: 'slot', kind: 'whole', at: (c, i) => c.slot[i] },
  { name: 'pole', kind: 'text', at: (c, i) => POLE_NAMES[c.pole[i]] },
  { name: 'state', kind: 'text', at: (c, i) => OPERATING_STATE_RULES[c.state[i]] },
  { name: 'outSlot', kind: 'whole', at: (c, i) => c.outSlot[i] },
  { name: 'loads', kind: 'whole', at: (c, i) => c.loadCount[i] },
  { name: 'unitsLeftOut', kind: 'whole', at: (c, i) => c.unitsLeftOut[i] },
  { name: 'placementClass', kind: 'text', at: (c, i) => PLACEMENT_CLASSES[c.placementClass[i]] },
  { name: 'meanSourceSlot', kind: 'number', at: (c, i) => single(c.meanSourceSlot[i]) },
  { name: 'meanLoadSlot', kind: 'number', at: (c, i) => single(c.meanLoadSlot[i]) },
  { name: 'largestSharePercent', kind: 'number', at: (c, i) => single(100 * c.largestShare[i]) },
  { name: 'contactFactor', kind: 'number', at: (c, i) => single(c.contactFactor[i]) },
  { name: 'filmFactor', kind: 'number', at: (c, i) => single(c.filmFactor[i]) },
  { name: 'emissivity', kind: 'number', at: (c, i) => (c.emissivity[i] < 0 ? null : single(c.emissivity[i])) },
  { name: 'areaFactor', kind: 'number', at: (c, i) => single(c.areaFactor[i]) },
  { name: 'inletC', kind: 'number', at: (c, i) => (c.inlet[i] < 0 ? null : Number((c.inlet[i] - ZERO_CELSIUS).toFixed(3))) },
];

/** Single-precision columns carry about seven digits. */
function single(value: number): number {
  return Number(value.toPrecision(7));
}
