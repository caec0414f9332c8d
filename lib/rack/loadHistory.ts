import { logImplausible } from './plausible.js';
import { LOAD_HISTORY_FORMAT, type LoadHistoryFile, loadHistorySchema } from './schema/loadHistorySchema.js';
import { hasFormat, logPrototypeKeys, parseParts } from './schema/parsedParts.js';
import type { ProblemLog } from './text/problemLog.js';
import { fromKw } from './text/units.js';

/** A stretch of constant load. */
export interface LoadStep {
  /** s. */
  readonly duration: number;
  /** W, the placement's whole load; 0 for none. */
  readonly power: number;
}

/** Load over time: a steady load until everything has settled, then steps, all of them `cycles` times over. */
export interface LoadHistory {
  readonly name: string;
  /** W; 0: the bar starts as its air and its units leave it. */
  readonly before: number;
  readonly steps: readonly LoadStep[];
  readonly cycles: number;
}

/** A load over time from parsed JSON; null where a problem was logged. */
export function readLoadHistory(json: unknown, log: ProblemLog): LoadHistory | null {
  if (!hasFormat(json, LOAD_HISTORY_FORMAT, 'load-over-time', log)) return null;
  logPrototypeKeys(json, '', log);
  const { parts } = parseParts(loadHistorySchema, json, log);
  logImplausible(json, log);
  if (!log.isEmpty) return null;
  const { name, beforeKw, steps, cycles } = parts as LoadHistoryFile;
  return {
    name, before: fromKw(beforeKw), cycles,
    steps: steps.map(({ durationS, loadKw }) => ({ duration: durationS, power: fromKw(loadKw) })),
  };
}
