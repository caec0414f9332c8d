import type { TextPlace } from '../errors.js';
import { joinPath, type ProblemLog } from './problemLog.js';

const DEEPEST = 60;
/** Far above any file of this format; longer text may exhaust the stack of the pattern for strings. */
const LONGEST = 2_000_000;
const NUMBER = /-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?/y;
// biome-ignore lint/suspicious/noControlCharactersInRegex: RFC 8259 forbids them in text, which is what this checks
const STRING = /"(?:[^"\\\u0000-\u001f]|\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4}))*"/y;
const SPACE = /[ \t\n\r]*/y;
const WORD = /[^\s"{}[\],:]+/y;

/** Where the text stops being JSON. */
class Stop extends Error {
  constructor(readonly offset: number, readonly allowed: string) {
    super(allowed);
  }
}

/**
 * Reads JSON (RFC 8259) and says line and column of what is wrong. Stricter than `JSON.parse` in two points:
 * a key written twice in one object and a key `__proto__` are problems, since each would silently drop what the
 * user wrote. From then on the log says where the path of a problem stands in the text.
 *
 * @returns the value, or undefined where a problem was logged.
 */
export function readStrictJson(text: string, log: ProblemLog): unknown {
  let at = 0;

  /** Where the keys of objects and the entries of lists begin, by path. */
  const offsets = new Map<string, number>([['', 0]]);
  const path: (string | number)[] = [];

  const take = (pattern: RegExp): string | null => {
    pattern.lastIndex = at;
    const match = pattern.exec(text);
    if (match === null) {
      return null;
    }
    at = pattern.lastIndex;
    return match[0];
  };
  const next = (): string => {
    take(SPACE);
    return text[at] ?? '';
  };
  const string = (allowed: string): string => {
    const start = at;
    const literal = take(STRING);
    if (literal === null) {
      const opened = text[start] === '"';
      throw new Stop(start, opened ? 'close the text with " on the same line, and write \\ as \\\\' : allowed);
    }
    return JSON.parse(literal) as string;
  };

  const object = (depth: number): void => {
    const keys = new Set<string>();
    at++;
    if (next() === '}') {
      at++;
      return;
    }
    for (;;) {
      next();
      const keyStart = at;
      const key = string('write a key in double quotes (no comma after the last entry, no comments)');
      if (key === '__proto__') {
        log.add('', 'the key "__proto__"', 'this key is not allowed: remove it', placeAt(text, keyStart));
      } else if (keys.has(key)) {
        log.add('', `the key "${key}" a second time in one object`, 'write each key once: remove one', placeAt(text, keyStart));
      }
      keys.add(key);
      if (next() !== ':') {
        throw new Stop(at, `write ":" after the key "${key}"`);
      }
      at++;
      path.push(key);
      offsets.set(joinPath(path), keyStart);
      value(depth + 1);
      path.pop();
      const after = next();
      if (after !== ',' && after !== '}') {
        throw new Stop(at, 'write "," or "}" after a value in an object');
      }
      at++;
      if (after === '}') {
        return;
      }
    }
  };
  const list = (depth: number): void => {
    at++;
    if (next() === ']') {
      at++;
      return;
    }
    for (let index = 0; ; index++) {
      next();
      path.push(index);
      offsets.set(joinPath(path), at);
      value(depth + 1);
      path.pop();
      const after = next();
      if (after !== ',' && after !== ']') {
        throw new Stop(at, 'write "," or "]" after a value in a list');
      }
      at++;
      if (after === ']') {
        return;
      }
    }
  };
  const value = (depth: number): void => {
    const first = next();
    if (depth > DEEPEST) {
      throw new Stop(at, `nest objects and lists at most ${DEEPEST} deep`);
    }
    if (first === '{') {
      object(depth);
    } else if (first === '[') {
      list(depth);
    } else if (first === '"') {
      string('');
    } else {
      const start = at;
      const word = take(WORD) ?? '';
      NUMBER.lastIndex = start;
      const number = NUMBER.exec(text)?.[0];
      if (word !== 'true' && word !== 'false' && word !== 'null' && (word === '' || number !== word)) {
        throw new Stop(start, 'write a number with a decimal point, text in double quotes, true, false, {…} or […]');
      }
    }
  };

  if (text.length > LONGEST) {
    log.add('', `${text.length} characters`, `give a file of at most ${LONGEST} characters`);
    return undefined;
  }
  try {
    value(0);
    if (next() !== '') {
      throw new Stop(at, 'nothing may follow the end of the JSON value');
    }
  } catch (error) {
    if (!(error instanceof Stop)) {
      throw error;
    }
    at = error.offset;
    const found = take(STRING) ?? take(WORD) ?? text[at];
    log.add('', found === undefined ? 'the end of the file' : JSON.stringify(found.slice(0, 40)), error.allowed,
      placeAt(text, error.offset));
  }
  log.locateBy((wanted) => {
    const offset = offsets.get(nearest(wanted, offsets));
    return offset === undefined ? null : placeAt(text, offset);
  });
  return log.isEmpty ? (JSON.parse(text) as unknown) : undefined;
}

function placeAt(text: string, offset: number): TextPlace {
  const before = text.slice(0, offset).split('\n');
  return { line: before.length, column: before[before.length - 1].length + 1 };
}

/** A path, or the nearest thing around it that there is: a key that is missing has no place of its own. */
function nearest(path: string, known: ReadonlyMap<string, number>): string {
  let at = path;
  while (at !== '' && !known.has(at)) at = at.slice(0, Math.max(0, at.lastIndexOf('.'), at.lastIndexOf('[')));
  return at;
}
