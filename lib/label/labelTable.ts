import type { Scenario } from '../draw/index.js';
import type { LimitName } from '../ladder/index.js';
import type { Floor, WorstFound } from '../worst/answers.js';
import { ascendingPowers, ascendingScenarios } from './ascendingPowers.js';
import { candidateLabels } from './candidateLabels.js';
import { requireLabels, requirePercentiles, requirePositive, requireSample } from './checks.js';
import { countLess } from './countLess.js';
import { type LabelRisk, labelRisks } from './labelRisk.js';
import type { LabelSample } from './labelSample.js';
import { type LabelVerdict, verdictOf } from './labelVerdict.js';
import type { LabelExcess } from './limitExcess.js';
import { requireBoundsAgree, worstMet, type WorstMet } from './worstMet.js';

/** Labels go up in steps of this, W, unless another is given. */
export const DEFAULT_LABEL_STEP = 1000;

export interface LabelInput {
  readonly sample: LabelSample;
  /** null where no floor has been proven (yet). */
  readonly floor: Floor | null;
  /** null where nothing was searched: the lowest of the sample then stands for it. Same ranges as the floor. */
  readonly worstFound: WorstFound | null;
  /** Candidate labels, W, ascending; left out: chosen as {@link candidateLabels} does. */
  readonly labels?: readonly number[];
  /** Fractions whose percentiles are to be among automatic candidates, e.g. 0.01, which 99 % of scenarios exceed. */
  readonly percentiles?: readonly number[];
  /** W, default 1 kW. */
  readonly step?: number;
  /** By how much a scenario would exceed a limit at a power, W: see limitExcess. Left out: no excesses. */
  readonly excessAt?: (scenario: Scenario, power: number) => LabelExcess | null;
  /** Scenario of the sample by its index; without it only the worst found is told. */
  readonly scenarioAt?: (index: number) => Scenario;
}

/** One candidate label. */
export interface LabelRow extends LabelRisk, LabelVerdict {
  /** Share of scenarios that carry it, 0..1. */
  readonly carryingShare: number;
  /** What binds most often among those that do not carry it; null where all carry it or none of them is rated. */
  readonly binding: { readonly limit: LimitName; readonly count: number; readonly share: number } | null;
  /** Excess of the worst found placement at this label; null where it carries it or was not asked for. */
  readonly worstFoundExcess: LabelExcess | null;
  /** The rated scenario in the middle of those that do not carry it, with its excess at this label. */
  readonly medianFailing: {
    readonly index: number;
    /** W. */
    readonly ratedPower: number;
    readonly excess: LabelExcess | null;
  } | null;
}

/** Labels with what speaks for and against each. Powers in W. */
export interface LabelTable {
  /** Ascending labels. */
  readonly rows: readonly LabelRow[];
  readonly step: number;
  readonly sample: LabelSample;
  readonly floor: Floor | null;
  readonly worst: WorstMet;
}

/**
 * Candidate labels against the sample (share that does not carry each, with a one-sided upper bound), the floor and the
 * worst found.
 *
 * @throws RangeError for labels that do not ascend, a step that is not above 0, a sample without a rated scenario, a
 * confidence or percentile outside 0..1, or a floor above the worst found
 */
export function labelTable(input: LabelInput): LabelTable {
  const { sample, floor, worstFound, excessAt, scenarioAt, percentiles = [], step = DEFAULT_LABEL_STEP } = input;
  requireSample(sample);
  requirePositive('step', step, 'W');
  requirePercentiles(percentiles);
  requireBoundsAgree(floor?.power ?? null, worstFound?.rated.power ?? null);
  const worst = worstMet(sample, worstFound);
  const order = ratedOrder(sample);
  const labels = input.labels ?? candidateLabels({
    sortedPower: ascendingPowers(sample), floor: floor?.power ?? null, worstFound: worst.power,
    percentiles, step,
  });
  requireLabels(labels);
  const mostFrequent = new MostFrequent(order, sample.limit);
  const rows = labelRisks(sample, labels).map((risk): LabelRow => {
    const { label, notCarrying } = risk;
    const failing = order.subarray(0, countLess(order.length, (k) => sample.ratedPower[order[k]], label));
    const fails = worstFound !== null && label > worstFound.rated.power;
    return {
      ...risk,
      ...verdictOf(label, floor, worst, failing.length, sample.ratedPower.length),
      carryingShare: (sample.ratedPower.length - notCarrying) / sample.ratedPower.length,
      binding: mostFrequent.upTo(failing.length),
      worstFoundExcess: fails && excessAt !== undefined ? excessAt(worstFound.scenario, label) : null,
      medianFailing: medianOf(failing, (index) => ({
        index,
        ratedPower: sample.ratedPower[index],
        excess: excessAt !== undefined && scenarioAt !== undefined ? excessAt(scenarioAt(index), label) : null,
      })),
    };
  });
  return { rows, step, sample, floor, worst };
}

/** Indices of the rated scenarios, lowest rated power first, ties by index. */
function ratedOrder(sample: LabelSample): Uint32Array {
  const { limit } = sample;
  const order = ascendingScenarios(sample);
  return limit.includes(null) ? order.filter((i) => limit[i] !== null) : order;
}

function medianOf<Found>(indices: Uint32Array, at: (index: number) => Found): Found | null {
  return indices.length === 0 ? null : at(indices[Math.floor((indices.length - 1) / 2)]);
}

/** What binds most often among the first scenarios of an order, for growing numbers of them. */
class MostFrequent {
  private readonly counts = new Map<LimitName, number>();
  private known = 0;

  constructor(private readonly order: Uint32Array, private readonly limits: readonly (LimitName | null)[]) {}

  /** Equal counts: the limit first met, so the lowest rated power decides. @param count not below that of the call before */
  upTo(count: number): LabelRow['binding'] {
    const { counts, order, limits } = this;
    for (; this.known < count; this.known++) {
      const limit = limits[order[this.known]];
      if (limit !== null) counts.set(limit, (counts.get(limit) ?? 0) + 1);
    }
    let best: LabelRow['binding'] = null;
    for (const [limit, found] of counts) {
      if (best === null || found > best.count) best = { limit, count: found, share: found / count };
    }
    return best;
  }
}
