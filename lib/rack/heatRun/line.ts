import { type SensorDepth, SENSOR_DEPTHS } from '../heatRunModel.js';
import type { HeatRunContext } from '../readHeatRun.js';
import { cellNumber, type CsvRow } from '../text/csv.js';
import { describeValue, type ProblemLog } from '../text/problemLog.js';
import { listWords, suggestion } from '../text/spelling.js';
import { fromCelsius, fromKw } from '../text/units.js';

export const HEAT_RUN_REQUIRED = ['point', 'kind', 'slot', 'equipment', 'sensor', 'pole', 'temperatureC'] as const;
export const HEAT_RUN_OPTIONAL = ['depth', 'currentA', 'powerKw', 'standardErrorK', 'driftKPerH', 'timeMin'] as const;
export const HEAT_RUN_COLUMNS = [...HEAT_RUN_REQUIRED, ...HEAT_RUN_OPTIONAL] as const;
type Column = (typeof HEAT_RUN_COLUMNS)[number];

const KINDS = ['source', 'load', 'bar', 'air'] as const;
type Kind = (typeof KINDS)[number];

/** Which cells a row of a kind may fill; the others stay empty, so that nothing that was written is overlooked. */
const FILLED: Readonly<Record<Kind, readonly Column[]>> = {
  source: ['slot', 'equipment', 'currentA'],
  load: ['slot', 'equipment', 'currentA', 'powerKw'],
  bar: ['slot', 'sensor', 'pole', 'depth', 'temperatureC', 'standardErrorK', 'driftKPerH', 'timeMin'],
  air: ['slot', 'sensor', 'temperatureC', 'standardErrorK', 'driftKPerH', 'timeMin'],
};

/** One row, in SI but for the drift. */
export interface HeatRunLine {
  readonly line: number;
  readonly point: string;
  readonly kind: Kind;
  readonly slot: number | null;
  readonly equipment: string;
  /** Empty where the row is no reading: units, and the air at the inlet. */
  readonly sensor: string;
  readonly pole: 0 | 1;
  readonly depth: SensorDepth;
  readonly current: number | null;
  readonly power: number | null;
  readonly temperature: number | null;
  readonly standardError: number | null;
  /** K/h. */
  readonly driftPerHour: number | null;
  /** s. */
  readonly time: number | null;
}

/** One row of a heat run; problems go to the log. */
export function readLine(
  { line, cells }: CsvRow,
  header: readonly string[],
  context: HeatRunContext,
  problems: Pick<ProblemLog, 'add'>,
): HeatRunLine {
  const cell = (column: Column): string => cells[header.indexOf(column)] ?? '';
  const bad = (column: Column, allowed: string): void => {
    problems.add(
      `line ${line}, column ${column}`,
      cell(column) === '' ? 'an empty cell' : describeValue(cell(column)),
      allowed,
    );
  };
  const oneOf = <T extends string>(column: Column, words: readonly T[], missing: T | null): T => {
    const found = cell(column) === '' && missing !== null ? missing : words.find((word) => word === cell(column));
    if (found === undefined) bad(column, `${suggestion(cell(column), words)}give one of ${listWords(words)}`);
    return found ?? words[0];
  };
  const number = (column: Column, valid: (value: number) => boolean, allowed: string): number | null => {
    if (cell(column) === '') return null;
    const value = cellNumber(cell(column));
    if (!Number.isFinite(value) || !valid(value)) bad(column, allowed);
    return value;
  };
  const kind = oneOf('kind', KINDS, null);
  const isReading = kind === 'bar' || kind === 'air';
  if (cell('point') === '') bad('point', 'give the name of the operating point');
  for (const column of HEAT_RUN_COLUMNS) {
    if (column !== 'point' && column !== 'kind' && cell(column) !== '' && !FILLED[kind].includes(column)) {
      bad(column, `leave it empty in a row of the kind "${kind}"`);
    }
  }
  const slot = number(
    'slot',
    (value) => Number.isSafeInteger(value) && value >= 1 && value <= context.rack.slotCount,
    `give a slot from 1 to ${context.rack.slotCount}, the number of slots of the rack`,
  );
  const isInlet = kind === 'air' && cell('slot') === '';
  if (cell('slot') === '' && kind !== 'air')
    bad('slot', kind === 'bar' ? 'give the slot of the sensor' : 'give the lowest slot of the unit');
  if (isReading && !isInlet && cell('sensor') === '') bad('sensor', 'give the name of the sensor');
  if (isInlet && cell('sensor') !== '')
    bad('slot', 'give the slot of this sensor; only the air at the inlet has neither slot nor sensor');
  const [current, power] = [
    number(
      'currentA',
      (value) => value > 0,
      'give a current above 0 in A; leave out the row of a unit that carries none',
    ),
    number('powerKw', (value) => value > 0, 'give a power above 0 in kW; leave out the row of a unit that draws none'),
  ];
  if (kind === 'load' && (cell('currentA') === '') === (cell('powerKw') === '')) {
    bad('currentA', 'give a load its current (currentA) or its power at the terminals (powerKw), one of the two');
  }
  const celsius = number(
    'temperatureC',
    (value) => value > -273.15,
    'give a temperature above -273.15 in °C, with a decimal point;' +
      ' leave the cell empty where the reading is missing',
  );
  return {
    line,
    kind,
    slot,
    current,
    point: cell('point'),
    equipment: cell('equipment'),
    sensor: isInlet || !isReading ? '' : cell('sensor'),
    pole: kind === 'bar' && oneOf('pole', ['supply', 'return'], null) === 'return' ? 1 : 0,
    depth: kind === 'bar' ? oneOf('depth', SENSOR_DEPTHS, 'mean') : 'mean',
    power: power === null ? null : fromKw(power),
    temperature: celsius === null ? null : fromCelsius(celsius),
    standardError: number('standardErrorK', (value) => value > 0, 'give a standard error above 0 in K'),
    driftPerHour: number('driftKPerH', () => true, 'give a drift in K per hour, with a decimal point'),
    time: minutes(number('timeMin', (value) => value >= 0, 'give a time from 0 in minutes, with a decimal point')),
  };
}

function minutes(value: number | null): number | null {
  return value === null ? null : 60 * value;
}
