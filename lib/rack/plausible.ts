/**
 * Warns of numbers that are far from usual, most often because of a slip of units. The ranges are wide: common practice, no
 * published source. A number that is meant is named in the file's `meant`, by its path.
 */
import { describeValue, joinPath, type ProblemLog } from './text/problemLog.js';

/** Another unit that a number may have been written in: what to call it, and the number it stands for. */
interface Slip {
  readonly unit: string;
  readonly toOwn: (value: number) => number;
}

interface Usual {
  readonly unit: string;
  readonly from: number;
  readonly to: number;
  readonly slips: readonly Slip[];
}

const times = (unit: string, factor: number): Slip => ({ unit, toOwn: (value) => value * factor });
const per = (unit: string, divisor: number): Slip => ({ unit, toOwn: (value) => value / divisor });

const LENGTHS = [times('m', 1000), times('inches', 25.4), times('cm', 10), per('µm', 1000)];
const RESISTANCES = [times('mΩ', 1000), times('Ω', 1e6), per('nΩ', 1000)];
const POWERS = [per('W', 1000), times('MW', 1000)];
const TEMPERATURES: readonly Slip[] = [
  { unit: '°F', toOwn: (value) => (value - 32) / 1.8 }, { unit: 'K', toOwn: (value) => value - 273.15 },
];
const DIFFERENCES = [per('°F', 1.8)];
const CURRENTS = [times('kA', 1000), per('mA', 1000)];
const VOLTAGES = [times('kV', 1000), per('mV', 1000)];
const FACTORS = [per('per cent', 100)];

const length = (from: number, to: number): Usual => ({ unit: 'mm', from, to, slips: LENGTHS });
const celsius = (from: number, to: number): Usual => ({ unit: '°C', from, to, slips: TEMPERATURES });
const kelvin = (from: number, to: number): Usual => ({ unit: 'K', from, to, slips: DIFFERENCES });
const power = (from: number, to: number): Usual => ({ unit: 'kW', from, to, slips: POWERS });
const current = (from: number, to: number): Usual => ({ unit: 'A', from, to, slips: CURRENTS });
const voltage = (from: number, to: number): Usual => ({ unit: 'V', from, to, slips: VOLTAGES });
const resistance = (from: number, to: number): Usual => ({ unit: 'µΩ', from, to, slips: RESISTANCES });
const factor = (from: number, to: number): Usual => ({ unit: '', from, to, slips: FACTORS });

/** By the key a number stands under. */
const USUAL: Readonly<Record<string, Usual>> = {
  pitchMm: length(15, 200),
  depthMm: length(10, 800),
  thicknessMm: length(0.5, 60),
  gapMm: length(1, 150),
  edgeHeightMm: length(2, 150),
  microOhm: resistance(0.05, 3000),
  sourceContactMicroOhm: resistance(0.5, 3000),
  loadContactMicroOhm: resistance(0.5, 3000),
  droopMilliOhm: { unit: 'mΩ', from: 0.005, to: 200, slips: [times('Ω', 1000), per('µΩ', 1000)] },
  thermalResistanceKPerW: { unit: 'K/W', from: 0.01, to: 60, slips: [per('K/kW', 1000)] },
  conductanceWPerK: { unit: 'W/K', from: 0.001, to: 100, slips: [per('mW/K', 1000)] },
  inletC: celsius(-40, 60),
  surroundingsC: celsius(-40, 90),
  barC: celsius(40, 180),
  contactC: celsius(40, 200),
  barRiseK: kelvin(5, 150),
  riseK: kelvin(-20, 60),
  exhaustRiseKPerKw: { unit: 'K/kW', from: 0.001, to: 60, slips: [times('K/W', 1000)] },
  altitudeM: { unit: 'm', from: -450, to: 5000, slips: [per('feet', 3.28084), times('km', 1000)] },
  setV: voltage(5, 1500),
  lowestLoadV: voltage(5, 1500),
  loadContactA: current(5, 5000),
  maxCurrentA: current(5, 10_000),
  powerKw: power(0.02, 250),
  maxPowerKw: power(0.1, 500),
  totalPowerKw: power(0.5, 2000),
  capKw: power(0.02, 250),
  halfWidthKw: power(0.005, 50),
  massKg: { unit: 'kg', from: 0.2, to: 2000, slips: [per('g', 1000), times('t', 1000)] },
  resistivityNanoOhmM: { unit: 'nΩ·m', from: 14, to: 1500, slips: [times('µΩ·m', 1000), times('Ω·m', 1e9), times('µΩ·cm', 10)] },
  temperatureCoefficientPerK: { unit: '1/K', from: 0.0003, to: 0.01, slips: [per('% per K', 100), per('‰ per K', 1000)] },
  thermalConductivityWPerMK: { unit: 'W/(m·K)', from: 8, to: 500, slips: [times('W/(cm·K)', 100), times('kW/(m·K)', 1000)] },
  densityKgPerM3: { unit: 'kg/m³', from: 1500, to: 23_000, slips: [times('g/cm³', 1000)] },
  specificHeatJPerKgK: { unit: 'J/(kg·K)', from: 100, to: 2000, slips: [times('kJ/(kg·K)', 1000)] },
  coefficientWPerM2K: { unit: 'W/(m²·K)', from: 0.5, to: 300, slips: [times('W/(cm²·K)', 10_000)] },
  emissivity: factor(0.01, 1),
  contactFactor: factor(0.1, 20),
  filmFactor: factor(0.1, 10),
  areaFactor: factor(0.7, 1.4),
  currentA: current(0.5, 10_000),
  temperatureC: celsius(0, 110),
  standardErrorK: kelvin(0.02, 10),
  driftKPerH: kelvin(-100, 100),
};

