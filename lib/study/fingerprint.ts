import { createHash } from 'node:crypto';
import type { Study } from '../rack/studyModel.js';
import { LIBRARY_VERSION } from './version.js';

/**
 * SHA-256 over everything that decides what scenario i is and what it is rated at: rack, catalogue, draws, seed,
 * library and Node version (Math.exp and friends may differ in the last bit between Node versions). The number of
 * scenarios, percentiles and stopping rule do not enter: a study may be carried on with more scenarios.
 */
export function studyFingerprint(study: Study): string {
  const { rack, catalogue, seed, sources, loads, rules, uncertain, correlations, sampling } = study;
  const parts = {
    library: LIBRARY_VERSION, node: process.version,
    rack, catalogue, seed, sources, loads, rules, uncertain, correlations, sampling,
  };
  // JSON has no infinities; limits that are not set are infinite.
  const text = JSON.stringify(parts, (_, value: unknown) =>
    typeof value === 'number' && !Number.isFinite(value) ? String(value) : value);
  return createHash('sha256').update(text).digest('hex');
}
