/** Where something stands in a text, both counted from 1. */
export interface TextPlace {
  readonly line: number;
  readonly column: number;
}

/** One thing wrong with an input. */
export interface InputProblem extends Partial<TextPlace> {
  /** File name as the user gave it, or a word for an object passed in code. */
  readonly file: string;
  /** Path inside the file, e.g. `poles.supply.sections[0].plates.depthMm`, or `line 12, column powerKw` in a CSV. */
  readonly path: string;
  /** What was found, as text. */
  readonly found: string;
  /** What is allowed and what to do. */
  readonly allowed: string;
}

/** Input that cannot be used. Carries every problem found; nothing has been computed or written. */
export class InputError extends Error {
  readonly problems: readonly InputProblem[];
  constructor(problems: readonly InputProblem[]) {
    super(problems.map(describeProblem).join('\n'));
    this.name = 'InputError';
    this.problems = problems;
  }
}

/** One line: file, line and column where they are known, path, what was found, what is allowed. */
export function describeProblem(problem: InputProblem): string {
  return `${describeWhere(problem)}: found ${problem.found}; ${problem.allowed}`;
}

/** File, line and column, path. */
export function describeWhere({ file, line, column, path }: InputProblem): string {
  const place = line === undefined || column === undefined ? [] : [`line ${line}, column ${column}`];
  return [file, ...place, ...(path === '' ? [] : [path])].join(': ');
}
