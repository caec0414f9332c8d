import { requireCount, requireOpenFraction } from './checks.js';
import { betaQuantile } from './distributions.js';
import { StatisticsInputError } from './errors.js';

/** Interval for a share, both ends fractions 0..1. */
export interface ShareInterval {
  readonly lower: number;
  readonly upper: number;
}

/**
 * Two-sided exact interval for the chance of a success, from x `successes` in n independent `trials`.
 *
 * With α = 1 − confidence: lower = Beta(x, n − x + 1) quantile at α/2 (0 for x = 0), upper = Beta(x + 1, n − x)
 * quantile at 1 − α/2 (1 for x = n). Its coverage is at least `confidence` for every chance.
 * Source: Clopper & Pearson (1934), Biometrika 26, 404–413.
 *
 * @throws StatisticsInputError unless trials is a whole number ≥ 1, successes one from 0 to trials, 0 < confidence < 1.
 * @example clopperPearson(7, 50, 0.95); // { lower: 0.0581917, upper: 0.2673960 }
 */
export function clopperPearson(successes: number, trials: number, confidence: number): ShareInterval {
  requireTrials(successes, trials, confidence);
  const tail = (1 - confidence) / 2;
  const lower = successes === 0 ? 0 : betaQuantile(tail, successes, trials - successes + 1);
  return { lower, upper: upperEnd(successes, trials, 1 - tail) };
}

/**
 * One-sided upper bound for the chance of a success: the whole of 1 − confidence is in the upper tail, so it lies below
 * the upper end of the two-sided interval. For no successes it is 1 − (1 − confidence)^(1/trials).
 * Source and errors as `clopperPearson`.
 *
 * @example clopperPearsonUpper(0, 100, 0.95); // 0.0295130
 */
export function clopperPearsonUpper(successes: number, trials: number, confidence: number): number {
  requireTrials(successes, trials, confidence);
  return upperEnd(successes, trials, confidence);
}

function upperEnd(successes: number, trials: number, probability: number): number {
  return successes === trials ? 1 : betaQuantile(probability, successes + 1, trials - successes);
}

function requireTrials(successes: number, trials: number, confidence: number): void {
  requireCount('trials', trials, 1);
  requireCount('successes', successes, 0);
  requireOpenFraction('confidence', confidence);
  if (successes > trials) {
    throw new StatisticsInputError('successes', successes, `at most the number of trials, ${trials}, is possible`);
  }
}
