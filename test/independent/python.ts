import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { join, resolve } from 'node:path';

const PYTHON = resolve('.venv/bin/python');

/** Whether the pinned packages of test/independent/requirements.txt are installed in .venv. */
export const havePython = existsSync(PYTHON)
  && spawnSync(PYTHON, ['-c', 'import scipy, skfem'], { encoding: 'utf8' }).status === 0;

/** Runs a script of this folder with JSON on its standard input. */
export function runPython<Answer>(script: string, input: unknown): Answer {
  const run = spawnSync(PYTHON, [join('test', 'independent', script)], {
    input: JSON.stringify(input), encoding: 'utf8', maxBuffer: 1 << 28,
  });
  if (run.status !== 0) throw run.error ?? new Error(run.stderr);
  return JSON.parse(run.stdout) as Answer;
}

/** What a skipped test prints, so that a skip is seen. */
export function sayWhy(available: boolean, what: string): void {
  if (!available) process.stderr.write(`SKIPPED: ${what}\n`);
}
