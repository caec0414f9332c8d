/** The commands on the worst placement and the label, as a user types them. */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';

const main = resolve('dist/cli/main.js');
const demo = resolve('data-demo');
const folder = mkdtempSync(join(tmpdir(), 'slotcast-worst-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function slotcast(...args: string[]) {
  const run = spawnSync(process.execPath, [main, ...args], { cwd: folder, encoding: 'utf8' });
  return { code: run.status, out: run.stdout, err: run.stderr };
}
const plainBar = join(demo, 'plain-bar-even.json');

describe('slotcast worst', () => {
  it('shows floor and worst found together, within 3 % of each other, and says why', () => {
    const { code, out, err } = slotcast('worst', plainBar, '--seconds', '60', '--starts', '2');
    expect(code).toBe(0);
    const [, floor] = /Floor +([\d.]+) kW +proven/.exec(out) ?? [];
    const [, found] = /Worst found +([\d.]+) kW +searched/.exec(out) ?? [];
    expect(Number(floor)).toBeLessThanOrEqual(Number(found));
    expect(Number(floor)).toBeGreaterThan(0.97 * Number(found));
    expect(out).toMatch(/bar rise at slot \d+, (supply|return) pole binds at [\d.]+ kW/i);
    expect(out).toMatch(/oving the sources (up|down) by .* frees [\d.]+ kW\./);
    expect(out).toMatch(/^[SB.1-9]{36}$/m);
    expect(out).toMatch(/temperature-rise test/);
    expect(out).not.toMatch(/worst case/i);
    expect(err).toMatch(/search: start 1 of 2, lowest [\d.]+ kW/);
  });

  it('prints JSON with the unit in every key', () => {
    const { code, out, err } = slotcast('worst', plainBar, '--seconds', '3', '--starts', '1', '--json', '--quiet');
    expect(code).toBe(0);
    expect(err).toBe('');
    const answer = JSON.parse(out);
    expect(answer).toMatchObject({ format: 'slotcast-worst/1', coverPercent: null, worstFound: { starts: 1 } });
    expect(answer.floor.floorKw).toBeLessThanOrEqual(answer.worstFound.ratedKw);
  });

  it('says what is wrong with an option', () => {
    expect(slotcast('worst', plainBar, '--cover-percent', '101')).toMatchObject({ code: 2 });
    expect(slotcast('worst', 'absent.json').code).toBe(2);
  });
});

describe('slotcast label', () => {
  it('prints the decision, writes label.json and label.html, and does not write over them', () => {
    const args = ['label', plainBar, '--seconds', '90', '--starts', '1', '--candidates', '38,41,50', '--out', 'label', '--workers', '1'];
    const { code, out } = slotcast(...args, '--wanted', '40');
    expect(code).toBe(0);
    expect(out).toMatch(/^Label 41 kW: every placement the rules allow carries it/m);
    expect(out).toMatch(/^Label \d+ kW: at least 99 % of scenarios carry it, with 95 % confidence/m);
    expect(out).toMatch(/38 +100% .* proven/);
    expect(out).toMatch(/50 .* refuted +bar rise [\d.]+ K/);
    expect(out).toMatch(/For 40 kW: no further rule is needed/);
    const json = JSON.parse(readFileSync(join(folder, 'label', 'label.json'), 'utf8'));
    expect(json).toMatchObject({ format: 'slotcast-label/1', stepKw: 1 });
    expect(json.labels.map((row: { labelKw: number }) => row.labelKw)).toEqual([38, 41, 50]);
    expect(json.recommendations[0].labelKw).toBe(41);
    const page = readFileSync(join(folder, 'label', 'label.html'), 'utf8');
    expect(page).toContain('Label against risk');
    // Before the plotting library, which holds addresses that it does not load.
    expect(/(src|href)="http/.test(page.slice(0, page.indexOf('<script>')))).toBe(false);
    expect(slotcast(...args)).toMatchObject({ code: 2 });
    expect(existsSync(join(folder, 'label', 'label.json'))).toBe(true);
  }, 120_000);

  it('refuses candidates that do not ascend', () => {
    const { code, err } = slotcast('label', plainBar, '--candidates', '50,40');
    expect(code).toBe(2);
    expect(err).toMatch(/ascending/);
  });
});
