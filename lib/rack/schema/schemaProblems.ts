import type { z } from 'zod';
import { describeValue, joinPath, type ProblemLog } from '../text/problemLog.js';
import { nearestKey, nearestWord } from '../text/spelling.js';

type Issue = z.core.$ZodIssue;
type Path = readonly PropertyKey[];

/** What the schema found, before cascades are removed. */
interface Finding {
  readonly path: Path;
  readonly found: string;
  readonly allowed: string;
  /** The key is absent. */
  readonly missing: boolean;
  /** For a key that is not allowed: the key it probably stands for. */
  readonly standsFor: string | null;
}

function valueAt(root: unknown, path: Path): unknown {
  return path.reduce<unknown>((value, key) => (
    typeof value === 'object' && value !== null && Object.hasOwn(value, key)
      ? (value as Record<PropertyKey, unknown>)[key] : undefined
  ), root);
}

function keysAt(root: unknown, path: Path): string[] {
  const value = valueAt(root, path);
  return typeof value === 'object' && value !== null ? Object.keys(value) : [];
}

/** The key that tells variants apart, where it is absent; null for every other issue. */
function missingTag(issue: Issue, root: unknown, path: Path): string | null {
  const isTag = issue.code === 'invalid_union' && issue.errors.length === 0 && issue.path.length > 0;
  return isTag && valueAt(root, path) === undefined ? String(issue.path[issue.path.length - 1]) : null;
}

/**
 * Of the variants of a union the one the writer most likely meant: fewest keys unknown or missing at its own level.
 * Without the key that tells variants apart, all other keys count as unknown, since the schema does not look at them.
 * Null where the value has not even the right type for any variant.
 */
function likeliestVariant(issue: Issue & { code: 'invalid_union' }, root: unknown, path: Path): Issue[] | null {
  let best: Issue[] | null = null;
  let fewest = Number.POSITIVE_INFINITY;
  for (const variant of issue.errors) {
    const wrongType = variant.some((inner) => inner.path.length === 0 && inner.code !== 'unrecognized_keys');
    const misfits = variant.reduce((sum, inner) => {
      if (inner.code === 'unrecognized_keys' && inner.path.length === 0) {
        return sum + inner.keys.length;
      }
      const innerPath = [...path, ...inner.path];
      if (inner.path.length === 1 && missingTag(inner, root, innerPath) !== null) {
        return sum + 1 + keysAt(root, path).length;
      }
      return sum + (inner.path.length === 1 && valueAt(root, innerPath) === undefined ? 1 : 0);
    }, 0);
    if (!wrongType && misfits < fewest) {
      best = variant;
      fewest = misfits;
    }
  }
  return best;
}

function unknownKeys(issue: Issue & { code: 'unrecognized_keys' }, root: unknown, path: Path): Finding[] {
  const allowedKeys = issue.message.split(',');
  const present = keysAt(root, path);
  return issue.keys.map((key) => {
    const standsFor = nearestKey(key, allowedKeys.filter((name) => !present.includes(name)))
      ?? nearestKey(key, allowedKeys);
    const hint = standsFor === null ? '' : `did you mean "${standsFor}"? `;
    return {
      path: [...path, key],
      found: `the unknown key "${key}"`,
      allowed: `${hint}the keys allowed here are ${allowedKeys.join(', ')}`,
      missing: false,
      standsFor,
    };
  });
}

function findings(issues: readonly Issue[], root: unknown, prefix: Path): Finding[] {
  return issues.flatMap((issue): Finding[] => {
    const path = [...prefix, ...issue.path];
    if (issue.code === 'unrecognized_keys') {
      return unknownKeys(issue, root, path);
    }
    if (issue.code === 'invalid_union') {
      const variant = likeliestVariant(issue, root, path);
      if (variant !== null) {
        return findings(variant, root, path);
      }
    }
    const isKey = issue.code === 'invalid_key';
    const value = valueAt(root, path);
    const tag = missingTag(issue, root, path);
    const misspelt = tag === null ? null : nearestWord(tag, keysAt(root, path.slice(0, -1)));
    const hint = misspelt === null ? '' : `did you mean "${tag}" where you wrote "${misspelt}"? `;
    return [{
      path,
      found: isKey ? `the key ${describeValue(String(path[path.length - 1]))}` : describeValue(value),
      allowed: isKey ? issue.issues[0].message : hint + issue.message,
      missing: !isKey && value === undefined,
      standsFor: null,
    }];
  });
}

/** Turns what the schema found into problems in plain words, one for each mistake. `root` is the whole value. */
export function logSchemaIssues(issues: readonly Issue[], root: unknown, prefix: Path, log: ProblemLog): void {
  const all = findings(issues, root, prefix);
  const misspelt = new Set(all.filter(({ standsFor }) => standsFor !== null)
    .map(({ path, standsFor }) => joinPath([...path.slice(0, -1), standsFor as string])));
  const seen = new Set<string>();
  for (const { path, found, allowed, missing } of all) {
    const where = joinPath(path);
    // A misspelt key is also a missing one, and a number may fail several checks: one message is enough.
    if ((missing && misspelt.has(where)) || seen.has(where)) {
      continue;
    }
    seen.add(where);
    log.add(where, found, allowed);
  }
}
