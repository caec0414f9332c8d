/** Numbers that look like a slip of units are warned about, and accepted where the file says that they are meant. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync, cpSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import { loadRack, loadStudy } from '../../lib/rack/index.js';
import { readRack } from '../../lib/rack/readRack.js';
import { readCatalogue } from '../../lib/rack/readCatalogue.js';
import { ProblemLog } from '../../lib/rack/text/problemLog.js';
import { CATALOGUE, changed, problemsOf, RACK } from './fixtures.js';

const folder = mkdtempSync(join(tmpdir(), 'slotcast-plausible-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
beforeEach(() => cpSync('data-demo', folder, { recursive: true }));

function warningsOf(json: unknown, read: (json: unknown, log: ProblemLog) => unknown = readRack): string[] {
  const log = new ProblemLog('file.json');
  read(json, log);
  expect(log.problems).toEqual([]);
  return log.warnings.map(({ path, found, allowed }) => `${path}: ${found}; ${allowed}`);
}

function edit(name: string, change: (text: string) => string): void {
  const path = join(folder, name);
  const before = readFileSync(path, 'utf8');
  const after = change(before);
  expect(after).not.toBe(before);
  writeFileSync(path, after);
}

describe('a number far from usual', () => {
  it.each<[string, string, number, RegExp]>([
    ['metres for millimetres', 'slots.pitchMm', 0.0445, /^slots\.pitchMm: 0\.0445 mm; from 15 to 200 mm is usual; 0\.0445 m would be 44\.5 mm\. If it is meant, add "slots\.pitchMm" to "meant"/],
    ['degrees Fahrenheit for Celsius', 'air.inletC', 77, /77 °F would be 25 °C/],
    ['kelvins for degrees Celsius', 'air.inletC', 298, /298 K would be 24\.85 °C/],
    ['millivolts for volts', 'feed.setV', 50_000, /50000 mV would be 50 V/],
    ['nothing that is known', 'feed.setV', 3000, /^feed\.setV: 3000 V; from 5 to 1500 V is usual\. If/],
  ])('is warned about: %s', (_, path, value, words) => {
    const warnings = warningsOf(changed(RACK, path, value));
    expect(warnings).toHaveLength(1);
    expect(warnings[0]).toMatch(words);
  });

  it('is warned about in a range, W for kW, at both ends', () => {
    const warnings = warningsOf(changed(CATALOGUE, 'loads[0].powerKw', { min: 2000, max: 4000 }), readCatalogue);
    expect(warnings).toEqual([
      expect.stringMatching(/^loads\[0\]\.powerKw\.min: 2000 kW; .*2000 W would be 2 kW/),
      expect.stringMatching(/^loads\[0\]\.powerKw\.max: 4000 kW; .*4000 W would be 4 kW/),
    ]);
  });

  it('is warned about in a contact, mΩ for µΩ', () => {
    expect(warningsOf(changed(CATALOGUE, 'loads[0].contact.microOhm', 0.02), readCatalogue))
      .toEqual([expect.stringMatching(/0\.02 mΩ would be 20 µΩ/)]);
  });

  it('passes without a word where the file says that it is meant', () => {
    const rack = changed(changed(RACK, 'slots.pitchMm', 500), 'meant', ['slots.pitchMm']);
    expect(warningsOf(rack)).toEqual([]);
  });

  it('cannot be meant where there is no such number', () => {
    const log = new ProblemLog('file.json');
    expect(readRack(changed(RACK, 'meant', ['slots.pichMm']), log)).toBeNull();
    expect(log.problems).toEqual([expect.objectContaining({ path: 'meant[0]', found: '"slots.pichMm"' })]);
  });
});

describe('files', () => {
  it('of the demonstration give no warning', () => {
    for (const name of ['deep-bar-anywhere', 'deep-bar-inventory', 'plain-bar-even']) {
      expect(loadStudy(join(folder, `${name}.json`)).warnings).toEqual([]);
    }
  });

  it('give warnings with line and column, those of the CSV files at the key that names them', () => {
    edit('deep-bar.json', (text) => text.replace(/"setV": *[\d.]+/, '"setV": 50000'));
    edit('contacts.csv', (text) => text.split('\n').map((line, i) => (i === 0 || line === '' ? line
      : line.split(',').map((cell) => (Number.isFinite(Number(cell)) && cell !== '' ? String(Number(cell) / 1e6) : cell)).join(','))).join('\n'));
    const { warnings } = loadStudy(join(folder, 'deep-bar-anywhere.json'));
    expect(warnings.map(({ path }) => path).sort()).toEqual(['feed.setV', 'uncertain.loadContactMicroOhm.file']);
    const [setV] = warnings.filter(({ path }) => path === 'feed.setV');
    const lines = readFileSync(join(folder, 'deep-bar.json'), 'utf8').split('\n');
    expect(lines[(setV.line ?? 0) - 1].slice((setV.column ?? 0) - 1)).toMatch(/^"setV": 50000/);
    expect(() => loadRack(join(folder, 'deep-bar.json'))).not.toThrow();
  });

  it('are refused with line and column of the value', () => {
    edit('deep-bar.json', (text) => text.replace(/"setV": *[\d.]+/, '"setV": "50"'));
    const [problem] = problemsOf(() => loadStudy(join(folder, 'deep-bar-anywhere.json')));
    const lines = readFileSync(join(folder, 'deep-bar.json'), 'utf8').split('\n');
    expect(problem.path).toBe('feed.setV');
    expect(lines[(problem.line ?? 0) - 1].slice((problem.column ?? 0) - 1)).toMatch(/^"setV": "50"/);
  });
});
