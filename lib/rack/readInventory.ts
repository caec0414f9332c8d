import type { ObservedRack, ObservedUnit } from './studyModel.js';
import { cellNumber, limited, readCsv } from './text/csv.js';
import { describeValue, type ProblemLog } from './text/problemLog.js';
import { describeSpan, overlaps } from './text/spans.js';
import { suggestion } from './text/spelling.js';
import { fromKw } from './text/units.js';

export const INVENTORY_COLUMNS = ['rack', 'bottomSlot', 'heightSlots', 'equipment', 'powerKw'] as const;
type Column = (typeof INVENTORY_COLUMNS)[number];

function logHeader(header: readonly string[], log: ProblemLog): void {
  const missing = INVENTORY_COLUMNS.filter((column) => !header.includes(column));
  for (const column of header) {
    if (!(INVENTORY_COLUMNS as readonly string[]).includes(column)) {
      log.add('line 1', `the unknown column ${describeValue(column)}`,
        `${suggestion(column, missing)}the columns are ${INVENTORY_COLUMNS.join(',')}`);
    }
  }
  // A misspelt column is also a missing one: one message is enough.
  if (log.isEmpty && missing.length > 0) {
    log.add('line 1', `no column ${missing.map((column) => `"${column}"`).join(', ')}`,
      `the columns are ${INVENTORY_COLUMNS.join(',')}`);
  }
}

interface Line {
  readonly rack: string;
  readonly unit: ObservedUnit;
  readonly line: number;
}

/** An inventory from CSV text; null where a problem was logged. Racks and their lines keep the order of the file. */
export function readInventory(csvText: string, log: ProblemLog): ObservedRack[] | null {
  const table = readCsv(csvText, log);
  if (table === null) {
    return null;
  }
  logHeader(table.header, log);
  if (!log.isEmpty) {
    return null;
  }
  const problems = limited(log);
  const lines = table.rows.map(({ line, cells }): Line => {
    const cell = (column: Column): string => cells[table.header.indexOf(column)];
    const word = (column: Column): string => {
      if (cell(column) === '') {
        problems.add(`line ${line}, column ${column}`, 'an empty cell', 'give a name');
      }
      return cell(column);
    };
    const number = (column: Column, valid: (value: number) => boolean, allowed: string): number => {
      const value = cellNumber(cell(column));
      if (!valid(value)) {
        problems.add(`line ${line}, column ${column}`, describeValue(cell(column)), allowed);
      }
      return value;
    };
    const isSlot = (value: number): boolean => Number.isSafeInteger(value) && value >= 1;
    return {
      line,
      rack: word('rack'),
      unit: {
        equipment: word('equipment'),
        bottomSlot: number('bottomSlot', isSlot, 'give a slot: a whole number of at least 1'),
        heightSlots: number('heightSlots', isSlot, 'give a height in slots: a whole number of at least 1'),
        power: fromKw(number('powerKw', (kw) => Number.isFinite(kw) && kw > 0,
          'give a power above 0 in kW, with a decimal point; leave out what draws no power')),
      },
    };
  });
  const racks = new Map<string, Line[]>();
  for (const line of lines) {
    const known = racks.get(line.rack);
    if (known === undefined) racks.set(line.rack, [line]);
    else known.push(line);
  }
  for (const inRack of racks.values()) {
    const spans = inRack.map(({ unit }) => ({ from: unit.bottomSlot, to: unit.bottomSlot + unit.heightSlots - 1 }));
    for (const [lower, upper] of overlaps(spans)) {
      problems.add(`line ${inRack[upper].line}, column bottomSlot`, describeSpan(spans[upper]),
        `units of one rack may not overlap, and line ${inRack[lower].line} takes ${describeSpan(spans[lower])}`);
    }
  }
  problems.close();
  if (!log.isEmpty) {
    return null;
  }
  return [...racks].map(([rack, inRack]) => ({
    rack,
    units: inRack.map(({ unit }) => unit).sort((a, b) => a.bottomSlot - b.bottomSlot),
  }));
}
