import type { z } from 'zod';
import { describeValue, type ProblemLog } from '../text/problemLog.js';
import { logSchemaIssues } from './schemaProblems.js';

/** What of an object passed its schema, by key. Keys that failed are absent and listed. */
export interface ParsedParts<T> {
  readonly parts: Partial<T>;
  readonly failed: ReadonlySet<string>;
}

/**
 * Checks an object key by key, so that the checks beyond the schema can still run on the keys that are well formed
 * and everything is reported at once. Problems go to the log; `prefix` is the object's path in `root`.
 */
export function parseParts<S extends z.ZodObject>(
  schema: S, root: unknown, log: ProblemLog, prefix: readonly string[] = [],
): ParsedParts<z.output<S>> {
  const value = prefix.reduce<unknown>((inner, key) => (inner as Record<string, unknown>)?.[key], root);
  const whole = schema.safeParse(value);
  if (whole.success) {
    return { parts: whole.data as Partial<z.output<S>>, failed: new Set() };
  }
  logSchemaIssues(whole.error.issues, root, prefix, log);
  const parts: Record<string, unknown> = {};
  const failed = new Set<string>();
  if (typeof value === 'object' && value !== null) {
    for (const [key, part] of Object.entries(schema.shape) as [string, z.ZodType][]) {
      const outcome = part.safeParse((value as Record<string, unknown>)[key]);
      if (!outcome.success) {
        failed.add(key);
      } else if (outcome.data !== undefined) {
        parts[key] = outcome.data;
      }
    }
  }
  return { parts: parts as Partial<z.output<S>>, failed };
}

/**
 * Says so, and nothing else, where the value is no object, or is a file of another format: its keys would all be
 * called unknown.
 */
export function hasFormat(value: unknown, format: string, kind: string, log: ProblemLog): boolean {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) {
    log.add('', describeValue(value), `give an object {…} with "format": "${format}" (a ${kind} file)`);
    return false;
  }
  const found = (value as Record<string, unknown>).format;
  if (found !== undefined && found !== format) {
    log.add('format', describeValue(found), `write "${format}": a ${kind} file is expected here`);
    return false;
  }
  return true;
}

/**
 * Finds own keys called `__proto__`, which JSON can make and which code would silently lose. The reader of files has
 * found them already with their line; this is for objects handed over in code.
 */
export function logPrototypeKeys(value: unknown, path: string, log: ProblemLog, seen = new Set<unknown>()): void {
  if (typeof value !== 'object' || value === null || seen.has(value)) {
    return;
  }
  seen.add(value);
  for (const key of Object.keys(value)) {
    const inner = path === '' ? key : `${path}.${key}`;
    if (key === '__proto__') {
      log.add(inner, 'the key "__proto__"', 'this key is not allowed: remove it');
    } else {
      logPrototypeKeys((value as Record<string, unknown>)[key], inner, log, seen);
    }
  }
}
