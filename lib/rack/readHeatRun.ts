import type { HeatRun, OperatingPoint } from './heatRunModel.js';
import { logHeatRunUnits } from './heatRun/checkUnits.js';
import { HEAT_RUN_COLUMNS, HEAT_RUN_OPTIONAL, HEAT_RUN_REQUIRED, type HeatRunLine, readLine } from './heatRun/line.js';
import { logSensorPlaces, readingOf } from './heatRun/readings.js';
import type { Catalogue, Rack } from './model.js';
import { logImplausibleCells } from './plausible.js';
import { cellNumber, type CsvTable, limited, readCsv } from './text/csv.js';
import { describeValue, type ProblemLog } from './text/problemLog.js';
import { listWords, nearestKey } from './text/spelling.js';

/** What the rows of a heat run speak of. */
export interface HeatRunContext {
  readonly rack: Rack;
  readonly catalogue: Catalogue;
}

/** Columns whose numbers are looked at for a slip of units. */
const LOOKED_AT = ['temperatureC', 'currentA', 'powerKw', 'standardErrorK', 'driftKPerH'] as const;

/** A heat run from CSV text; null where a problem was logged. */
export function readHeatRun(csvText: string, context: HeatRunContext, log: ProblemLog): HeatRun | null {
  const table = readCsv(csvText, log);
  if (table === null) return null;
  logHeader(table.header, log);
  if (!log.isEmpty) return null;
  const problems = limited(log);
  const lines = table.rows.map((row) => readLine(row, table.header, context, problems));
  const points = new Map<string, HeatRunLine[]>();
  for (const line of lines) points.set(line.point, [...(points.get(line.point) ?? []), line]);
  for (const [name, inPoint] of points) {
    logHeatRunUnits(name, inPoint, context, problems);
    logInlet(name, inPoint, problems);
  }
  logSensorPlaces(lines, problems);
  logStandardErrors(lines, problems);
  problems.close();
  logSlips(table, log);
  return log.isEmpty ? { points: [...points].map(([name, inPoint]) => pointOf(name, inPoint)) } : null;
}

function logHeader(header: readonly string[], log: ProblemLog): void {
  const missing = HEAT_RUN_REQUIRED.filter((column) => !header.includes(column));
  const free = HEAT_RUN_COLUMNS.filter((column) => !header.includes(column));
  const columns = `the columns are ${HEAT_RUN_REQUIRED.join(',')}, and where they are wanted ${HEAT_RUN_OPTIONAL.join(',')}`;
  for (const column of header) {
    if (!(HEAT_RUN_COLUMNS as readonly string[]).includes(column)) {
      const nearest = nearestKey(column, free);
      log.add(
        'line 1',
        `the unknown column ${describeValue(column)}`,
        `${nearest === null ? '' : `did you mean "${nearest}"? `}${columns}`,
      );
    }
  }
  // A misspelt column is also a missing one: one message is enough.
  if (log.isEmpty && missing.length > 0) log.add('line 1', `no column ${listWords(missing)}`, columns);
}

/** Each operating point has its inlet temperature: an air row without a slot. */
function logInlet(name: string, lines: readonly HeatRunLine[], problems: Pick<ProblemLog, 'add'>): void {
  const inlets = lines.filter(({ kind, slot }) => kind === 'air' && slot === null);
  if (inlets.length === 0) {
    problems.add(
      `line ${lines[0].line}, column point`,
      `no inlet temperature at ${describeValue(name)}`,
      'add a row of the kind "air" without a slot: the air at the inlet of the rack',
    );
  }
  const last = inlets.reduce<HeatRunLine | null>(
    (best, line) => (best === null || (line.time ?? 0) >= (best.time ?? 0) ? line : best),
    null,
  );
  if (last !== null && last.temperature === null) {
    problems.add(
      `line ${last.line}, column temperatureC`,
      'an empty cell',
      'give the temperature of the air at the inlet, °C',
    );
  }
  const untimed = inlets.filter(({ time }) => time === null);
  if (inlets.length > 1 && untimed.length > 0) {
    problems.add(
      `line ${untimed[untimed.length - 1].line}, column timeMin`,
      `a second inlet temperature at ${describeValue(name)}`,
      'give one, or a time stamp with each',
    );
  }
}

/** Weights must mean the same for all: a standard error with every reading, or with none. */
function logStandardErrors(lines: readonly HeatRunLine[], problems: Pick<ProblemLog, 'add'>): void {
  const readings = lines.filter(({ sensor, temperature }) => sensor !== '' && temperature !== null);
  if (readings.every(({ standardError }) => standardError === null)) return;
  for (const { line, standardError } of readings) {
    if (standardError === null) {
      problems.add(
        `line ${line}, column standardErrorK`,
        'an empty cell',
        'give a standard error with every reading, or with none',
      );
    }
  }
}

function logSlips(table: CsvTable, log: ProblemLog): void {
  for (const column of LOOKED_AT) {
    const at = table.header.indexOf(column);
    if (at >= 0)
      logImplausibleCells(
        table.rows.map(({ cells }) => cellNumber(cells[at] ?? '')),
        column,
        log,
      );
  }
}

function pointOf(name: string, lines: readonly HeatRunLine[]): OperatingPoint {
  const inlets = lines.filter(({ kind, slot }) => kind === 'air' && slot === null);
  const inlet = inlets.reduce((best, line) => ((line.time ?? 0) >= (best.time ?? 0) ? line : best));
  const bySensor = new Map<string, HeatRunLine[]>();
  for (const line of lines) {
    if (line.sensor !== '') bySensor.set(line.sensor, [...(bySensor.get(line.sensor) ?? []), line]);
  }
  return {
    name,
    inlet: inlet.temperature as number,
    units: lines
      .filter(({ kind }) => kind === 'source' || kind === 'load')
      .map(({ kind, equipment, slot, current, power }) => ({
        kind: kind as 'source' | 'load',
        equipment,
        bottomSlot: slot as number,
        current,
        power,
      }))
      .sort((a, b) => a.bottomSlot - b.bottomSlot),
    readings: [...bySensor.values()].map(readingOf),
  };
}
