/** Text and links that mean harm: nothing of them runs, and nothing is written where it was not wanted. */
import { spawnSync } from 'node:child_process';
import {
  cpSync, existsSync, lstatSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

const folder = mkdtempSync(join(tmpdir(), 'slotcast-hostile-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const NAMES = {
  markup: '</script><img src=x onerror=alert(1)>',
  formula: '=HYPERLINK("http://example.org")',
  control: 'red\u001b[31m\u0007 \u202etxet\u2066',
  path: '../../../outside',
};

function slotcast(...args: string[]) {
  const run = spawnSync(process.execPath, [resolve('dist/program/main.js'), ...args], { cwd: folder, encoding: 'utf8' });
  return { code: run.status, out: run.stdout, err: run.stderr };
}

/** A study of that name, rack and catalogue included, in a file of its own. */
function hostileStudy(file: string, name: string): string {
  const read = (from: string) => JSON.parse(readFileSync(join(folder, 'demo', from), 'utf8'));
  writeFileSync(join(folder, `rack-${file}.json`), JSON.stringify({ ...read('deep-bar.json'), name }));
  writeFileSync(join(folder, `catalogue-${file}.json`), JSON.stringify({ ...read('equipment.json'), name }));
  const study = read('deep-bar-anywhere.json');
  writeFileSync(join(folder, `${file}.json`), JSON.stringify({
    ...study, name, seed: name, rack: `rack-${file}.json`, catalogue: `catalogue-${file}.json`,
    uncertain: JSON.parse(JSON.stringify(study.uncertain).replaceAll('"contacts.csv"', '"demo/contacts.csv"')),
  }));
  return `${file}.json`;
}

beforeAll(() => cpSync('data-demo', join(folder, 'demo'), { recursive: true }));

describe('names that mean harm', () => {
  it.each(Object.entries(NAMES))('%s: stay text on the screen, in the report and in the table, and inside the folder', (kind, name) => {
    const before = readdirSync(folder).length;
    const file = hostileStudy(kind, name);
    const { code, out, err } = slotcast('study', file, '--scenarios', '300', '--out', `out-${kind}`, '--quiet');
    expect(code, err).toBe(0);
    // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what must not be there
    expect(out + err).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/);
    expect(readdirSync(join(folder, `out-${kind}`)).sort()).toEqual(['report.html', 'scenarios.csv', 'summary.json', 'timing.json']);
    expect(readdirSync(folder)).toHaveLength(before + 4);
    expect(readFileSync(join(folder, `out-${kind}`, 'report.html'), 'utf8')).not.toMatch(/<img src=x|<\/script><img/);
    expect(readFileSync(join(folder, `out-${kind}`, 'scenarios.csv'), 'utf8')).not.toMatch(/(^|,)[=+@]/m);
    expect(JSON.parse(readFileSync(join(folder, `out-${kind}`, 'summary.json'), 'utf8')).study.name).toBe(name);
    for (const command of [['check', file], ['replay', file, '3']]) {
      const said = slotcast(...command);
      // biome-ignore lint/suspicious/noControlCharactersInRegex: as above
      expect(said.out + said.err).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/);
    }
  });
});

describe('links', () => {
  it('are not followed out of the folder of the results, neither for batches nor for half-written files', () => {
    mkdirSync(join(folder, 'outside'));
    mkdirSync(join(folder, 'linked'));
    symlinkSync(join(folder, 'outside'), join(folder, 'linked', 'batches'));
    const refused = slotcast('study', 'demo/plain-bar-even.json', '--scenarios', '300', '--out', 'linked', '--workers', '1');
    expect(refused.code).toBe(2);
    expect(refused.err).toMatch(/batches: found a link; remove it/);
    expect(readdirSync(join(folder, 'outside'))).toEqual([]);
  });

  it('in place of a result are replaced, and what they point to stays as it was', () => {
    mkdirSync(join(folder, 'replaced'));
    writeFileSync(join(folder, 'precious.txt'), 'mine');
    symlinkSync(join(folder, 'precious.txt'), join(folder, 'replaced', 'summary.json'));
    const args = ['study', 'demo/plain-bar-even.json', '--scenarios', '300', '--out', 'replaced', '--quiet'];
    expect(slotcast(...args).code).toBe(2);
    expect(slotcast(...args, '--replace').code).toBe(0);
    expect(readFileSync(join(folder, 'precious.txt'), 'utf8')).toBe('mine');
    expect(lstatSync(join(folder, 'replaced', 'summary.json')).isSymbolicLink()).toBe(false);
    expect(existsSync(join(folder, 'replaced', 'report.html'))).toBe(true);
  });
});
