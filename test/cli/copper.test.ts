/** The command on the copper of a bar, as a user types it. */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';

const main = resolve('dist/program/main.js');
const demo = resolve('data-demo/deep-bar-copper.json');
const study = resolve('data-demo/deep-bar-anywhere.json');
const folder = mkdtempSync(join(tmpdir(), 'slotcast-copper-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function slotcast(...args: string[]) {
  const run = spawnSync(process.execPath, [main, ...args], { cwd: folder, encoding: 'utf8' });
  return { code: run.status, out: run.stdout, err: run.stderr };
}

/** The demonstration with something changed, for the study where it lies. */
function variant(name: string, change: Record<string, unknown>): string {
  const path = join(folder, name);
  writeFileSync(path, JSON.stringify({ ...JSON.parse(readFileSync(demo, 'utf8')), study, varianceRuns: 0, scenarios: 200, ...change }));
  return path;
}

/** Every number of a value. */
function numbers(value: unknown): number[] {
  if (typeof value === 'number') return [value];
  return typeof value === 'object' && value !== null ? Object.values(value).flatMap(numbers) : [];
}

describe('slotcast copper', () => {
  it('prints bars by mass, least copper and tipping with the cautions, and writes page and JSON once', () => {
    const { code, out, err } = slotcast('copper', variant('bars.json', {}), '--out', 'bars');
    expect(code).toBe(0);
    expect(err).toMatch(/15 bars on 200 scenarios/);
    expect(out).toMatch(/^\* A +aluminium, 10 mm +33\.0 /m);
    expect(out).toMatch(/^ {5,}base +65\.1 +911 +\d+\.\d/m);
    const masses = [...out.matchAll(/^.{7}\S.*? {2,}(\d+\.\d) {2,}\d+ {2,}\d+\.\d/gm)].map((match) => Number(match[1]));
    expect(masses).toHaveLength(15);
    expect(masses).toEqual([...masses].sort((a, b) => a - b));
    expect(out).toMatch(/Least copper for 105 kW at the 1 % percentile: a plate depth of \d+\.\d+ mm, \d+\.\d kg, \d+ EUR/);
    expect(out).toMatch(/Tipping: of 200 placements [\s\S]* at \d+\.\d\d°\s+over\s+its\s+(left|right|front|rear)\s+feet/);
    expect(out).toMatch(/temperature-rise test[\s\S]*kill or burn[\s\S]*local codes/);
    expect(out).not.toMatch(/NaN|undefined|Infinity|null/);
    const copper = JSON.parse(readFileSync(join(folder, 'bars', 'copper.json'), 'utf8'));
    expect(copper).toMatchObject({ format: 'slotcast-copper-result/1', percentilePercent: 1, study: { scenarios: 200 } });
    expect(numbers(copper).every(Number.isFinite)).toBe(true);
    expect(copper.designs.find((row: { isBase: boolean }) => row.isBase)).toMatchObject({ name: 'base', differenceKw: null });
    const page = readFileSync(join(folder, 'bars', 'copper.html'), 'utf8');
    expect(page).toMatch(/Copper study of a rack busbar[\s\S]*can kill or burn/);
    expect(slotcast('copper', variant('bars.json', {}), '--out', 'bars')).toMatchObject({ code: 2, out: '' });
    const again = slotcast('copper', variant('bars.json', {}), '--out', 'bars', '--replace', '--json', '--quiet');
    expect(again).toMatchObject({ code: 0, err: '' });
    expect(JSON.parse(again.out).designs).toEqual(copper.designs);
  }, 60_000);

  it('takes scenarios and seed from the command line and says so in the command', () => {
    const file = variant('seed.json', { least: undefined, sweep: undefined });
    const { out, code } = slotcast('copper', file, '--scenarios', '120', '--seed', 'an other', '--json', '--quiet', '--out', 'seed');
    expect(code).toBe(0);
    expect(JSON.parse(out)).toMatchObject({ study: { scenarios: 120, seed: 'an other' }, command: expect.stringMatching(/--scenarios 120 --seed 'an other'$/) });
  });

  it('proves floors where the file asks, and weighs by them where they are settled', () => {
    const file = variant('floor.json', {
      least: undefined, sweep: undefined, designs: [{ name: 'deep', depthMm: 180 }], floor: { secondsPerDesign: 2 },
    });
    const { designs, front } = JSON.parse(slotcast('copper', file, '--json', '--quiet', '--out', 'floor').out);
    // Not settled in two seconds: floors then say how far proofs got, and the front goes by the percentile.
    const settled = designs.every(({ floorSettled }: { floorSettled: boolean }) => floorSettled);
    expect(front.worth).toBe(settled ? 'floor' : 'percentile');
    for (const { floorKw, ratedKw } of designs) {
      expect(floorKw).toBeGreaterThan(0);
      expect(floorKw).toBeLessThan(ratedKw);
    }
  }, 60_000);

  it('names an impossible bar and keeps the others; with none left it is bad input', () => {
    const bad = { name: 'bad', sections: [{ fromSlot: 1, toSlot: 40 }] };
    const both = slotcast('copper', variant('bad.json', { sweep: undefined, least: undefined, designs: [bad, { name: 'deep', depthMm: 180 }] }), '--out', 'bad');
    expect(both.code).toBe(0);
    expect(both.out).toMatch(/"bad" is impossible: .*no section for slots 41 to 44/);
    expect(both.out).toMatch(/deep +75\.1/);
    const none = slotcast('copper', variant('none.json', { sweep: undefined, least: undefined, designs: [bad] }), '--out', 'none');
    expect(none).toMatchObject({ code: 2, out: '' });
    expect(none.err).toMatch(/none\.json: design "bad".*slots 41 to 44/);
    expect(existsSync(join(folder, 'none'))).toBe(false);
  });

  it('refuses too few scenarios and unknown keys before anything is written', () => {
    expect(slotcast('copper', variant('few.json', {}), '--scenarios', '10', '--out', 'few').err).toMatch(/--scenarios: found 10; at least 67/);
    const typo = slotcast('copper', variant('typo.json', { swep: {} }), '--out', 'few');
    expect(typo.err).toMatch(/unknown key "swep"; did you mean "sweep"/);
    expect(typo.code).toBe(2);
    expect(existsSync(join(folder, 'few'))).toBe(false);
  });
});
