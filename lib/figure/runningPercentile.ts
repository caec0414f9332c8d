import { percentileEstimate, type QuantileDefinition, quantileSorted, SampleTooSmall } from '../statistics/index.js';
import type { PercentileRow, Summary } from '../study/index.js';

/** Sample sizes at which the percentile is found anew. */
const SIZES = 40;
/** Scenarios that lie beyond the percentile at the first size, where the sample is large enough. */
const BEYOND = 2;
/** The sizes span at least this ratio. */
const LEAST_SPAN = 10;

/** A percentile found from the first `scenarios` of a study, kW. */
export interface RunningPoint {
  readonly scenarios: number;
  readonly ratedKw: number;
  /** Null where there is no interval. */
  readonly interval: { readonly lower: number; readonly upper: number } | null;
}

/**
 * A percentile found from the first scenarios of a study, from more of them, and so on up to all, `[size]`, with its
 * order-statistic interval where there is one. Of a Latin hypercube only whole replicates are used, without interval:
 * order statistics need independent scenarios.
 *
 * @param ratedKw kW in the order drawn, `[scenario run]`; 0 for a scenario that could not be rated
 * @throws RangeError unless there is a value for each scenario run, and at least one whole replicate
 */
export function runningPercentile(
  row: PercentileRow, study: Summary['study'], ratedKw: ArrayLike<number>,
): RunningPoint[] {
  if (ratedKw.length !== study.scenariosRun) {
    throw new RangeError(
      `ratedKw: found ${ratedKw.length} values; ${study.scenariosRun}, one per scenario run, are needed`,
    );
  }
  const p = row.percent / 100;
  const definition = study.percentileDefinition as QuantileDefinition;
  const confidence = intervalConfidence(row, study) / 100;
  const replicate = replicateSize(study);
  const sizes = replicate === null ? plainSizes(ratedKw.length, p) : replicateSizes(ratedKw.length, replicate);
  // A stopping rule may refuse an interval that a single look would allow.
  const isBounded = replicate === null && !(row.lowerKw === null && study.stopping !== null);
  return sizes.map((scenarios): RunningPoint => {
    const sorted = Float64Array.from({ length: scenarios }, (_, i) => ratedKw[i]).sort();
    const alone = () => ({ scenarios, ratedKw: quantileSorted(sorted, p, definition), interval: null });
    if (!isBounded) return alone();
    try {
      const { estimate, lower, upper } = percentileEstimate(sorted, p, { confidence, definition });
      return { scenarios, ratedKw: estimate, interval: { lower, upper } };
    } catch (error) {
      if (!(error instanceof SampleTooSmall)) throw error;
      return alone();
    }
  });
}

/** Confidence of each interval, %: that of the study, or more where a stopping rule looks several times. */
export function intervalConfidence({ note }: PercentileRow, study: Summary['study']): number {
  const each = /^each look at ([\d.]+) %/.exec(note ?? '');
  return each === null ? study.confidencePercent : Number(each[1]);
}

/** Scenarios in a replicate of a Latin hypercube; null for plain sampling. */
export function replicateSize({ sampling }: Summary['study']): number | null {
  const found = /replicates of (\d+)$/.exec(sampling);
  return found === null ? null : Number(found[1]);
}

function plainSizes(all: number, p: number): number[] {
  const first = Math.min(Math.ceil(BEYOND / Math.min(p, 1 - p)), Math.ceil(all / LEAST_SPAN));
  return geometric(Math.max(1, first), all);
}

function replicateSizes(all: number, replicate: number): number[] {
  const whole = Math.floor(all / replicate);
  if (whole === 0) {
    throw new RangeError(`ratedKw: found ${all} values; at least one whole replicate of ${replicate} is needed`);
  }
  return geometric(1, whole).map((count) => count * replicate);
}

/** At most `SIZES` whole numbers from the first to the last, evenly spread over the decades. */
function geometric(first: number, last: number): number[] {
  return [...new Set(Array.from({ length: SIZES }, (_, k) => Math.round(first * (last / first) ** (k / (SIZES - 1)))))];
}
