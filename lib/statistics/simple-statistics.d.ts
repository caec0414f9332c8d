/**
 * Types of the few functions of `simple-statistics` used here. The package ships its types as an ES module only, which
 * a CommonJS file may not import under `module: Node16`; at run time its CommonJS build is found.
 */
declare module 'simple-statistics' {
  /** Hyndman–Fan type 7; reads only `length` and the elements, so a typed array serves. */
  export function quantileSorted(sorted: ArrayLike<number>, p: number): number;
  /** Spearman's coefficient with average ranks for ties; NaN where one input is constant. Plain arrays only. */
  export function sampleRankCorrelation(x: readonly number[], y: readonly number[]): number;
  export function mean(values: readonly number[]): number;
  /** Divides by n − 1. */
  export function sampleStandardDeviation(values: readonly number[]): number;
}
