/** Threads and programs that fail: a clear message, nothing lost, the same bytes when the command is given again. */
import { spawn, spawnSync } from 'node:child_process';
import { appendFileSync, cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { chromiumPath } from '../../lib/report/index.js';

const folder = mkdtempSync(join(tmpdir(), 'slotcast-faults-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const ARGS = ['study', 'data-demo/plain-bar-even.json', '--scenarios', '2000', '--batch', '100', '--workers', '2', '--quiet'];
const sound = resolve('dist/program/main.js');

beforeAll(() => {
  cpSync('data-demo', join(folder, 'data-demo'), { recursive: true });
  expect(run(sound, [...ARGS, '--out', 'whole']).status).toBe(0);
});

function run(main: string, args: readonly string[], options = '') {
  return spawnSync(process.execPath, [main, ...args], { cwd: folder, encoding: 'utf8', env: { ...process.env, NODE_OPTIONS: options } });
}

/** The command of a copy of the library whose worker threads do as told from scenario 500 on. */
function withWorker(name: string, deed: string): string {
  const home = join(folder, name);
  cpSync('dist', join(home, 'dist'), { recursive: true });
  cpSync('package.json', join(home, 'package.json'));
  symlinkSync(resolve('node_modules'), join(home, 'node_modules'), 'junction');
  appendFileSync(join(home, 'dist', 'program', 'worker.js'),
    `\nconst fill = exports.default;\nexports.default = (span) => { if (span.from >= 500) { ${deed} } return fill(span); };\n`);
  return join(home, 'dist', 'program', 'main.js');
}

function expectSameAsWhole(out: string): void {
  for (const file of ['summary.json', 'scenarios.csv', 'report.html']) {
    expect(readFileSync(join(folder, out, file)).equals(readFileSync(join(folder, 'whole', file))), file).toBe(true);
  }
}

describe('a worker thread', () => {
  it.each([
    ['ends by itself', 'process.exit(3);', '', /a worker thread was lost \(worker exited with code: 3\); finished batches are kept/],
    ['runs out of memory', 'const all = []; for (;;) all.push(new Array(1e5).fill(all.length));', '--max-old-space-size=64',
      /a worker thread was lost \(.*memory.*\); finished batches are kept.*fewer --workers/],
    ['meets a defect', 'throw new TypeError("a defect");', '', /^TypeError: a defect/],
  ])('that %s ends the study with a message, and the same command goes on to the same bytes', (name, deed, options, message) => {
    const out = `out-${name.replaceAll(' ', '-')}`;
    const { status, stderr } = run(withWorker(name.replaceAll(' ', '-'), deed), [...ARGS, '--out', out], options);
    expect(stderr).toMatch(message);
    expect(status).toBe(1);
    const kept = readdirSync(join(folder, out, 'batches'));
    expect(kept.length).toBeGreaterThan(0);
    expect(existsSync(join(folder, out, 'summary.json'))).toBe(false);
    const again = run(sound, [...ARGS.filter((word) => word !== '--quiet'), '--out', out]);
    expect(again.stderr).toMatch(/scenarios kept from before/);
    expect(again.status).toBe(0);
    expectSameAsWhole(out);
  }, 120_000);
});

describe('a signal', () => {
  it.each(['SIGINT', 'SIGTERM'] as const)('%s at any moment ends in code 3 or in the results, and the command goes on from there', async (signal) => {
    for (const [k, wait] of [60, 250, 450, 700, 1000].entries()) {
      const out = `signal-${signal}-${k}`;
      const child = spawn(process.execPath, [sound, ...ARGS, '--out', out], { cwd: folder, stdio: 'ignore' });
      const exit = new Promise<number | null>((done) => child.on('exit', (code) => done(code)));
      await pause(wait);
      child.kill(signal);
      // Null: before it listened, or while it wrote its results.
      expect([0, 3, null]).toContain(await exit);
      if (!existsSync(join(folder, out, 'summary.json'))) expect(run(sound, [...ARGS, '--out', out]).status).toBe(0);
      expectSameAsWhole(out);
    }
  }, 120_000);
});

describe.skipIf(chromiumPath() === null || process.platform !== 'linux')('a report that is killed while it prints', () => {
  it('leaves no browser behind', async () => {
    const browsers = () => readdirSync('/proc').filter((pid) => /^\d+$/.test(pid)).filter((pid) => {
      try {
        return readFileSync(`/proc/${pid}/environ`, 'utf8').includes(`SLOTCAST_FAULTS=${folder}`) && Number(pid) !== process.pid;
      } catch {
        return false;
      }
    });
    const child = spawn(process.execPath, [sound, 'report', 'whole'], {
      cwd: folder, stdio: 'ignore', env: { ...process.env, SLOTCAST_FAULTS: folder },
    });
    // Counted once: helpers of a browser that starts come and go.
    let most = 0;
    for (let wait = 0; wait < 200 && most < 3; wait++) {
      await pause(50);
      most = Math.max(most, browsers().length);
    }
    expect(most).toBeGreaterThanOrEqual(3);
    child.kill('SIGKILL');
    for (let wait = 0; wait < 200 && browsers().length > 0; wait++) await pause(50);
    expect(browsers()).toEqual([]);
  }, 60_000);
});
