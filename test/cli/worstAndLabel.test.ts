/** The commands on the worst placement and the label, as a user types them. */
import { spawnSync } from 'node:child_process';
import { copyFileSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';

const main = resolve('dist/program/main.js');
const demo = resolve('data-demo');
const folder = mkdtempSync(join(tmpdir(), 'slotcast-worst-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function slotcast(...args: string[]) {
  const run = spawnSync(process.execPath, [main, ...args], { cwd: folder, encoding: 'utf8' });
  return { code: run.status, out: run.stdout, err: run.stderr };
}
const plainBar = join(demo, 'plain-bar-even.json');
for (const name of ['plain-bar.json', 'equipment.json']) copyFileSync(join(demo, name), join(folder, name));

/** The study of the plain bar with something changed, beside copies of the files that it names. */
function variant(name: string, change: (json: Record<string, unknown>) => Record<string, unknown>): void {
  writeFileSync(join(folder, name), JSON.stringify(change(JSON.parse(readFileSync(plainBar, 'utf8')))));
}

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
    expect(page.includes('Candidate labels')).toBe(true);
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

  it('says with every number where it comes from, in kW, and which candidate rules leave no placement', () => {
    const candidates = [
      { name: 'Sources low', rules: [{ rule: 'only-in-band', units: 'sources', fromSlot: 1, toSlot: 12 }] },
      { name: 'Too low', rules: [{ rule: 'only-in-band', units: 'sources', fromSlot: 1, toSlot: 3 }] },
    ];
    variant('ruled.json', (json) => ({ ...json, scenarios: 500, stop: undefined, candidateRules: candidates }));
    const { code, out, err } = slotcast('label', 'ruled.json', '--seconds', '3', '--starts', '1', '--out', 'ruled',
      '--workers', '1', '--wanted', '41.5', '--carried', '98', '--quiet');
    expect(err).toBe('');
    expect(code).toBe(0);
    expect(out).toMatch(/^Sources low +sources only in slots 1–12 /m);
    expect(out).toMatch(/^"Too low" is impossible: rule .* leaves no placement/m);
    const json = JSON.parse(readFileSync(join(folder, 'ruled', 'label.json'), 'utf8'));
    expect(json).toMatchObject({
      library: { name: 'slotcast' }, study: { name: 'Plain bar, equal loads', seed: 'plain-bar-even' },
      rack: { slotCount: 36 }, search: { seed: 'worst', starts: 1 },
    });
    expect(json.inputs.map(({ path }: { path: string }) => path)).toContain('ruled.json');
    expect(json.rules.map(({ name }: { name: string }) => name)).toEqual(['no further rule', 'Sources low']);
    expect(json.impossibleRules).toMatchObject([{ name: 'Too low' }]);
    expect(json.mildestRules).toMatchObject({ wantedKw: 41.5 });
    expect(json.mildestRules.floorKw).toBeLessThan(100);
    expect(JSON.stringify(json)).not.toMatch(/"(floor|power)":\d/);
    const page = readFileSync(join(folder, 'ruled', 'label.html'), 'utf8');
    expect(page.includes('Too low')).toBe(true);
    expect(page).toMatch(/slotcast label ruled\.json .*--carried 98/);
  }, 120_000);

  it('refuses what it cannot use before it computes anything', () => {
    const refused = (...args: string[]) => {
      const { code, err } = slotcast('label', ...args);
      expect(code).toBe(2);
      return err;
    };
    expect(refused(plainBar, '--carried', '100')).toMatch(/below 100/);
    variant('endless.json', (json) => ({
      ...json, uncertain: { filmFactor: { distribution: 'lognormal', median: 1, geometricSd: 1.1 } },
    }));
    expect(refused('endless.json', '--cover-percent', '100')).toMatch(/--cover-percent: found 100; .*without ends/);
    writeFileSync(join(folder, 'a-file'), '');
    expect(refused(plainBar, '--out', 'a-file')).toMatch(/a file, a-file/);
    const rack = JSON.parse(readFileSync(join(demo, 'plain-bar.json'), 'utf8'));
    const { barRiseK: _, barC: __, ...limits } = rack.limits;
    writeFileSync(join(folder, 'plain-bar-unlimited.json'), JSON.stringify({ ...rack, limits }));
    variant('unlimited.json', (json) => ({ ...json, rack: 'plain-bar-unlimited.json' }));
    expect(refused('unlimited.json')).toMatch(/limits: found neither barRiseK nor barC/);
    expect(slotcast('worst', 'unlimited.json').code).toBe(2);
    expect(slotcast('worst', 'endless.json', '--cover-percent', '100').code).toBe(2);
  });
});
