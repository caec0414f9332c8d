import { describeProblem, InputError, type InputProblem, type TextPlace } from '../errors.js';

/** Says where the value of a path stands in a text; null where it does not know. */
export type PlaceOf = (path: string) => TextPlace | null;

/** Collects what is wrong with one file, so that everything is reported at once. */
export class ProblemLog {
  readonly problems: InputProblem[] = [];
  /** What can be used but looks like a mistake. */
  readonly warnings: InputProblem[] = [];
  private placeOf: PlaceOf = () => null;

  constructor(readonly file: string) {}

  /** From now on problems of a path carry line and column. */
  locateBy(placeOf: PlaceOf): void {
    this.placeOf = placeOf;
  }

  /** @param place where the problem stands; left out: where the path does */
  add(path: string, found: string, allowed: string, place: TextPlace | null = this.placeOf(path)): void {
    this.problems.push({ file: this.file, ...place, path, found, allowed });
  }

  warn(path: string, found: string, allowed: string): void {
    this.warnings.push({ file: this.file, ...this.placeOf(path), path, found, allowed });
  }

  get isEmpty(): boolean {
    return this.problems.length === 0;
  }
}

/** @throws InputError with the problems of all logs, in their order and each once, where there is at least one. */
export function throwProblems(...logs: readonly ProblemLog[]): void {
  const lines = new Map(logs.flatMap((log) => log.problems).map((problem) => [describeProblem(problem), problem]));
  if (lines.size > 0) {
    throw new InputError([...lines.values()]);
  }
}

/** A value as a reader would write it, cut to a length that fits a line. */
export function describeValue(value: unknown): string {
  if (value === undefined) {
    return 'nothing';
  }
  if (typeof value === 'string') {
    return JSON.stringify(value.length > 60 ? `${value.slice(0, 60)}…` : value);
  }
  if (Array.isArray(value)) {
    return value.length === 0 ? 'an empty list' : `a list of ${value.length}`;
  }
  if (typeof value === 'object' && value !== null) {
    const keys = Object.keys(value);
    return keys.length === 0 ? 'an empty object' : `an object with ${keys.slice(0, 6).join(', ')}`;
  }
  return typeof value === 'function' ? 'a function' : String(value);
}

/** `poles.both.sections[0].plates.depthMm`; keys that would not read as a path are quoted. */
export function joinPath(parts: readonly PropertyKey[]): string {
  let path = '';
  for (const part of parts) {
    if (typeof part === 'number') {
      path += `[${part}]`;
    } else if (/^[\w$-]+$/.test(String(part))) {
      path += path === '' ? String(part) : `.${String(part)}`;
    } else {
      path += `[${JSON.stringify(String(part))}]`;
    }
  }
  return path;
}
