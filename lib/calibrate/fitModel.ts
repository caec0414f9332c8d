/** What is asked of a heat run, and what comes out of it. SI, kelvin; fitted values in the unit of their key in files. */
import type { Alike } from './alike.js';
import type { FitValues } from './heatRunModel.js';
import type { FitQuantity } from './quantities.js';
import type { ReadingFit } from './readings.js';
import type { Steadiness } from './steadiness.js';
import type { ExchangedPair } from './suspicions.js';

export interface FitOptions {
  /** Quantities to fit, see FIT_QUANTITIES; all others stay as the files say. */
  readonly quantities: readonly string[];
  /** Sensors left out of the fit; their residuals are still shown. */
  readonly drop?: readonly string[];
  /** Takes readings that still move by more than 1 K/h. */
  readonly allowUnsteady?: boolean;
}

export interface FittedQuantity {
  readonly quantity: FitQuantity;
  /** In the unit of its key in files, see QUANTITY_TRAITS. */
  readonly value: number;
  /** What the files say. */
  readonly before: number;
  /** Null for a value at its bound. */
  readonly standardError: number | null;
  /** Two-sided, 95 %, Student's t; null for a value at its bound. */
  readonly interval: readonly [number, number] | null;
  readonly atBound: 'lower' | 'upper' | null;
}

export interface HeatRunFit {
  readonly quantities: readonly FittedQuantity[];
  readonly values: FitValues;
  /** Quantities not at a bound: the order of `correlation`. */
  readonly free: readonly FitQuantity[];
  readonly correlation: readonly (readonly number[])[];
  readonly degreesOfFreedom: number;
  readonly chiSquare: number;
  /** Of the standard errors given, or of 1 K where none were: then it is the square of the scatter in K. */
  readonly reducedChiSquare: number;
  /** K, of the residuals about the model, degrees of freedom allowed for. */
  readonly scatter: number;
  /** Where the reduced chi-square of a right model lies in 95 % of heat runs; null where no standard errors were given. */
  readonly expectedReducedChiSquare: readonly [number, number] | null;
  /** Largest condition index of the Jacobian with columns of unit length. */
  readonly conditionNumber: number;
  readonly alike: readonly Alike[];
  /** All readings, those left out as well; the order of the heat run. */
  readonly readings: readonly ReadingFit[];
  /** Bound on studentised deleted residuals; null with too few readings to judge any. */
  readonly outlierBound: number | null;
  /** Worst first. */
  readonly outliers: readonly ReadingFit[];
  readonly exchanged: readonly ExchangedPair[];
  readonly missing: readonly { readonly point: string; readonly sensor: string }[];
  readonly dropped: readonly string[];
  readonly steadiness: Steadiness;
  /** Sources' measured currents together and what the model has them carry, A, by operating point where they were measured. */
  readonly currents: readonly { readonly point: string; readonly measured: number; readonly expected: number }[];
  readonly rounds: number;
}
