import { spawn, spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';

const main = resolve('dist/program/main.js');
const folder = mkdtempSync(join(tmpdir(), 'slotcast-cli-'));
const demo = join(folder, 'demo');
cpSync('data-demo', demo, { recursive: true });
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function slotcast(...args: string[]) {
  const run = spawnSync(process.execPath, [main, ...args], { cwd: folder, encoding: 'utf8' });
  return { code: run.status, out: run.stdout, err: run.stderr };
}

/** A copy of a demo file with some text replaced. */
function variant(name: string, from: string, change: (text: string) => string): string {
  const path = join(demo, name);
  const before = readFileSync(join(demo, from), 'utf8');
  const after = change(before);
  if (after === before) throw new Error(`the change to ${from} changed nothing`);
  writeFileSync(path, after);
  return path;
}

describe('slotcast study', () => {
  it('prints tables to standard output, writes its files, and leaves no batches behind', () => {
    const { code, out, err } = slotcast('study', 'demo/deep-bar-anywhere.json', '--scenarios', '400', '--out', 'first');
    expect(err).toMatch(/400 scenarios in .* s .*are in first/);
    expect(code).toBe(0);
    expect(out).toMatch(/percentile +kW +95% from +to/);
    expect(out).toMatch(/bar rise +\d+ +\d+\.\d%/);
    expect(out).toMatch(/temperature-rise test/);
    expect(readdirSync(join(folder, 'first')).sort()).toEqual(['report.html', 'scenarios.csv', 'summary.json', 'timing.json']);
    const csv = readFileSync(join(folder, 'first', 'scenarios.csv'), 'utf8').trimEnd().split('\n');
    expect(csv).toHaveLength(401);
    expect(csv[0]).toMatch(/^scenario,ratedKw,limit,slot,pole,state/);
    const summary = JSON.parse(readFileSync(join(folder, 'first', 'summary.json'), 'utf8'));
    expect(summary.format).toBe('slotcast-summary/1');
    expect(summary.inputs[0]).toMatchObject({ path: 'deep-bar-anywhere.json' });
    for (const row of summary.percentiles) expect(out).toContain(row.ratedKw.toFixed(1));
  });

  it('refuses to write over results unless told to, and writes nothing then', () => {
    const before = readFileSync(join(folder, 'first', 'summary.json'), 'utf8');
    const refused = slotcast('study', 'demo/deep-bar-anywhere.json', '--scenarios', '400', '--out', 'first');
    expect(refused.code).toBe(2);
    expect(refused.err).toMatch(/--replace/);
    expect(readFileSync(join(folder, 'first', 'summary.json'), 'utf8')).toBe(before);
    expect(slotcast('study', 'demo/deep-bar-anywhere.json', '--scenarios', '400', '--out', 'first', '--replace').code).toBe(0);
  });

  it('leaves a file of the user in the batches folder alone', () => {
    mkdirSync(join(folder, 'own', 'batches'), { recursive: true });
    writeFileSync(join(folder, 'own', 'batches', 'mine.txt'), 'x');
    expect(slotcast('study', 'demo/deep-bar-anywhere.json', '--scenarios', '100', '--out', 'own').code).toBe(0);
    expect(readdirSync(join(folder, 'own', 'batches'))).toEqual(['mine.txt']);
  });

  it.each(['demo/README.md/below', '/proc/none/here'])('a folder that cannot be made (%s) ends at once with code 2', (out) => {
    const { code, err } = slotcast('study', 'demo/deep-bar-anywhere.json', '--out', out);
    expect(err).toMatch(/cannot be written/);
    expect(code).toBe(2);
  });

  it('does not follow a link out of the folder named', () => {
    mkdirSync(join(folder, 'elsewhere'));
    symlinkSync(join(folder, 'elsewhere'), join(folder, 'link'));
    expect(slotcast('study', 'demo/deep-bar-anywhere.json', '--scenarios', '100', '--out', 'link').code).toBe(2);
    expect(readdirSync(join(folder, 'elsewhere'))).toEqual([]);
  });

  it('--json prints exactly summary.json', () => {
    const { code, out } = slotcast('study', 'demo/deep-bar-anywhere.json', '--scenarios', '300', '--out', 'json', '--json', '--quiet');
    expect(code).toBe(0);
    expect(out).toBe(readFileSync(join(folder, 'json', 'summary.json'), 'utf8'));
  });

  it('stopped by a signal it ends with code 3, keeps its batches, and goes on to the same bytes', async () => {
    const args = ['study', 'demo/deep-bar-anywhere.json', '--scenarios', '6000', '--batch', '50'];
    const child = spawn(process.execPath, [main, ...args, '--out', 'stopped'], { cwd: folder });
    const batches = join(folder, 'stopped', 'batches');
    const code = await new Promise<number | null>((done) => {
      const watch = setInterval(() => {
        if (existsSync(batches) && readdirSync(batches).length > 3) {
          clearInterval(watch);
          child.kill('SIGINT');
        }
      }, 5);
      child.on('exit', (exit) => done(exit));
    });
    expect(code).toBe(3);
    expect(existsSync(join(folder, 'stopped', 'summary.json'))).toBe(false);
    // Another seed would drop what was rated.
    const kept = readdirSync(batches).length;
    const other = slotcast(...args, '--seed', 'another', '--out', 'stopped');
    expect(other).toMatchObject({ code: 2, out: '' });
    expect(other.err).toMatch(/\d+ finished batches of other inputs.*or say --replace to drop them/);
    expect(readdirSync(batches)).toHaveLength(kept);
    cpSync(batches, join(folder, 'batches-kept'), { recursive: true });
    const goesOn = slotcast(...args, '--out', 'stopped', '--workers', '1');
    expect(goesOn.err).toMatch(/kept from before/);
    slotcast(...args, '--out', 'whole');
    for (const file of ['scenarios.csv', 'summary.json', 'report.html']) {
      expect(readFileSync(join(folder, 'stopped', file), 'utf8')).toBe(readFileSync(join(folder, 'whole', file), 'utf8'));
    }
    expect(JSON.parse(readFileSync(join(folder, 'stopped', 'timing.json'), 'utf8')).restoredScenarios).toBeGreaterThan(100);
    // Killed after its summary, before its batches were gone: the same command ends well once more.
    cpSync(join(folder, 'batches-kept'), batches, { recursive: true });
    expect(slotcast(...args, '--out', 'stopped').code).toBe(0);
    expect(existsSync(batches)).toBe(false);
    expect(readFileSync(join(folder, 'stopped', 'summary.json'), 'utf8')).toBe(readFileSync(join(folder, 'whole', 'summary.json'), 'utf8'));
    const done = slotcast(...args, '--out', 'stopped');
    expect(done.code).toBe(2);
    expect(done.err).toMatch(/--replace/);
  });
});

describe('slotcast replay', () => {
  it('shows one scenario slot by slot, with the rated power of the table', () => {
    const { code, out, err } = slotcast('replay', 'demo/deep-bar-anywhere.json', '17');
    expect(code).toBe(0);
    expect(err).toBe('');
    const row = readFileSync(join(folder, 'first', 'scenarios.csv'), 'utf8').split('\n')[18].split(',');
    expect(row[0]).toBe('17');
    expect(out).toContain(`Scenario 17: rated ${Number(row[1]).toFixed(3)} kW`);
    expect(out.match(/^ *\d+ .*\d+\.\d +\d+\.\d/gm)?.length).toBeGreaterThanOrEqual(44);
  });

  it('--json carries currents, voltages, temperatures and balances that close', () => {
    const { out } = slotcast('replay', 'demo/deep-bar-anywhere.json', '17', '--json');
    const replay = JSON.parse(out);
    expect(replay.index).toBe(17);
    const [first] = replay.solutions;
    expect(first.supplyC).toHaveLength(44);
    expect(first.segmentCurrentA).toHaveLength(43);
    expect(Math.abs(first.balance.powerResidualW)).toBeLessThan(1e-9 * first.balance.sourceW);
  });

  it('refuses an index that is no whole number', () => {
    expect(slotcast('replay', 'demo/deep-bar-anywhere.json', '1.5')).toMatchObject({ code: 2, out: '' });
  });
});

describe('slotcast check', () => {
  it('says what will be drawn and how many scenarios each percentile needs', () => {
    const { code, out } = slotcast('check', 'demo/plain-bar-even.json');
    expect(code).toBe(0);
    expect(out).toMatch(/can be used/);
    expect(out).toMatch(/What will be drawn/);
    expect(out).toMatch(/percentile +two-sided interval/);
  });

  it('checks a rack file alone', () => {
    expect(slotcast('check', 'demo/deep-bar.json').out).toMatch(/conductors 65\.\d kg/);
  });

  it.each([
    ['equipment.json', /Loads: tray-1, node-1/],
    ['pulses.json', /60 kW before, then 2 steps over 180 s, 20 times; at most 125 kW/],
    ['deep-bar-copper.json', /least copper for 105 kW at the percentile, by depth/],
  ])('checks %s alone', (file, words) => {
    const { code, out } = slotcast('check', `demo/${file}`);
    expect(code).toBe(0);
    expect(out).toMatch(words);
    expect(JSON.parse(slotcast('check', `demo/${file}`, '--json').out)).toMatchObject({ valid: true, warnings: [] });
  });

  it('says of a catalogue with a mistake where it is', () => {
    writeFileSync(join(folder, 'broken.json'), '{\n"format": "slotcast-catalogue/1",\n"name": 7 }');
    expect(slotcast('check', 'broken.json')).toMatchObject({ code: 2, err: expect.stringMatching(/line 3, column 1: name: found 7/) });
  });

  it('says who checks a CSV file', () => {
    expect(slotcast('check', 'demo/contacts.csv')).toMatchObject({ code: 2, err: expect.stringMatching(/the study file that names it/) });
  });

  it('--json is for machines', () => {
    expect(JSON.parse(slotcast('check', 'demo/plain-bar-even.json', '--json').out)).toMatchObject({ valid: true });
    expect(JSON.parse(slotcast('check', 'demo/deep-bar.json', '--json').out)).toMatchObject({ valid: true });
  });
});

describe('slotcast bar', () => {
  it('gives the current for a rise and the rise for that current', () => {
    const { code, out } = slotcast('bar', '--depth-mm', '101.6', '--thickness-mm', '6.35', '--rise-k', '30', '--json');
    expect(code).toBe(0);
    const { currentA } = JSON.parse(out);
    // ATIS T1.311, table 5, column A: 1342 A.
    expect(Math.abs(currentA / 1342 - 1)).toBeLessThan(0.03);
    const back = slotcast('bar', '--depth-mm', '101.6', '--thickness-mm', '6.35', '--current-a', String(currentA), '--json');
    expect(JSON.parse(back.out).riseK).toBeCloseTo(30, 6);
  });

  it('a bar that runs away is an answer', () => {
    const { code, out } = slotcast('bar', '--depth-mm', '50', '--thickness-mm', '5', '--film', 'fixed',
      '--coefficient-w-per-m2k', '8', '--emissivity', '0', '--current-a', '1900');
    expect(code).toBe(0);
    expect(out).toMatch(/No steady state at 1900 A/);
  });

  it.each([
    [['bar', '--depth-mm', '50', '--thickness-mm', '5'], /exactly one of the two/],
    [['bar', '--depth-mm', '-5', '--thickness-mm', '5', '--rise-k', '30'], /above 0/],
    [['bar', '--depth-mm', '50', '--thickness-mm', '5', '--plates', '2', '--rise-k', '30'], /--gap-mm/],
    [['bar', '--depth-mm', '50', '--thickness-mm', '5', '--rise-k', '30', '--material', 'gold'], /copper-iacs-100/],
    [['bar', '--depth-mm', '50', '--thickness-mm', '5', '--rise-k', '30', '--ambient-c', '-300'], /-100 °C to 1000 °C/],
    [['bar', '--depth-mm', '50', '--thickness-mm', '5', '--rise-k', '5000'], /goes to 1000 °C/],
    [['bar', '--depth-mm', '50', '--thickness-mm', '5', '--rise-k', '30', '--altitude-m', '99999'], /11000 m/],
    [['bar', '--depth-mm', '50', '--thickness-mm', '5', '--rise-k', '30', '--gap-mm', '5'], /only with more than one plate/],
    [['bar', '--depth-mm', '50', '--thickness-mm', '5', '--rise-k', '30', '--speed-m-per-s', '3'], /moving-air/],
  ])('refuses %j', (args, message) => {
    const { code, out, err } = slotcast(...args);
    expect(code).toBe(2);
    expect(out).toBe('');
    expect(err).toMatch(message);
  });
});

describe('bad input ends with code 2, one message per mistake, nothing on standard output and nothing written', () => {
  const bad: [string, () => string, RegExp][] = [
    ['an unknown key', () => variant('a.json', 'plain-bar-even.json', (t) => t.replace('"scenarios"', '"scenario"')), /scenario.*scenarios/],
    ['a wrong unit', () => {
      variant('rack-b.json', 'plain-bar.json', (t) => t.replace('"depthMm"', '"depthM"'));
      return variant('b.json', 'plain-bar-even.json', (t) => t.replace('plain-bar.json', 'rack-b.json'));
    }, /rack-b\.json: .*depthM/],
    ['a section that leaves a slot bare', () => {
      variant('rack-c.json', 'plain-bar.json', (t) => t.replace('"toSlot": 36', '"toSlot": 35'));
      return variant('c.json', 'plain-bar-even.json', (t) => t.replace('plain-bar.json', 'rack-c.json'));
    }, /rack-c\.json: .*36/],
    ['a negative resistance', () => {
      variant('equipment-d.json', 'equipment.json', (t) => t.replace('"microOhm": 15', '"microOhm": -15'));
      return variant('d.json', 'plain-bar-even.json', (t) => t.replace('equipment.json', 'equipment-d.json'));
    }, /equipment-d\.json: .*microOhm.*-15/],
    ['overlapping units', () => variant('e.json', 'plain-bar-even.json', (t) => t.replace(
      /"loads": \{.*\}/, '"loads": { "draw": "fixed", "units": [{ "id": "node-2", "bottomSlot": 3, "powerKw": 2 }, { "id": "node-1", "bottomSlot": 4, "powerKw": 2 }] }',
    )), /overlap|slot 4/],
    ['impossible rules', () => variant('f.json', 'plain-bar-even.json', (t) => t.replace('"min-free-slots", "count": 4', '"min-free-slots", "count": 30')), /rules\[2\].*free slots/],
    ['loads that no source can feed', () => variant('g.json', 'plain-bar-even.json', (t) => t.replace('"id": "battery-30", "count": 3', '"id": "battery-30", "count": 0')), /battery shelf/],
  ];
  it.each(bad)('%s', (_, make, message) => {
    const file = make();
    const { code, out, err } = slotcast('study', file, '--out', 'never');
    expect(err).toMatch(message);
    expect(err.trim().split('\n')).toHaveLength(1);
    expect(code).toBe(2);
    expect(out).toBe('');
    expect(existsSync(join(folder, 'never'))).toBe(false);
  });

  it('an unknown command or option', () => {
    expect(slotcast('rate').code).toBe(2);
    expect(slotcast('study', 'demo/plain-bar-even.json', '--wrokers', '2').code).toBe(2);
  });

  it('a file that does not exist', () => {
    const { code, err } = slotcast('study', 'demo/none.json');
    expect(code).toBe(2);
    expect(err).toMatch(/does not exist/);
  });
});

describe('answers that are no crash', () => {
  it('a rack too warm to carry anything is rated 0 kW with what binds', () => {
    variant('rack-hot.json', 'plain-bar.json', (t) => t
      .replace('"barRiseK": 30', '"barRiseK": 30, "barC": 40').replace('"exhaustRiseKPerKw": 0.5', '"exhaustRiseKPerKw": 0.5, "profileK": [{ "slot": 1, "riseK": 20 }]'));
    const file = variant('hot.json', 'plain-bar-even.json', (t) => t.replace('plain-bar.json', 'rack-hot.json'));
    const { code, out, err } = slotcast('study', file, '--scenarios', '500', '--out', 'hot');
    expect(err).not.toMatch(/Error/);
    expect(code).toBe(0);
    expect(out).toMatch(/bar temperature +500 +100\.0%/);
    expect(slotcast('replay', file, '0').out).toMatch(/rated 0\.000 kW/);
  });
});
