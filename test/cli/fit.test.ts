/** `slotcast fit`, as a user types it. */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';

const main = resolve('dist/program/main.js');
const demo = resolve('data-demo');
const folder = mkdtempSync(join(tmpdir(), 'slotcast-fit-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function slotcast(...args: string[]) {
  const run = spawnSync(process.execPath, [main, ...args], { cwd: folder, encoding: 'utf8' });
  return { code: run.status, out: run.stdout, err: run.stderr };
}
const study = join(demo, 'deep-bar-anywhere.json');
const heatRun = join(demo, 'heat-run.csv');
const csv = readFileSync(heatRun, 'utf8');
const variant = (name: string, text: string) => {
  writeFileSync(join(folder, name), text);
  return name;
};

describe('slotcast fit', () => {
  it('gives the truth of the demonstration heat run within its intervals, and files that run', () => {
    const { code, out, err } = slotcast('fit', study, '--heat-run', heatRun, '--fit', 'filmFactor,contactFactor', '--out', 'demo');
    expect(code).toBe(0);
    expect(err).toMatch(/fit\.json, rack\.json and study\.json are in demo$/m);
    expect(out).toMatch(/1 missing: R31 at "B"/);
    expect(out).toMatch(/hardly tell film factor and factor on all contacts apart/);
    expect(out).toMatch(/temperature-rise test/);
    expect(out).not.toMatch(/NaN|undefined|Infinity/);
    const fit = JSON.parse(readFileSync(join(folder, 'demo/fit.json'), 'utf8'));
    expect(fit).toMatchObject({ format: 'slotcast-fit/1', missing: [{ point: 'B', sensor: 'R31' }] });
    expect(fit.inputs).toHaveLength(4);
    // What test/tools/demoHeatRun.mjs made it with.
    for (const [key, value] of [['filmFactor', 0.62], ['contactFactor', 1.3]] as const) {
      const found = fit.quantities.find((one: { key: string }) => one.key === key);
      expect(found.lower).toBeLessThan(value);
      expect(found.upper).toBeGreaterThan(value);
    }
    const run = slotcast('study', 'demo/study.json', '--scenarios', '50', '--workers', '1', '--quiet', '--out', 'run');
    expect(run.err).not.toMatch(/rror/);
    expect(run.code).toBe(0);
  });

  it('does not write over results, and takes a stale catalogue away when it may', () => {
    const args = ['fit', study, '--heat-run', heatRun, '--out', 'again', '--fit'];
    expect(slotcast(...args, 'filmFactor,sourceContact').code).toBe(0);
    expect(existsSync(join(folder, 'again/catalogue.json'))).toBe(true);
    const refused = slotcast(...args, 'filmFactor');
    expect(refused.code).toBe(2);
    expect(refused.err).toMatch(/fit\.json, rack\.json, catalogue\.json, study\.json in again/);
    expect(slotcast(...args, 'filmFactor', '--replace', '--json').out).toMatch(/^\{\n {2}"format": "slotcast-fit\/1"/);
    expect(existsSync(join(folder, 'again/catalogue.json'))).toBe(false);
  });

  it('never writes over what it reads', () => {
    const args = ['fit', 'demo/study.json', '--heat-run', heatRun, '--fit', 'filmFactor', '--out', 'demo', '--replace'];
    const { code, err } = slotcast(...args);
    expect(code).toBe(2);
    expect(err).toMatch(/--out: found demo, whose (rack|study)\.json is an input; name another folder/);
  });

  it('takes a rack with its catalogue', () => {
    const rack = join(demo, 'deep-bar.json');
    expect(slotcast('fit', rack, '--heat-run', heatRun, '--fit', 'filmFactor').err).toMatch(/--catalogue: found nothing/);
    const { code, err } = slotcast('fit', rack, '--catalogue', join(demo, 'equipment.json'), '--heat-run', heatRun, '--fit', 'filmFactor', '--out', 'rack');
    expect(code).toBe(0);
    expect(err).not.toMatch(/cannot be run/);
    expect(slotcast('check', 'rack/study.json').code).toBe(0);
  });

  it('refuses a run that was not steady, and says what it costs where it is told to take it', () => {
    const young = variant('young.csv', csv.replaceAll(/,0\.\d\d$/gm, ',2.5'));
    const refused = slotcast('fit', study, '--heat-run', young, '--fit', 'filmFactor', '--out', 'young');
    expect(refused.code).toBe(2);
    expect(refused.err).toMatch(/still move by more than 1 K\/h/);
    expect(existsSync(join(folder, 'young'))).toBe(false);
    const taken = slotcast('fit', study, '--heat-run', young, '--fit', 'filmFactor', '--out', 'young', '--allow-unsteady');
    expect(taken.code).toBe(0);
    expect(taken.out).toMatch(/Not steady, and taken all the same/);
  });

  it('says what is wrong with file and options', () => {
    const bad = variant('bad.csv', csv.replace('accelerator-4', 'acelerator-4'));
    const { code, err } = slotcast('fit', study, '--heat-run', bad, '--fit', 'filmFactor');
    expect(code).toBe(2);
    expect(err).toMatch(/bad\.csv: line 9, column equipment: found "acelerator-4"; did you mean "accelerator-4"\?/);
    expect(slotcast('fit', study, '--heat-run', heatRun, '--fit', 'film').code).toBe(2);
    expect(slotcast('fit', study, '--heat-run', heatRun, '--fit', 'filmFactor', '--drop', 'S4').err).toMatch(/no sensor "S4"/);
    expect(slotcast('fit', study, '--heat-run', 'absent.csv', '--fit', 'filmFactor').code).toBe(2);
  });
});
