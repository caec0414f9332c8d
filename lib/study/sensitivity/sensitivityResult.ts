/** What a sensitivity study found. SI; see sensitivityDocument.ts for the file. */
import type { ScenarioQuantity } from '../../rack/studyModel.js';
import type { BootstrapEstimate, PercentileEstimate, SobolIndex } from '../../statistics/index.js';
import type { Factor } from './factors.js';
import type { Unrated } from './ratedRows.js';
import type { ShiftUnit, ToleranceName } from './tolerances.js';

/** A factor's part in the spread; null where the output does not vary, see the notes of {@link Sensitivity}. */
export interface FactorSensitivity extends Factor {
  /** Of the rated power. */
  readonly power: SobolIndex | null;
  /** Of the event that the rated power is below the percentile. */
  readonly below: SobolIndex | null;
}

/** What the percentile does where a tolerance changes, W; differences on the same scenarios. */
export interface ToleranceEffect {
  readonly name: ToleranceName;
  readonly words: string;
  /** SI. */
  readonly median: number;
  /** Change per unit of a shift of all values; null where a shift changes nothing or is not possible. */
  readonly perUnit: (BootstrapEstimate & { readonly unit: ShiftUnit }) | null;
  /** All values half as far from their median. */
  readonly halved: BootstrapEstimate;
  /** All values at their median. */
  readonly removed: BootstrapEstimate;
  /** By how much it gains less, halved, than the first of the list; null for that one. */
  readonly behindFirst: BootstrapEstimate | null;
}

export interface RankOf {
  readonly coefficient: number;
  readonly lower: number;
  readonly upper: number;
}

export interface QuantityCorrelation {
  readonly quantity: ScenarioQuantity;
  /** Spearman's, with the rated power; null where one of the two does not vary. */
  readonly rank: RankOf | null;
  /** The same with the event that the rated power lies below the percentile (1 where it does). */
  readonly below: RankOf | null;
}

export interface Sensitivity {
  readonly percentile: number;
  readonly samples: number;
  readonly seed: string;
  readonly confidence: number;
  readonly ratings: number;
  /**
   * W, over the base scenarios (matrix A); the interval by order statistics, null where the sample is too small for
   * one.
   */
  readonly base: { readonly power: number; readonly interval: PercentileEstimate | null };
  /** W, over A and B. */
  readonly meanPower: number;
  readonly standardDeviation: number;
  /** W: the percentile over A and B, below which the event is met, and in how many of these scenarios it is. */
  readonly threshold: number;
  readonly scenariosBelow: number;
  readonly factors: readonly FactorSensitivity[];
  /** Why there are no indices; null where there are. */
  readonly powerNote: string | null;
  readonly belowNote: string | null;
  /** What gains most where it is halved comes first. */
  readonly tolerances: readonly ToleranceEffect[];
  readonly allTolerances: { readonly halved: BootstrapEstimate; readonly removed: BootstrapEstimate };
  readonly rankCorrelations: readonly QuantityCorrelation[];
  readonly notRated: {
    /** In A and B. */
    readonly base: number;
    readonly baseShare: number;
    /** Of all ratings. */
    readonly count: number;
    readonly first: readonly Unrated[];
  };
}
