/** `slotcast report`, as a user types it. */
import { spawnSync } from 'node:child_process';
import { copyFileSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { formatNumber, kilowattDecimals } from '../../lib/figure/index.js';
import { chromiumPath } from '../../lib/report/index.js';
import type { Summary } from '../../lib/study/index.js';

const main = resolve('dist/program/main.js');
const folder = mkdtempSync(join(tmpdir(), 'slotcast-reported-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function slotcast(args: readonly string[], env: Readonly<Record<string, string>> = {}) {
  const run = spawnSync(process.execPath, [main, ...args], { cwd: folder, encoding: 'utf8', env: { ...process.env, ...env } });
  return { code: run.status, out: run.stdout, err: run.stderr };
}

beforeAll(() => {
  for (const name of ['plain-bar-even.json', 'plain-bar.json', 'equipment.json']) {
    copyFileSync(resolve('data-demo', name), join(folder, name));
  }
  expect(slotcast(['study', 'plain-bar-even.json', '--out', 'plain', '--scenarios', '400', '--quiet']).code).toBe(0);
});

describe('slotcast report', () => {
  it.skipIf(chromiumPath() === null)('writes HTML, Markdown with pictures and PDF, with the numbers of summary.json', () => {
    const { code, out, err } = slotcast(['report', 'plain']);
    expect(code).toBe(0);
    expect(out).toMatch(/^report\.html, report\.md, report\.pdf, \d+ pictures in figures are in plain/);
    expect(err).toContain('no floor');
    const summary = JSON.parse(readFileSync(join(folder, 'plain', 'summary.json'), 'utf8')) as Summary;
    const markdown = readFileSync(join(folder, 'plain', 'report.md'), 'utf8');
    const decimals = kilowattDecimals(summary.lowestKw, summary.highestKw);
    for (const { ratedKw } of summary.percentiles) expect(markdown).toContain(`**${formatNumber(ratedKw, decimals)}**`);
    for (const { sha256 } of summary.inputs) expect(markdown).toContain(sha256);
    const linked = [...markdown.matchAll(/\]\((figures\/[^)]+)\)/g)].map(([, path]) => path);
    expect(linked).toHaveLength(readdirSync(join(folder, 'plain', 'figures')).length);
    for (const path of linked) expect(existsSync(join(folder, 'plain', path)), path).toBe(true);
    expect(readFileSync(join(folder, 'plain', 'report.pdf')).subarray(0, 5).toString('latin1')).toBe('%PDF-');
    expect(slotcast(['report', 'plain'])).toMatchObject({ code: 2 });
    expect(slotcast(['report', 'plain', '--replace'])).toMatchObject({ code: 0 });
  });

  it('does without pictures and PDF where there is no browser, and says so', () => {
    slotcast(['study', 'plain-bar-even.json', '--out', 'blind', '--scenarios', '400', '--quiet']);
    const { code, out, err } = slotcast(['report', 'blind'], { SLOTCAST_CHROMIUM: '/nowhere' });
    expect(code).toBe(0);
    expect(err).toMatch(/no Chromium found.*need an installed Chromium/);
    expect(out).toMatch(/^report\.html, report\.md are in blind/);
    expect(existsSync(join(folder, 'blind', 'report.pdf'))).toBe(false);
    expect(readFileSync(join(folder, 'blind', 'report.md'), 'utf8')).not.toContain('![');
  });

  it('refuses a folder without results, and input files that have changed since', () => {
    expect(slotcast(['report', '.']).err).toMatch(/summary\.json: found it cannot be read/);
    slotcast(['study', 'plain-bar-even.json', '--out', 'changed', '--scenarios', '400', '--quiet']);
    const rack = join(folder, 'plain-bar.json');
    const before = readFileSync(rack, 'utf8');
    writeFileSync(rack, before.replace('"barRiseK": 30', '"barRiseK": 31'));
    const { code, err } = slotcast(['report', 'changed']);
    writeFileSync(rack, before);
    expect(code).toBe(2);
    expect(err).toMatch(/differ from those of the results: plain-bar\.json/);
  });

  it('keeps names from files as text in Markdown too', () => {
    const study = JSON.parse(readFileSync(join(folder, 'plain-bar-even.json'), 'utf8'));
    const name = '=1+1 <script>alert(1)</script> | **bold** [x](y) 🔌 לוח';
    writeFileSync(join(folder, 'hostile.json'), JSON.stringify({ ...study, name }));
    slotcast(['study', 'hostile.json', '--out', 'hostile', '--scenarios', '400', '--quiet']);
    expect(slotcast(['report', 'hostile'], { SLOTCAST_CHROMIUM: '/nowhere' }).code).toBe(0);
    const markdown = readFileSync(join(folder, 'hostile', 'report.md'), 'utf8');
    expect(markdown).not.toContain('<script');
    expect(markdown).toContain('&lt;script&gt;alert(1)&lt;/script&gt;');
    expect(markdown).not.toContain('[x](y)');
    expect(markdown).toContain('לוח');
    expect(readFileSync(join(folder, 'hostile', 'scenarios.csv'), 'utf8')).not.toMatch(/(^|,)[=+@]/m);
  });
});
