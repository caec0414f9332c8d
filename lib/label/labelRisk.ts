import { clopperPearsonUpper, lookConfidence, replicateInterval } from '../statistics/index.js';
import { ascendingPowers } from './ascendingPowers.js';
import { requireLabels, requireSample } from './checks.js';
import { countLess } from './countLess.js';
import type { LabelSample } from './labelSample.js';

/** How many scenarios do not carry a label. */
export interface LabelRisk {
  /** W. */
  readonly label: number;
  /** Scenarios whose rated power lies below the label. */
  readonly notCarrying: number;
  /** The same over all scenarios, 0..1. */
  readonly notCarryingShare: number;
  /**
   * One-sided upper bound of the chance that a scenario does not carry the label, 0..1, at the confidence of the
   * sample: the whole of 1 − confidence in the upper tail. null where there is none, see `boundNote`.
   */
  readonly notCarryingUpper: number | null;
  readonly boundMethod: 'Clopper–Pearson' | 'independent replicates' | 'none';
  /** What the bound rests on, or why there is none. */
  readonly boundNote: string | null;
}

/**
 * Risk of each of the ascending labels, W. A higher label never has a lower share or a lower bound.
 *
 * Plain sampling: exact one-sided bound of Clopper & Pearson (1934), Biometrika 26, 404–413. Designs: scenarios
 * of one replicate depend on each other, so the bound is Student's over the shares of the complete replicates, raised
 * to Clopper & Pearson's of the same counts where that is higher (shares of rare failures are skewed). It needs two
 * replicates.
 * Where a stopping rule looks several times, each look takes its part of 1 − confidence. Each bound holds for its own
 * label, not all of them at once.
 *
 * @throws RangeError for labels that do not ascend or are not above 0, an empty sample, or a confidence outside 0..1
 * @example labelRisks(sample, [100_000])[0].notCarryingUpper // 0.0495 where none of 59 scenarios fails, at 95 %
 */
export function labelRisks(sample: LabelSample, labels: readonly number[]): LabelRisk[] {
  requireSample(sample);
  requireLabels(labels);
  let highest = 0;
  const ascending = ascendingPowers(sample);
  return labels.map((label) => {
    const risk = riskAt(sample, ascending, label);
    if (risk.notCarryingUpper === null) return risk;
    // Student's bound may fall where replicates come to agree; a label above another one is never safer.
    highest = Math.max(highest, risk.notCarryingUpper);
    return { ...risk, notCarryingUpper: highest };
  });
}

function riskAt(sample: LabelSample, ascending: Float64Array, label: number): LabelRisk {
  const { ratedPower, sampling, confidence, looks } = sample;
  const n = ratedPower.length;
  const notCarrying = countLess(n, (k) => ascending[k], label);
  const risk = { label, notCarrying, notCarryingShare: notCarrying / n };
  const each = lookConfidence(confidence, looks);
  if (sampling.design === 'plain') {
    return {
      ...risk, notCarryingUpper: clopperPearsonUpper(notCarrying, n, each),
      boundMethod: 'Clopper–Pearson', boundNote: null,
    };
  }
  return { ...risk, ...replicateBound(ratedPower, sampling.size, label, each) };
}

type Bound = Pick<LabelRisk, 'notCarryingUpper' | 'boundMethod' | 'boundNote'>;

function replicateBound(ratedPower: ArrayLike<number>, size: number, label: number, confidence: number): Bound {
  const none = (boundNote: string): Bound => ({ notCarryingUpper: null, boundMethod: 'none', boundNote });
  const replicates = Math.floor(ratedPower.length / size);
  if (replicates < 2) {
    return none(`this design needs at least 2 complete replicates of ${size} scenarios for a bound`);
  }
  if (confidence <= 0.5) return none('a one-sided bound over replicates needs a confidence above 50 %');
  const counts = Array.from({ length: replicates }, (_, r) => countBelow(ratedPower, r * size, (r + 1) * size, label));
  const failing = counts.reduce((sum, count) => sum + count, 0);
  // One tail of 1 − c is half of what a two-sided interval at 2c − 1 leaves out.
  const { upper } = replicateInterval(counts.map((count) => count / size), 2 * confidence - 1);
  const independent = clopperPearsonUpper(failing, replicates * size, confidence);
  return {
    notCarryingUpper: Math.min(1, Math.max(upper, independent)),
    boundMethod: 'independent replicates',
    boundNote: `Student t over ${replicates} replicates, not below the bound of as many independent scenarios`,
  };
}

function countBelow(ratedPower: ArrayLike<number>, from: number, to: number, label: number): number {
  let count = 0;
  for (let i = from; i < to; i++) if (ratedPower[i] < label) count++;
  return count;
}