/** Keys of a range or a distribution under a quantity's key that hold the quantity itself. */
const OF_A_RANGE = new Set(['min', 'max', 'mean', 'median', 'mode', 'value']);

/**
 * Warns of every number of a file that is far from usual; an entry of `meant` that names none is a problem.
 * @param columns paths that name columns of numbers in other files
 */
export function logImplausible(json: unknown, log: ProblemLog, columns: readonly string[] = []): void {
  const meant = namedAsMeant(json);
  const numbers = new Set(columns);
  visit(json, [], null, new Set());
  meant.forEach((path, index) => {
    if (!numbers.has(path)) {
      log.add(`meant[${index}]`, describeValue(path),
        'give the path of a number of this file as a warning names it, such as "slots.pitchMm"');
    }
  });

  function visit(value: unknown, path: readonly PropertyKey[], usual: Usual | null, around: Set<unknown>): void {
    if (typeof value === 'number') {
      const name = joinPath(path);
      numbers.add(name);
      if (usual !== null && !meant.includes(name)) warn(name, value, usual, log);
      return;
    }
    if (typeof value !== 'object' || value === null || around.has(value) || path.length > 60) return;
    around.add(value);
    for (const key of Object.keys(value)) {
      const inner = (value as Record<string, unknown>)[key];
      const isList = Array.isArray(value);
      const known = isList ? usual : Object.hasOwn(USUAL, key) ? USUAL[key] : OF_A_RANGE.has(key) ? usual : null;
      visit(inner, [...path, isList ? Number(key) : key], known, around);
    }
    around.delete(value);
  }
}

/** Warns where the middle one of some values of a CSV column is far from usual for a key. */
export function logImplausibleColumn(
  values: readonly number[], key: string, path: string, isMeant: boolean, log: ProblemLog,
): void {
  if (values.length === 0 || isMeant || !Object.hasOwn(USUAL, key)) return;
  const middle = [...values].sort((a, b) => a - b)[Math.floor((values.length - 1) / 2)];
  warn(path, middle, USUAL[key], log);
}

/** Warns where the middle one of the cells of a column is far from usual, the column's name being the key. */
export function logImplausibleCells(values: readonly number[], column: string, log: ProblemLog): void {
  const given = values.filter(Number.isFinite).sort((a, b) => a - b);
  if (given.length === 0 || !Object.hasOwn(USUAL, column)) return;
  warn(`column ${column}`, given[Math.floor((given.length - 1) / 2)], USUAL[column], log, 'Half of the column lies beyond it');
}

/** The paths that a file names in `meant`. */
export function namedAsMeant(json: unknown): string[] {
  const meant = (json as { meant?: unknown } | null | undefined)?.meant;
  return Array.isArray(meant) ? meant.filter((path): path is string => typeof path === 'string') : [];
}

function warn(
  path: string, value: number, { unit, from, to, slips }: Usual, log: ProblemLog,
  then = `If it is meant, add "${path}" to "meant" in this file`,
): void {
  // Nought stands for something left out, not for a slip.
  if (value === 0 || !Number.isFinite(value) || (value >= from && value <= to)) return;
  const slip = slips.find(({ toOwn }) => toOwn(value) >= from && toOwn(value) <= to);
  const number = unit === '' ? String(value) : `${value} ${unit}`;
  const range = `from ${from} to ${to}${unit === '' ? '' : ` ${unit}`}`;
  const hint = slip === undefined ? '' : `; ${value} ${slip.unit} would be ${Number(slip.toOwn(value).toPrecision(4))}`
    + `${unit === '' ? '' : ` ${unit}`}`;
  log.warn(path, number, `${range} is usual${hint}. ${then}`);
}
