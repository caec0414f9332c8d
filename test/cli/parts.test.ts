import { spawnSync } from 'node:child_process';
import { copyFileSync, cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

const main = resolve('dist/program/main.js');
const folder = mkdtempSync(join(tmpdir(), 'slotcast-parts-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const STUDY = 'demo/deep-bar-anywhere.json';
const RUN = ['--scenarios', '700', '--seed', 'parts'];

function slotcast(...args: string[]) {
  const { status, stdout, stderr } = spawnSync(process.execPath, [main, ...args], { cwd: folder, encoding: 'utf8' });
  return { code: status, out: stdout, err: stderr };
}

const inFolder = (...names: string[]) => join(folder, ...names);
const parts = (...which: number[]) => which.map((k) => join('parts', `part-${k}-of-4.bin`));
const bytes = (run: string, file: string) => readFileSync(inFolder(run, file));

beforeAll(() => {
  cpSync('data-demo', inFolder('demo'), { recursive: true });
  for (let k = 1; k <= 4; k++) {
    // Workers, batches and the order of the parts do not matter.
    const { code, out } = slotcast('study', STUDY, ...RUN, '--part', `${5 - k}/4`, '--out', 'parts', '--workers', String(1 + (k % 2)),
      '--batch', String(40 * k));
    expect(out).toMatch(new RegExp(`^Part ${5 - k} of 4: scenarios \\d+ to \\d+ in .*merge`));
    expect(code).toBe(0);
  }
  expect(slotcast('study', STUDY, ...RUN, '--out', 'whole', '--table', 'both').code).toBe(0);
});

describe('a study in parts', () => {
  it('leaves the parts and nothing else', () => {
    expect(readdirSync(inFolder('parts')).sort()).toEqual([1, 2, 3, 4].map((k) => `part-${k}-of-4.bin`));
  });

  it('merges to the bytes of one run', () => {
    const { code, out, err } = slotcast('merge', ...parts(3, 1, 4, 2), '--study', STUDY, ...RUN, '--out', 'merged', '--table', 'both');
    expect(err).toMatch(/700 scenarios from 4 parts; summary.json, scenarios.csv, scenarios.parquet and report.html are in merged/);
    expect(code).toBe(0);
    expect(out).toMatch(/percentile/);
    for (const file of ['summary.json', 'scenarios.csv', 'scenarios.parquet', 'report.html']) {
      expect(bytes('merged', file).equals(bytes('whole', file))).toBe(true);
    }
  });

  const refused = (names: readonly string[], ...more: string[]) => {
    const { code, err } = slotcast('merge', ...names, '--study', STUDY, ...RUN, '--out', 'refused', ...more);
    expect(code).toBe(2);
    expect(err).toMatch(/nothing was merged/);
    expect(existsSync(inFolder('refused'))).toBe(false);
    return err;
  };

  it('names a part that is lost', () => {
    expect(refused(parts(1, 2, 4))).toMatch(/missing: part 3 of 4/);
  });

  it('names a part that comes twice, and which it is already', () => {
    copyFileSync(inFolder(parts(2)[0]), inFolder('again.bin'));
    expect(refused([...parts(1, 2, 3, 4), 'again.bin'])).toMatch(/again\.bin: it is part 2 again, which .*part-2-of-4\.bin is already/);
  });

  it('names a part of another seed, another rack, another number of scenarios and another split', () => {
    slotcast('study', STUDY, '--scenarios', '700', '--seed', 'other', '--part', '3/4', '--out', 'other-seed');
    expect(refused([...parts(1, 2, 4), join('other-seed', 'part-3-of-4.bin')])).toMatch(/its seed is "other", and the study's "parts"/);
    const rack = readFileSync(inFolder('demo', 'deep-bar.json'), 'utf8');
    writeFileSync(inFolder('demo', 'deep-bar.json'), rack.replace('"depthMm": 156', '"depthMm": 155'));
    slotcast('study', STUDY, ...RUN, '--part', '3/4', '--out', 'other-rack');
    writeFileSync(inFolder('demo', 'deep-bar.json'), rack);
    expect(refused([...parts(1, 2, 4), join('other-rack', 'part-3-of-4.bin')])).toMatch(/made from other inputs .*rack, catalogue or study/);
    slotcast('study', STUDY, '--scenarios', '800', '--seed', 'parts', '--part', '3/4', '--out', 'more');
    expect(refused([...parts(1, 2, 4), join('more', 'part-3-of-4.bin')])).toMatch(/part of 800 scenarios, and the study has 700/);
    slotcast('study', STUDY, ...RUN, '--part', '3/5', '--out', 'fifths');
    expect(refused([...parts(1, 2, 4), join('fifths', 'part-3-of-5.bin')])).toMatch(/it is one of 5 parts, and .* is one of 4/);
  });

  it('names a damaged part, wherever the damage is', () => {
    const whole = readFileSync(inFolder(parts(3)[0]));
    const header = whole.indexOf(10);
    for (const [change, words] of [
      [(b: Buffer) => { b[b.length - 5] ^= 1; return b; }, /do not have the SHA-256/],
      [(b: Buffer) => b.subarray(0, b.length - 100), /bytes of rows and \d+ belong to it/],
      [(b: Buffer) => b.subarray(0, header - 20), /does not begin with a header/],
      [(b: Buffer) => { b.write('x', 12); return b; }, /format is not|does not begin/],
      [() => Buffer.alloc(0), /does not begin with a header/],
    ] as const) {
      writeFileSync(inFolder('damaged.bin'), change(Buffer.from(whole)));
      expect(refused([...parts(1, 2, 4), 'damaged.bin'])).toMatch(words);
    }
    // Rows of another part under this part's header.
    const other = readFileSync(inFolder(parts(2)[0]));
    writeFileSync(inFolder('damaged.bin'), Buffer.concat([whole.subarray(0, header), other.subarray(other.indexOf(10))]));
    expect(refused([...parts(1, 2, 4), 'damaged.bin'])).toMatch(/do not have the SHA-256/);
    expect(refused([...parts(1, 2, 4), 'demo/contacts.csv'])).toMatch(/contacts\.csv: it does not begin with a header/);
    expect(refused([...parts(1, 2, 4), 'nowhere.bin'])).toMatch(/nowhere\.bin: it cannot be read \(ENOENT\)/);
  });

  it('says that a part is there already, and refuses to write another over it', () => {
    const before = readFileSync(inFolder(parts(3)[0]));
    const again = slotcast('study', STUDY, ...RUN, '--part', '3/4', '--out', 'parts');
    expect(again).toMatchObject({ code: 0, err: '' });
    expect(again.out).toMatch(/part-3-of-4\.bin is in parts already, of these inputs/);
    const json = slotcast('study', STUDY, ...RUN, '--part', '3/4', '--out', 'parts', '--json');
    expect(JSON.parse(json.out)).toMatchObject({ part: 3, parts: 4, fromScenario: 350, toScenario: 524, file: 'part-3-of-4.bin' });
    const other = slotcast('study', STUDY, '--scenarios', '700', '--seed', 'other', '--part', '3/4', '--out', 'parts');
    expect(other.err).toMatch(/part-3-of-4\.bin in parts/);
    expect(other.code).toBe(2);
    expect(readFileSync(inFolder(parts(3)[0])).equals(before)).toBe(true);
  });

  it('refuses what is no part, and a study that stops by itself', () => {
    for (const part of ['0/4', '5/4', 'a/b', '1', '1/800']) {
      expect(slotcast('study', STUDY, ...RUN, '--part', part, '--out', 'none').code).toBe(2);
    }
    const study = JSON.parse(readFileSync(inFolder(STUDY), 'utf8'));
    writeFileSync(inFolder('demo', 'stopping.json'), JSON.stringify({
      ...study, stop: { percentilePercent: 5, halfWidthKw: 1, lookEvery: 100 },
    }));
    const { code, err } = slotcast('study', 'demo/stopping.json', '--part', '1/4', '--out', 'none');
    expect(err).toMatch(/cannot run in parts/);
    expect(code).toBe(2);
  });
});

describe('scenarios.parquet', () => {
  it('lets the report be written from it alone', () => {
    expect(slotcast('study', STUDY, ...RUN, '--out', 'parquet', '--table', 'parquet').code).toBe(0);
    expect(readdirSync(inFolder('parquet'))).not.toContain('scenarios.csv');
    cpSync(inFolder('whole'), inFolder('csv'), { recursive: true });
    rmSync(inFolder('csv', 'scenarios.parquet'));
    for (const run of ['parquet', 'csv']) {
      const { code, out } = slotcast('report', run);
      expect(out).toMatch(/report\.html, report\.md/);
      expect(code).toBe(0);
    }
    expect(bytes('parquet', 'report.md').equals(bytes('csv', 'report.md'))).toBe(true);
    expect(bytes('parquet', 'report.html').equals(bytes('csv', 'report.html'))).toBe(true);
  });

  it('is not left beside results of another run', () => {
    expect(slotcast('study', STUDY, ...RUN, '--out', 'parquet', '--table', 'csv', '--replace').code).toBe(0);
    expect(readdirSync(inFolder('parquet'))).not.toContain('scenarios.parquet');
  });
});

describe('a folder that another run writes to', () => {
  it('is refused, and taken over from a process that was killed', () => {
    cpSync(inFolder('whole'), inFolder('taken'), { recursive: true });
    const lock = inFolder('taken', 'running.lock');
    const run = () => slotcast('study', STUDY, ...RUN, '--out', 'taken', '--replace');
    const host = spawnSync(process.execPath, ['-p', 'os.hostname()'], { encoding: 'utf8' }).stdout.trim();
    writeFileSync(lock, JSON.stringify({ host, process: process.pid }));
    const { code, err } = run();
    expect(err).toMatch(/another run \(process \d+ on .*\) is writing to taken/);
    expect(code).toBe(2);
    writeFileSync(lock, JSON.stringify({ host: 'elsewhere', process: 1 }));
    expect(run().code).toBe(2);
    writeFileSync(lock, JSON.stringify({ host, process: 2 ** 22 + 7 }));
    expect(run().code).toBe(0);
    writeFileSync(lock, '');
    expect(run().code).toBe(0);
    expect(existsSync(lock)).toBe(false);
  });
});
