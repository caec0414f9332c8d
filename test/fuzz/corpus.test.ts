/** Every input that ever led somewhere new still ends in a value or in an error that people can read. */
import { spawnSync } from 'node:child_process';
import { expect, it } from 'vitest';

it('the corpora of the fuzzers break nothing', () => {
  const run = spawnSync(process.execPath, ['test/fuzz/fuzz.mjs', '--seconds', '0'], { encoding: 'utf8' });
  expect(run.stdout).not.toMatch(/broke something/);
  expect(run.status, run.stdout + run.stderr).toBe(0);
  expect(run.stdout.trim().split('\n')).toHaveLength(8);
});
