import { ascendingPowers, ascendingScenarios } from '../label/ascendingPowers.js';
import type { LabelSample } from '../label/index.js';
import { replicateSizeOf } from '../rack/studyModel.js';
import {
  lookConfidence, percentileEstimate, type QuantileDefinition, quantileSorted, replicatePercentile, SampleTooSmall,
} from '../statistics/index.js';

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
 * The p-quantile of rated power found from the first scenarios of a sample, from more of them, and so on up to all,
 * `[size]`, with its interval where there is one: of order statistics, or of a design, whose whole replicates alone are
 * used, from the shares in them.
 *
 * @throws RangeError for a design of less than one whole replicate
 */
export function runningPercentile(p: number, definition: QuantileDefinition, sample: LabelSample): RunningPoint[] {
  const { ratedPower } = sample;
  const confidence = intervalConfidence(sample);
  const replicate = replicateSize(sample);
  const sizes = replicate === null ? plainSizes(ratedPower.length, p) : replicateSizes(ratedPower.length, replicate);
  const prefix = new SortedPrefix(sample);
  const inOrder = replicate === null ? new Float64Array(0) : new Float64Array(ratedPower);
  for (let i = 0; i < inOrder.length; i++) inOrder[i] /= 1e3;
  const points = sizes.reverse().map((scenarios): RunningPoint => {
    const sorted = prefix.downTo(scenarios);
    const alone = () => ({ scenarios, ratedKw: quantileSorted(sorted, p, definition), interval: null });
    if (scenarios === replicate) return alone();
    try {
      const { estimate, lower, upper } = replicate === null
        ? percentileEstimate(sorted, p, { confidence, definition })
        : replicatePercentile(inOrder.subarray(0, scenarios), replicate, p, { confidence, definition, ascending: sorted });
      return { scenarios, ratedKw: estimate, interval: { lower, upper } };
    } catch (error) {
      if (!(error instanceof SampleTooSmall)) throw error;
      return alone();
    }
  });
  return points.reverse();
}

/** The first values of a sample in ascending order, for fewer and fewer of them: those left out are struck from the list. */
class SortedPrefix {
  private readonly scenarios: Uint32Array;
  private readonly kilowatts: Float64Array;
  private count: number;

  constructor(sample: Pick<LabelSample, 'ratedPower'>) {
    this.scenarios = ascendingScenarios(sample).slice();
    this.kilowatts = ascendingPowers(sample).map((power) => power / 1e3);
    this.count = this.scenarios.length;
  }

  /** kW; valid until the next call. @param count not above that of the call before */
  downTo(count: number): Float64Array {
    const { scenarios, kilowatts } = this;
    let at = 0;
    for (let k = 0; k < this.count; k++) {
      if (scenarios[k] >= count) continue;
      scenarios[at] = scenarios[k];
      kilowatts[at++] = kilowatts[k];
    }
    this.count = at;
    return kilowatts.subarray(0, at);
  }
}

/** Confidence of each interval, 0..1: that of the study, or more where a stopping rule looks several times. */
export function intervalConfidence({ confidence, looks }: LabelSample): number {
  return lookConfidence(confidence, looks);
}

/** Scenarios in a replicate of the design; null for plain sampling. */
export function replicateSize({ sampling }: LabelSample): number | null {
  return replicateSizeOf(sampling);
}

function plainSizes(all: number, p: number): number[] {
  const first = Math.min(Math.ceil(BEYOND / Math.min(p, 1 - p)), Math.ceil(all / LEAST_SPAN));
  return geometric(Math.max(1, first), all);
}

function replicateSizes(all: number, replicate: number): number[] {
  const whole = Math.floor(all / replicate);
  if (whole === 0) {
    throw new RangeError(`sample: found ${all} scenarios; at least one whole replicate of ${replicate} is needed`);
  }
  return geometric(1, whole).map((count) => count * replicate);
}

/** At most `SIZES` whole numbers from the first to the last, evenly spread over the decades. */
function geometric(first: number, last: number): number[] {
  return [...new Set(Array.from({ length: SIZES }, (_, k) => Math.round(first * (last / first) ** (k / (SIZES - 1)))))];
}
