export type { BootstrapEstimate, BootstrapOptions } from './bootstrap.js';
export { type BracketedRoot, bracketedRoot } from './bracketedRoot.js';
export { clopperPearson, clopperPearsonUpper, type ShareInterval } from './clopperPearson.js';
export { SampleTooSmall, StatisticsInputError } from './errors.js';
export { histogramBins, type HistogramBins, type HistogramOptions } from './histogramBins.js';
export { orderStatisticInterval, smallestSampleForInterval, type RankInterval } from './orderStatisticInterval.js';
export { type PairedQuantile, pairedQuantile, type PairedQuantileOptions } from './pairedQuantile.js';
export { percentileEstimate, type PercentileEstimate, type PercentileOptions } from './percentileEstimate.js';
export { type PercentileChanges, percentileChanges } from './percentileChanges.js';
export {
  DEFAULT_QUANTILE_DEFINITION,
  QUANTILE_DEFINITIONS,
  quantileSorted,
  smallestSampleForQuantile,
  type QuantileDefinition,
} from './quantileSorted.js';
export { ascendingOrder, rankCorrelation, rankCorrelationWith, type RankCorrelation } from './rankCorrelation.js';
export { RANK_CORRELATION_METHOD, rankCorrelationInterval } from './rankCorrelationInterval.js';
export { replicateInterval, type ReplicateInterval } from './replicateInterval.js';
export { replicatePercentile, type ReplicatePercentile } from './replicatePercentile.js';
export { halfWidthReached, lookConfidence, plannedLooks } from './sequentialLooks.js';
export { shareTable, shareTableOf, type ShareRow } from './shareTable.js';
export { smallestSample, type ToleranceRequest } from './smallestSample.js';
export { type SobolIndex, type SobolIndices, sobolIndices, type SobolSample } from './sobolIndices.js';
export { studentTwoSidedQuantile } from './studentQuantile.js';
export { lowerToleranceRank, upperToleranceRank, type ToleranceRank } from './toleranceRank.js';
