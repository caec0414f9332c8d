import { replicateSizeOf, type Study } from '../../rack/studyModel.js';
import {
  percentileEstimate, quantileSorted, replicatePercentile, SampleTooSmall, StatisticsInputError,
} from '../../statistics/index.js';

/** A percentile of rated power with its interval at the study's confidence, W. */
export interface RatedPercentile {
  readonly power: number;
  /** Null where the sample is too small for an interval. */
  readonly lower: number | null;
  readonly upper: number | null;
  readonly method: 'order statistics' | 'independent replicates' | 'none';
}

/** Of powers in order of index, as a study's summary has it. */
export function percentileOf(powers: Float64Array, p: number, study: Study): RatedPercentile {
  const { confidence, percentileDefinition: definition } = study;
  const size = replicateSizeOf(study.sampling);
  const sorted = powers.slice().sort();
  try {
    if (size !== null) {
      const { estimate, lower, upper } = replicatePercentile(powers, size, p, { confidence, definition });
      return { power: estimate, lower, upper, method: 'independent replicates' };
    }
    const { estimate, lower, upper } = percentileEstimate(sorted, p, { confidence, definition });
    return { power: estimate, lower, upper, method: 'order statistics' };
  } catch (error) {
    const isTooSmall = error instanceof SampleTooSmall
      || (size !== null && error instanceof StatisticsInputError);
    if (!isTooSmall) throw error;
    return { power: quantileSorted(sorted, p, definition), lower: null, upper: null, method: 'none' };
  }
}
