import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';

const folder = mkdtempSync(join(tmpdir(), 'slotcast-peak-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const STUDY = 'data-demo/deep-bar-anywhere.json';

function peak(...args: string[]) {
  const run = spawnSync(process.execPath, [resolve('dist/program/main.js'), 'peak', STUDY, '--scenario', '17', ...args], { encoding: 'utf8' });
  return { code: run.status, out: run.stdout, err: run.stderr };
}

describe('slotcast peak', () => {
  it('shows the temperatures of a load over time, with a verdict and the cautions', () => {
    const { code, out, err } = peak('--load-file', 'data-demo/pulses.json');
    expect([code, err]).toEqual([0, '']);
    expect(out).toMatch(/^ *3600\.0 +55\.0 +\d\d\.\d\d /m);
    expect(out).toMatch(/^Carried: at most \d+\.\d % of .+ after \d+\.\d s\.$/m);
    expect(out).toMatch(/time constant .* \d{4} s/);
    expect(out).toMatch(/temperature-rise test/);
  });

  it('gives every step of every state as JSON', () => {
    const { out } = peak('--load-file', 'data-demo/pulses.json', '--json');
    const { format, states } = JSON.parse(out);
    expect(format).toBe('slotcast-temperatures/1');
    expect(states).toHaveLength(7);
    for (const { status, points } of states) {
      expect(status).toBe('solved');
      expect(points.at(-1).timeS).toBeCloseTo(3600, 9);
      expect(points.every(({ hottestC }: { hottestC: number }) => Number.isFinite(hottestC))).toBe(true);
    }
  });

  it('says that a load is not carried', () => {
    const file = join(folder, 'high.json');
    writeFileSync(file, readFileSync('data-demo/pulses.json', 'utf8').replace('125', '250'));
    expect(peak('--load-file', file).out).toMatch(/^NOT CARRIED: \d+\.\d % of source power after/m);
  });

  it('finds the largest peak, more for once than for again and again', () => {
    const carried = (...args: string[]) => JSON.parse(peak(...args, '--json').out).peakKw;
    const once = carried('--seconds', '900', '--before-kw', '100');
    const repeated = carried('--seconds', '900', '--before-kw', '100', '--rest-seconds', '300', '--rest-kw', '100');
    expect(once).toBeGreaterThanOrEqual(repeated);
    expect(peak('--seconds', '900', '--before-kw', '100').out).toMatch(/carries \d+\.\d kW for 900 s once, after a steady load of 100 kW/);
  });

  it.each([
    [['--seconds', '5', '--load-file', 'x.json'], /found both; give exactly one/],
    [[], /found neither; give exactly one/],
    [['--seconds', '5', '--rest-kw', '3'], /give both/],
    [['--seconds', '0'], /above 0/],
    [['--seconds', '5', '--before-kw', '500'], /breaks a limit itself: bar rise/],
    [['--load-file', 'data-demo/deep-bar.json'], /a load-over-time file is expected here/],
    [['--load-file', 'nowhere.json'], /does not exist/],
  ])('refuses %s', (args, words) => {
    const { code, out, err } = peak(...args);
    expect(code).toBe(2);
    expect(out).toBe('');
    expect(err).toMatch(words);
  });
});
