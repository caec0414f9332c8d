import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';

it('the benchmark runs to its end and writes what it prints', () => {
  const run = spawnSync(process.execPath, ['test/bench/bench.mjs', '--trial'], { encoding: 'utf8' });
  expect(run.stderr).toBe('');
  expect(run.status).toBe(0);
  for (const part of ['Stages of a rated power', 'Growth with slots', 'Growth with operating states', 'Whole studies', 'Workers', 'The command']) {
    expect(run.stdout).toContain(part);
  }
  expect(run.stdout).not.toMatch(/NaN|undefined|Infinity/);
  const written = JSON.parse(readFileSync('results/bench-trial.json', 'utf8'));
  expect(written.states.map(({ states }: { states: number }) => states)).toEqual([1, 2, 4, 7]);
}, 180_000);
