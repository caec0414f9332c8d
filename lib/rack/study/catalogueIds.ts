import type { Catalogue, LoadType, SourceType } from '../model.js';
import { describeValue, type ProblemLog } from '../text/problemLog.js';
import { listWords, suggestion } from '../text/spelling.js';

function find<T extends { readonly id: string }>(
  id: string, path: string, wanted: readonly T[], others: readonly { readonly id: string }[], words: string,
  log: ProblemLog,
): T | null {
  const found = wanted.find((type) => type.id === id);
  if (found === undefined) {
    const ids = wanted.map((type) => type.id);
    const isOther = others.some((type) => type.id === id);
    log.add(path, isOther ? `"${id}", which is no ${words}` : describeValue(id),
      `${suggestion(id, ids)}give the id of a ${words} of the catalogue: ${listWords(ids)}`);
  }
  return found ?? null;
}

/** The source with an id; null, with a problem logged, where the catalogue has none. */
export function findSource(id: string, path: string, catalogue: Catalogue, log: ProblemLog): SourceType | null {
  return find(id, path, catalogue.sources, catalogue.loads, 'source', log);
}

/** The load with an id; null, with a problem logged, where the catalogue has none. */
export function findLoad(id: string, path: string, catalogue: Catalogue, log: ProblemLog): LoadType | null {
  return find(id, path, catalogue.loads, catalogue.sources, 'load', log);
}
