/** What searches and proofs answer with. Powers in W. */
import type { Scenario } from '../draw/index.js';
import type { RatedPower } from '../ladder/index.js';
import type { ToleranceRanges } from './toleranceRanges.js';

/** The lowest rated power that was met, with its placement. */
export interface WorstFound {
  /** enumerated: every allowed placement was rated; searched: a worse one may exist. */
  readonly kind: 'enumerated' | 'searched';
  readonly rated: RatedPower;
  readonly scenario: Scenario;
  /** Independent starts, and how many of them came within 0.1 % of the lowest. */
  readonly starts: number;
  readonly agreeing: number;
  /** Placements rated. */
  readonly evaluations: number;
  readonly seconds: number;
}

/** A power that every allowed placement and every load split carries, within the ranges given. */
export interface Floor {
  /**
   * proven order: the worst placement is known in closed form; enumerated: every allowed placement was rated;
   * bounded: a bound on all of them at once.
   */
  readonly kind: 'proven order' | 'enumerated' | 'bounded';
  /** W. */
  readonly power: number;
  readonly ranges: ToleranceRanges;
  /** Which limit keeps the floor from being higher, in words, e.g. `bar rise at slot 1, return pole`. */
  readonly limitedBy: string;
  /** Classes of placements that were bounded. */
  readonly classes: number;
  readonly seconds: number;
  /** Whether more time would not raise it. */
  readonly finished: boolean;
}
