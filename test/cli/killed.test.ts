/**
 * A study killed at any moment goes on to the same bytes. `KILLS=50 npm run prove` kills it fifty times.
 */
import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { randomStream } from '../../lib/draw/randomStream.js';

const main = resolve('dist/program/main.js');
const folder = mkdtempSync(join(tmpdir(), 'slotcast-killed-'));
const KILLS = Number(process.env.KILLS ?? 8);
const ARGS = ['study', 'demo/deep-bar-anywhere.json', '--scenarios', '3000', '--batch', '60', '--workers', '2'];
const FILES = ['summary.json', 'scenarios.csv', 'report.html'];

beforeAll(() => cpSync('data-demo', join(folder, 'demo'), { recursive: true }));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const start = (out: string): ChildProcess =>
  spawn(process.execPath, [main, ...ARGS, '--out', out, '--quiet'], { cwd: folder, stdio: 'ignore' });
const ended = (child: ChildProcess) => new Promise<number | null>((done) => child.on('exit', (code) => done(code)));

describe('a study killed', () => {
  it(`at ${KILLS} random moments, once or more in its life, goes on to the same bytes`, async () => {
    const began = performance.now();
    expect(await ended(start('whole'))).toBe(0);
    const whole = performance.now() - began;
    const stream = randomStream('kills', 0, 'check');
    let kills = 0;
    let run = 0;
    const moments: string[] = [];
    while (kills < KILLS) {
      const out = `run-${run++}`;
      for (;;) {
        const child = start(out);
        const exit = ended(child);
        // Up to a little after its end, so that writing the results is met too.
        const wait = setTimeout(() => child.kill('SIGKILL'), 1.1 * whole * stream.double());
        const code = await exit;
        clearTimeout(wait);
        if (code === 0) {
          expect(readdirSync(join(folder, out)).filter((name) => name.endsWith('.part'))).toEqual([]);
          break;
        }
        expect(code).toBe(null);
        kills++;
        const held = existsSync(join(folder, out)) ? readdirSync(join(folder, out)) : [];
        moments.push(held.includes('summary.json') ? 'done' : held.includes('batches') ? 'running' : 'starting');
        // What is there is whole: no result file is ever half of one.
        for (const file of FILES) {
          if (held.includes(file)) expect(readFileSync(join(folder, out, file)).equals(readFileSync(join(folder, 'whole', file)))).toBe(true);
        }
        if (held.includes('summary.json')) break;
      }
      if (!existsSync(join(folder, out, 'summary.json'))) continue;
      for (const file of FILES) {
        expect(readFileSync(join(folder, out, file)).equals(readFileSync(join(folder, 'whole', file)))).toBe(true);
      }
      rmSync(join(folder, out), { recursive: true, force: true });
    }
    expect(moments).toContain('running');
  }, 600_000);
});

it('what a killed run left half-written goes with the next run, and nothing else does', () => {
  for (const [out, more, leftovers, stays] of [
    ['left', [], ['scenarios.parquet.4711.part', 'report.html.12.part'], ['mine.4711.part', 'report.html.part']],
    ['left-part', ['--part', '1/2'], ['part-1-of-2.bin.4711.part'], ['part-2-of-2.bin.4711.part']],
  ] as const) {
    mkdirSync(join(folder, out));
    for (const name of [...leftovers, ...stays]) writeFileSync(join(folder, out, name), 'half');
    const run = spawnSync(process.execPath, [main, ...ARGS, ...more, '--out', out, '--quiet'], { cwd: folder, encoding: 'utf8' });
    expect(run.status, run.stderr).toBe(0);
    const held = readdirSync(join(folder, out));
    for (const name of leftovers) expect(held).not.toContain(name);
    for (const name of stays) expect(held).toContain(name);
  }
});

/** A file system of its own of a few hundred kilobytes, where this user may mount one. */
function smallDisk(name: string, kilobytes: number): string | null {
  const path = join(folder, name);
  mkdirSync(path);
  const mount = spawnSync('mount', ['-t', 'tmpfs', '-o', `size=${kilobytes}k`, 'tmpfs', path]);
  return mount.status === 0 ? path : null;
}

const disk = process.platform === 'linux' && process.getuid?.() === 0 ? smallDisk('small', 220) : null;
if (disk === null) console.log('The tests on a full disk and a read-only one are skipped: they need leave to mount one.');
afterAll(() => {
  if (disk !== null) spawnSync('umount', [disk]);
});

describe.skipIf(disk === null)('a disk', () => {
  const run = (...more: string[]) => spawnSync(process.execPath, [main, ...ARGS, '--out', 'small/out', '--quiet', ...more], {
    cwd: folder, encoding: 'utf8',
  });

  it('that is full ends in a clear message, and the finished batches are kept', () => {
    const { status, stderr } = run();
    expect(stderr).toMatch(/^the disk is full.*finished batches are kept: make room and give the same command again/);
    expect(status).toBe(1);
    const kept = readdirSync(join(folder, 'small', 'out', 'batches')).filter((name) => name.endsWith('.bin'));
    expect(kept.length).toBeGreaterThan(10);
    expect(readdirSync(join(folder, 'small', 'out'))).toEqual(['batches']);
    // With room it goes on from there.
    spawnSync('mount', ['-o', 'remount,size=20m', disk ?? '']);
    const goesOn = spawnSync(process.execPath, [main, ...ARGS, '--out', 'small/out'], { cwd: folder, encoding: 'utf8' });
    expect(goesOn.stderr).toMatch(/scenarios kept from before/);
    expect(goesOn.status).toBe(0);
    // The summary names the study file from its own folder, which lies deeper here.
    const table = (run: string) => readFileSync(join(folder, run, 'scenarios.csv'));
    expect(table('small/out').equals(table('whole'))).toBe(true);
  }, 120_000);

  it('that is read-only ends in a clear message at once', () => {
    writeFileSync(join(folder, 'small', 'keep.txt'), 'x');
    spawnSync('mount', ['-o', 'remount,ro', disk ?? '']);
    const { status, stderr } = run('--replace');
    expect(stderr).toMatch(/cannot be written \(EROFS\)/);
    expect(status).toBe(2);
    expect(spawnSync(process.execPath, [main, ...ARGS, '--out', 'small/other'], { cwd: folder, encoding: 'utf8' }).stderr)
      .toMatch(/cannot be written \(EROFS\)/);
  }, 60_000);
});
