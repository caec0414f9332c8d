/** `slotcast sensitivity`, as a user types it. */
import { spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';

const main = resolve('dist/program/main.js');
const folder = mkdtempSync(join(tmpdir(), 'slotcast-sensitivity-'));
cpSync('data-demo', join(folder, 'demo'), { recursive: true });
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function slotcast(...args: string[]) {
  const run = spawnSync(process.execPath, [main, 'sensitivity', ...args], { cwd: folder, encoding: 'utf8' });
  return { code: run.status, out: run.stdout, err: run.stderr };
}
const deep = 'demo/deep-bar-anywhere.json';
const few = ['--samples', '150', '--percentile', '10'];

/** A demonstration study with something changed, beside the files that it names. */
function variant(name: string, change: (json: Record<string, unknown>) => Record<string, unknown>): string {
  const path = join('demo', name);
  const plain = JSON.parse(readFileSync(join(folder, 'demo/plain-bar-even.json'), 'utf8'));
  writeFileSync(join(folder, path), JSON.stringify(change(plain)));
  return path;
}

describe('slotcast sensitivity', () => {
  it('says what the spread is made of and what to tighten first, and writes its files', () => {
    const { code, out, err } = slotcast(deep, '--samples', '2000', '--percentile', '20', '--out', 'more');
    expect(code).toBe(0);
    expect(out).toMatch(/What the spread is made of: placement \d+ %, factor on all contacts \d+ %/);
    expect(out).toMatch(/^Tighten first: .*\. Halving its spread changes the 20 % percentile by \+\d+\.\d\d kW, removing it by \+/m);
    expect(out).toMatch(/^contacts of loads .* by \+1 µΩ +-0\.\d\d/m);
    expect(out).toMatch(/^all of them together/m);
    expect(out).toMatch(/^20 % of scenarios fall below \d+\.\d kW .*; the rest carry more/m);
    expect(out).toMatch(/temperature-rise test/);
    expect(out).not.toMatch(/NaN|Infinity|undefined|null/);
    expect(err).toMatch(/sensitivity\.json and sensitivity\.html are in more/);
    expect(readdirSync(join(folder, 'more')).sort()).toEqual(['sensitivity.html', 'sensitivity.json']);
    const document = JSON.parse(readFileSync(join(folder, 'more/sensitivity.json'), 'utf8'));
    expect(document).toMatchObject({
      format: 'slotcast-sensitivity/1', samples: 2000, ratings: 2000 * 38, confidencePercent: 95,
      command: `slotcast sensitivity ${deep} --percentile 20 --samples 2000`,
      percentile: { percent: 20 }, notRated: { ratings: 0, isTooMany: false },
    });
    expect(document.inputs).toHaveLength(4);
    expect(document.tolerances.map(({ words }: { words: string }) => words)).toHaveLength(7);
    expect(document.rankCorrelations[0]).toMatchObject({ quantity: 'contactFactor' });
    expect(document.rankCorrelations[0].upper).toBeLessThan(0);
  });

  it('gives the same bytes again, on the screen too, and does not write over results unless told to', () => {
    const first = slotcast(deep, ...few, '--out', 'first');
    expect(first.code).toBe(0);
    // So few cannot tell which gain is the largest.
    expect(first.out).toMatch(/This sample cannot tell which tolerance to tighten first: .* may be nothing; more samples can\./);
    expect(slotcast(deep, ...few, '--out', 'first')).toMatchObject({ code: 2, err: expect.stringMatching(/--replace/) });
    const again = slotcast(deep, ...few, '--out', 'again', '--json', '--quiet');
    expect(again).toMatchObject({ code: 0, err: '' });
    expect(again.out).toBe(readFileSync(join(folder, 'first/sensitivity.json'), 'utf8'));
    for (const name of ['sensitivity.json', 'sensitivity.html']) {
      expect(readFileSync(join(folder, 'again', name)).equals(readFileSync(join(folder, 'first', name))), name).toBe(true);
    }
    expect(slotcast(deep, ...few, '--out', 'again', '--replace', '--seed', 'it’s another').code).toBe(0);
    expect(readFileSync(join(folder, 'again/sensitivity.json'), 'utf8')).toContain("--seed 'it’s another'");
  });

  it('refuses a percentile too deep for the sample, and writes nothing then', () => {
    const { code, err } = slotcast(deep, '--samples', '500', '--percentile', '0.1', '--out', 'deep');
    expect(code).toBe(2);
    expect(err).toMatch(/--samples: found 500; the 0\.1 % percentile lies beyond the ends of so few; at least 667/);
    expect(existsSync(join(folder, 'deep'))).toBe(false);
  });

  it('warns where few scenarios lie beyond the percentile', () => {
    expect(slotcast(deep, '--samples', '300', '--percentile', '5', '--out', 'few').out)
      .toMatch(/WARNING: only 30 of 600 scenarios lie beyond the 5 % percentile/);
  });

  it('says so where nothing varies, and what is wrong with an option', () => {
    const fixed = variant('fixed.json', ({ uncertain: _, ...json }) => ({
      ...json,
      sources: { positions: { draw: 'fixed', units: [
        { id: 'shelf-33', bottomSlot: 1 }, { id: 'shelf-33', bottomSlot: 4 }, { id: 'battery-30', bottomSlot: 7 },
      ] } },
      loads: { draw: 'fixed', units: [{ id: 'tray-1', bottomSlot: 20, powerKw: 3 }] },
    }));
    const { code, err } = slotcast(fixed, '--out', 'none');
    expect(err).toMatch(/nothing varies/);
    expect(code).toBe(2);
    expect(slotcast(deep, '--percentile', '100').code).toBe(2);
    expect(slotcast('absent.json').code).toBe(2);
  });

  it('tells of placement alone where no quantity is uncertain', () => {
    const certain = variant('certain.json', ({ uncertain: _, ...json }) => json);
    const { code, out } = slotcast(certain, ...few, '--out', 'certain');
    expect(code).toBe(0);
    expect(out).toMatch(/What the spread is made of: placement \d+ %/);
    expect(out).toMatch(/no tolerance to tighten/);
  });
});
