import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { InputError, loadCopper, loadStudy, parseCopper } from '../../lib/rack/index.js';

const demo = resolve('data-demo/deep-bar-copper.json');
const text = readFileSync(demo, 'utf8');
const { study } = loadStudy('data-demo/deep-bar-anywhere.json');
const folder = mkdtempSync(join(tmpdir(), 'slotcast-copper-file-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

type Json = Record<string, unknown>;
const changed = (change: Json): Json => ({ ...(JSON.parse(text) as Json), ...change });

/** Problems of the demonstration with something changed. */
function problems(change: Json): string {
  try {
    parseCopper(changed(change), study, 'copper');
    return 'none';
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return error.message;
  }
}

describe('a copper file', () => {
  it('of the demonstration is read with its study, in SI, without warnings', () => {
    const { request, study: own, inputs, warnings } = loadCopper(demo);
    expect(warnings).toEqual([]);
    expect(own.name).toBe('Deep bar, anything anywhere');
    expect(inputs.map(({ path }) => path)).toEqual(
      ['deep-bar-copper.json', 'deep-bar-anywhere.json', 'deep-bar.json', 'equipment.json', 'contacts.csv']);
    expect(request).toMatchObject({ percentile: 0.01, scenarios: 2000, load: 100e3, varianceRuns: 20, floor: null });
    expect(request.designs).toHaveLength(15);
    expect(request.designs[2]).toEqual({ name: 'depth 140 mm, thickness 8 mm', change: { depth: 0.14, thickness: 0.008 } });
    expect(request.least).toEqual({
      wanted: 105e3, basis: 'percentile', vary: 'depth', from: 0.12, to: 0.26, tolerance: 1e-4, poles: 'both',
    });
    expect(request.balance?.feet).toEqual({ front: 0.06, rear: 1.01, left: 0.04, right: 0.56 });
  });

  it('says line and column of what is wrong, with the nearest key', () => {
    const path = join(folder, 'slip.json');
    writeFileSync(path, text.replace('"loadKw"', '"loadKW"').replace('"deep-bar-anywhere.json"', JSON.stringify(resolve('data-demo/deep-bar-anywhere.json'))));
    expect(() => loadCopper(path)).toThrow(/slip\.json: line 9, column 3: loadKW: found the unknown key "loadKW"; did you mean "loadKw"\?/);
    writeFileSync(path, text);
    expect(() => loadCopper(path)).toThrow(/line 6, column 3: study: found a file that does not exist/);
    expect(() => loadCopper(join(folder, 'absent.json'))).toThrow(/does not exist/);
  });

  it('tells the problems of its study with its own', () => {
    const path = join(folder, 'both.json');
    writeFileSync(join(folder, 'deep-bar-anywhere.json'), '{"format": "slotcast-study/1"}');
    writeFileSync(path, text.replace('"percentilePercent": 1', '"percentilePercent": 101'));
    expect(() => loadCopper(path)).toThrow(/both\.json: line 7.*percentilePercent[\s\S]*deep-bar-anywhere\.json/);
  });

  it('multiplies the lists of a sweep, a single plate without gaps', () => {
    const { designs } = parseCopper(changed({ sweep: { count: [1, 2], gapMm: [10, 15], jointAboveSlot: [5] }, designs: [] }), study);
    expect(designs.map(({ name }) => name)).toEqual([
      '1 plate, joint above slot 5', '2 plates, gap 10 mm, joint above slot 5', '2 plates, gap 15 mm, joint above slot 5',
    ]);
  });

  it.each<[string, Json, RegExp]>([
    ['another format', { format: 'slotcast-rack/1' }, /copper file is expected/],
    ['nothing to compare', { sweep: undefined, designs: [], least: undefined }, /nothing to compare/],
    ['an empty sweep', { sweep: {} }, /list values of depthMm/],
    ['a name twice', { designs: [{ name: 'x', gapMm: 9 }, { name: 'x', gapMm: 8 }] }, /designs\[1\]\.name: found "x", which is taken/],
    ['the name of the base', { designs: [{ name: 'base', gapMm: 9 }] }, /which is taken/],
    ['too many designs', { sweep: { depthMm: Array.from({ length: 40 }, (_, k) => k + 1), gapMm: Array.from({ length: 20 }, (_, k) => k + 1) } }, /at most 500/],
    ['prices of an unknown metal', { prices: [{ material: 'coper-56', pricePerKg: 1 }] }, /did you mean "copper-56"/],
    ['a price twice', { prices: [{ material: 'copper-56', pricePerKg: 1 }, { material: 'copper-56', pricePerKg: 2 }] }, /a second time/],
    ['prices without a currency', { currency: undefined }, /say in which currency/],
    ['ends the wrong way round', { least: { vary: 'depth', wantedKw: 1, fromMm: 9, toMm: 8, toleranceMm: 1 } }, /more than the lower end/],
    ['factors where mm are asked', { least: { vary: 'depth', wantedKw: 1, fromFactor: 1, toFactor: 2, toleranceMm: 1 } }, /unknown key "fromFactor"/],
    ['a floor that nothing gives time', { least: { vary: 'depth', basis: 'floor', wantedKw: 1, fromMm: 1, toMm: 8, toleranceMm: 1 } }, /secondsPerDesign/],
    ['a negative load', { loadKw: -1 }, /above 0/],
  ])('refuses %s', (_, change, words) => {
    expect(problems(change)).toMatch(words);
  });

  it('refuses feet crosswise or beside the base, and units that no catalogue has', () => {
    const { balance } = JSON.parse(text) as { balance: Json };
    const ask = (change: Json) => problems({ balance: { ...balance, ...change } });
    expect(ask({ feet: { frontMm: 900, rearMm: 60, leftMm: 40, rightMm: 560 } })).toMatch(/rearMm: found 60; give more than "frontMm"/);
    expect(ask({ feet: { frontMm: 60, rearMm: 2000, leftMm: -4, rightMm: 560 } })).toMatch(/leftMm[\s\S]*at least 0|at most 1070/);
    expect(ask({ unitsElsewhere: [{ equipment: 'shelf-3', fromFrontMm: 1, fromLeftMm: 1 }] })).toMatch(/did you mean "shelf-33"/);
    expect(ask({ rack: { massKg: 200 } })).toMatch(/centreHeightMm/);
  });
});
