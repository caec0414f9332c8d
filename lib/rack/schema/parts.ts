/**
 * Building blocks of the file schemas. Each carries its meaning as description, for editors, and says in its error
 * what is allowed; `schemaProblems.ts` adds what was found and where.
 */
import { z } from 'zod';
import { listWords, suggestion } from '../text/spelling.js';

/** Numbers beyond these would overflow or vanish when they are multiplied; no quantity of a rack comes near them. */
const LARGEST = 1e12;
const SMALLEST = 1e-12;

/** Bounds of a number; `whole` for counts and slots. */
export interface NumberRange {
  readonly above?: number;
  readonly from?: number;
  readonly below?: number;
  readonly to?: number;
  readonly whole?: boolean;
}

function describeRange(range: NumberRange): string {
  const kind = range.whole === true ? 'a whole number' : 'a number';
  const low = range.above !== undefined ? `above ${range.above}` : range.from !== undefined ? `from ${range.from}` : '';
  const high = range.below !== undefined ? `below ${range.below}` : range.to !== undefined ? `to ${range.to}` : '';
  if (range.from !== undefined && high === '') {
    return `${kind} of at least ${range.from}`;
  }
  return [kind, low, range.above !== undefined && range.to !== undefined ? `up to ${range.to}` : high]
    .filter((part) => part !== '').join(' ').replace(/^(.*above \S+) below/, '$1 and below');
}

/** A number; `what` names the quantity and its unit. */
export function number(what: string, range: NumberRange = {}) {
  const error = `give ${describeRange(range)} (${what})`;
  let schema: z.ZodNumber = range.whole === true ? z.int({ error }) : z.number({ error });
  if (range.above !== undefined) {
    schema = schema.gt(range.above, { error });
  }
  if (range.from !== undefined) {
    schema = schema.min(range.from, { error });
  }
  if (range.below !== undefined) {
    schema = schema.lt(range.below, { error });
  }
  if (range.to !== undefined) {
    schema = schema.max(range.to, { error });
  }
  const sane = (value: number): boolean => (
    Math.abs(value) <= LARGEST && (range.above !== 0 || range.whole === true || value >= SMALLEST)
  );
  return schema.refine(sane, { error: `give a number between ${SMALLEST} and ${LARGEST} in size (${what})` })
    .meta({ description: what });
}

/** A slot number, 1 = the lowest. */
export const slot = (what: string) => number(`${what}; slots count from 1 at the bottom`, { from: 1, whole: true });

/** Text that is not blank. */
export function text(what: string, longest = 200) {
  const error = `give text of 1 to ${longest} characters in double quotes (${what})`;
  return z.string({ error }).max(longest, { error }).regex(/\S/, { error }).meta({ description: what });
}

/** A short name that other keys and files refer to. */
export function identifier(what: string) {
  const error = `give a name of up to 60 letters, digits, ".", "-" or "_", starting with a letter or digit (${what})`;
  return z.string({ error }).regex(/^[A-Za-z0-9][A-Za-z0-9._-]{0,59}$/, { error }).meta({ description: what });
}

/** One of some words. */
export function choice<const W extends readonly [string, ...string[]]>(what: string, words: W) {
  const error = (issue: { input?: unknown }): string => {
    const hint = typeof issue.input === 'string' ? suggestion(issue.input, words) : '';
    return `${hint}give ${words.length > 1 ? 'one of ' : ''}${listWords(words)} (${what})`;
  };
  return z.enum(words, { error }).meta({ description: what });
}

/** The word that tells variants of an object apart. */
export function tag<W extends string>(word: W, what: string) {
  return z.literal(word, { error: `write "${word}" (${what})` }).meta({ description: what });
}

/**
 * An object without other keys. For keys that are not allowed the message is the list of those that are, separated
 * by commas, from which `schemaProblems.ts` suggests the nearest.
 */
export function object<S extends z.ZodRawShape>(what: string, shape: S) {
  const keys = Object.keys(shape);
  const error = (issue: { code?: string | undefined }): string => (
    issue.code === 'unrecognized_keys' ? keys.join(',') : `give an object with ${keys.join(', ')} (${what})`
  );
  return z.strictObject(shape, { error }).meta({ description: what });
}

/** A list with at least `least` entries. */
export function list<T extends z.ZodType>(what: string, entry: T, least = 0) {
  const error = `give a list${least > 0 ? ` of at least ${least}` : ''} (${what})`;
  const entries = z.array(entry, { error });
  return (least > 0 ? entries.min(least, { error }) : entries).meta({ description: what });
}

/** The error of a union: what its variants are, and the nearest word where one was misspelt. */
export function variants(key: string, words: readonly string[], what: string) {
  return (issue: { input?: unknown; code?: string | undefined }): string => {
    const input = issue.input as Record<string, unknown> | null | undefined;
    const found = typeof input === 'object' && input !== null ? input[key] : undefined;
    const hint = typeof found === 'string' ? suggestion(found, words) : '';
    const options = `one of ${listWords(words)}`;
    return issue.code === 'invalid_union' ? `${hint}give ${options} (${what})`
      : `give an object with the key "${key}", ${options} (${what})`;
  };
}

/** Keys every file begins with. */
export function preamble<F extends string>(format: F, kind: string) {
  return {
    $schema: text('address of the JSON Schema that helps an editor', 1000).optional(),
    format: tag(format, `format of this ${kind} file and its version`),
    name: text('name shown on screens and in reports'),
    note: text('free remark', 5000).optional(),
    meant: list('paths of numbers of this file that are meant although a warning calls them unusual',
      text('path of a number, as the warning names it', 500)).default([]),
  };
}
