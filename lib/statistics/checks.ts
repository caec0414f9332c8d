import { StatisticsInputError } from './errors.js';

/** Throws unless `value` is a whole number ≥ `least` that a double holds exactly. */
export function requireCount(argument: string, value: number, least: number): void {
  if (!Number.isSafeInteger(value) || value < least) {
    throw new StatisticsInputError(argument, value, `a whole number of at least ${least} is needed`);
  }
}

/** Throws unless 0 ≤ `value` ≤ 1. */
export function requireFraction(argument: string, value: number): void {
  if (!(value >= 0 && value <= 1)) {
    throw new StatisticsInputError(argument, value, 'a fraction from 0 to 1 is needed (0.01 for the 1st percentile)');
  }
}

/** Throws unless 0 < `value` < 1. */
export function requireOpenFraction(argument: string, value: number): void {
  if (!(value > 0 && value < 1)) {
    throw new StatisticsInputError(argument, value, 'a fraction above 0 and below 1 is needed (0.95 for 95 %)');
  }
}

/** Throws unless `values` holds at least `least` numbers, all finite. */
export function requireFiniteSample(argument: string, values: ArrayLike<number>, least: number): void {
  if (!(values.length >= least)) {
    throw new StatisticsInputError(argument, `${values.length} values`, `at least ${least} needed`);
  }
  for (let i = 0; i < values.length; i++) {
    if (!Number.isFinite(values[i])) {
      throw new StatisticsInputError(`${argument}[${i}]`, values[i], 'every value must be a finite number');
    }
  }
}
