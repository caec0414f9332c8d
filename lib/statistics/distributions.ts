import betaQuantileOf from '@stdlib/stats-base-dists-beta-quantile';
import binomialCdf from '@stdlib/stats-base-dists-binomial-cdf';
import { StatisticsInputError } from './errors.js';

/** P(X ≤ k) for X ~ Bin(n, p); k may be −1. Relative error below 1e-9 up to n = 1e7. */
export function binomialAtMost(k: number, n: number, p: number): number {
  return proper(binomialCdf(k, n, p), `P(Bin(${n}, ${p}) ≤ ${k})`);
}

/** P(X ≥ k) for X ~ Bin(n, p). Counts the failures instead, since 1 − P(X ≤ k − 1) would cancel in the upper tail. */
export function binomialAtLeast(k: number, n: number, p: number): number {
  return proper(binomialCdf(n - k, n, 1 - p), `P(Bin(${n}, ${p}) ≥ ${k})`);
}

/** The x with P(X ≤ x) = `probability` for X ~ Beta(alpha, beta). */
export function betaQuantile(probability: number, alpha: number, beta: number): number {
  return proper(betaQuantileOf(probability, alpha, beta), `Beta(${alpha}, ${beta}) quantile at ${probability}`);
}

/** The library answers NaN outside its domain; that must not travel on. */
function proper(value: number, what: string): number {
  if (Number.isNaN(value)) throw new StatisticsInputError(what, value, 'these parameters have no such probability');
  return value;
}
