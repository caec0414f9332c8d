import { clopperPearson } from './clopperPearson.js';
import { requireOpenFraction } from './checks.js';
import { StatisticsInputError } from './errors.js';

/** How often one label occurred. */
export interface ShareRow {
  readonly label: string;
  readonly count: number;
  /** count over the number of labels, 0..1. */
  readonly share: number;
  /** Ends of the exact interval for the share. */
  readonly lower: number;
  readonly upper: number;
}

/**
 * Frequency of each label among independent scenarios, [scenario], with its Clopper–Pearson interval; most frequent
 * first, equal counts by label in code-unit order, which no machine's locale changes.
 * Each interval holds on its own with `confidence`, not all rows at once. A label that never occurred has no row.
 *
 * @throws StatisticsInputError where there are no labels or confidence is outside 0..1.
 * @example shareTable(['bar rise', 'source current', 'bar rise'], 0.95)[0].share; // 2/3
 */
export function shareTable(labels: Iterable<string>, confidence: number): ShareRow[] {
  const counts = new Map<string, number>();
  for (const label of labels) counts.set(label, (counts.get(label) ?? 0) + 1);
  return shareTableOf(counts, confidence);
}

/** The same from how often each label occurred, none of them 0 times. Throws as {@link shareTable}. */
export function shareTableOf(counts: ReadonlyMap<string, number>, confidence: number): ShareRow[] {
  requireOpenFraction('confidence', confidence);
  let all = 0;
  for (const count of counts.values()) all += count;
  if (all === 0) throw new StatisticsInputError('labels', 'none', 'at least 1 needed');
  return [...counts]
    .map(([label, count]) => ({ label, count, share: count / all, ...clopperPearson(count, all, confidence) }))
    .sort((a, b) => b.count - a.count || (a.label < b.label ? -1 : 1));
}
