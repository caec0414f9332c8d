import { requireCount, requireOpenFraction } from './checks.js';
import { SampleTooSmall, StatisticsInputError } from './errors.js';
import { percentileEstimate } from './percentileEstimate.js';

/**
 * Number of looks at which a study that runs in batches may stop: one after every `lookEvery` scenarios and one at
 * `maxScenarios`, where it ends in any case.
 *
 * @throws StatisticsInputError unless both are whole numbers ≥ 1.
 * @example plannedLooks(1000, 300); // 4: at 300, 600, 900 and 1000
 */
export function plannedLooks(maxScenarios: number, lookEvery: number): number {
  requireCount('maxScenarios', maxScenarios, 1);
  requireCount('lookEvery', lookEvery, 1);
  return Math.ceil(maxScenarios / lookEvery);
}

/**
 * Confidence of the interval at each look, so that all of them hold together, and so the one at which the study stops,
 * with the stated `confidence`: 1 − (1 − confidence)/looks.
 *
 * Whatever the stopping rule, the chance that the last interval misses is at most the sum over the planned looks
 * (Bonferroni's inequality); looks must be fixed before the run. Cautious, since successive looks share their values.
 *
 * @throws StatisticsInputError unless 0 < confidence < 1 and looks is a whole number ≥ 1.
 * @example lookConfidence(0.95, 10); // 0.995
 */
export function lookConfidence(confidence: number, looks: number): number {
  requireOpenFraction('confidence', confidence);
  requireCount('looks', looks, 1);
  return 1 - (1 - confidence) / looks;
}

/**
 * True when the order-statistic interval of the p-quantile, at the confidence of this look, is at most 2·`halfWidth`
 * wide: the run may stop. False also while the sample is too small for an interval. `sortedValues` [value] ascending
 * (not checked) and independent; `halfWidth` in their unit. The interval to report is the one of the same confidence.
 *
 * @throws StatisticsInputError unless halfWidth > 0 is finite, and as `percentileEstimate` does.
 */
export function halfWidthReached(
  sortedValues: ArrayLike<number>,
  p: number,
  halfWidth: number,
  confidenceForThisLook: number,
): boolean {
  if (!(halfWidth > 0 && Number.isFinite(halfWidth))) {
    throw new StatisticsInputError('halfWidth', halfWidth, 'a finite number above 0 is needed');
  }
  try {
    const { lower, upper } = percentileEstimate(sortedValues, p, { confidence: confidenceForThisLook });
    return upper - lower <= 2 * halfWidth;
  } catch (error) {
    if (error instanceof SampleTooSmall) return false;
    throw error;
  }
}
