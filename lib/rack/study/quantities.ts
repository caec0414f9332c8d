import type { UncertainFile } from '../schema/distributionSchema.js';
import { fromCelsius, fromMicroOhm } from '../text/units.js';

/** A quantity of "uncertain": which values make sense, and how its unit becomes SI. */
export interface Quantity {
  readonly key: keyof UncertainFile;
  /** Values below are impossible; `open` excludes the bound itself. */
  readonly lowest: number;
  readonly open: boolean;
  /** Values above are impossible. */
  readonly highest: number;
  /** Ending of a CSV column in this unit; null for a pure number. */
  readonly unitEnding: string | null;
  /** A value, and a difference of two values, in SI. */
  value(inFile: number): number;
  difference(inFile: number): number;
  /** False where the unit has no natural zero, so that a lognormal would change with the unit. */
  readonly hasZero: boolean;
}

const same = (value: number): number => value;
const positive = { lowest: 0, open: true, highest: Number.POSITIVE_INFINITY, hasZero: true };
const factor = { ...positive, unitEnding: null, value: same, difference: same };
const contact = { ...positive, open: false, unitEnding: 'MicroOhm', value: fromMicroOhm, difference: fromMicroOhm };

/** All quantities, in the order of the file's keys. */
export const QUANTITIES: readonly Quantity[] = [
  { key: 'contactFactor', ...factor },
  { key: 'filmFactor', ...factor },
  { key: 'emissivity', ...factor, open: false, highest: 1 },
  { key: 'areaFactor', ...factor },
  {
    key: 'inletC',
    lowest: -273.15,
    open: true,
    highest: Number.POSITIVE_INFINITY,
    unitEnding: 'C',
    value: fromCelsius,
    difference: same,
    hasZero: false,
  },
  { key: 'sourceContactMicroOhm', ...contact },
  { key: 'loadContactMicroOhm', ...contact },
  { key: 'sharingWeight', ...factor },
];

/** Whether a value is possible. */
export function isPossible(value: number, { lowest, open, highest }: Quantity): boolean {
  return (open ? value > lowest : value >= lowest) && value <= highest;
}

/** `above 0`, `at least 0`, `0 to 1`. */
export function describePossible({ lowest, open, highest }: Quantity): string {
  if (highest !== Number.POSITIVE_INFINITY) {
    return `${lowest} to ${highest}`;
  }
  return open ? `above ${lowest}` : `at least ${lowest}`;
}
