/**
 * The joint search for a rated power once more, in C (test/bench/reference.c): the same equations and stopping rules
 * written a second time, on flat arrays and without the library's reductions to classes. It shares the film table's
 * cells with the library; films have checks of their own.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Scenario, scenarioSource } from '../../lib/draw/index.js';
import { RackModel } from '../../lib/ladder/index.js';
import { Ladder } from '../../lib/ladder/ladder.js';
import { loadStudy, type Rack } from '../../lib/rack/index.js';
import { sayWhy } from './python.js';

interface Row {
  readonly power: number;
  readonly sweeps: number;
}

interface RunningReference {
  readonly rows: readonly Row[];
  end(): Promise<void>;
}

interface ReferenceModule {
  readonly Reference: {
    open(folder: string, ladder: Ladder, scenarios: readonly Scenario[]): Promise<RunningReference>;
  };
}

const haveCompiler = spawnSync('gcc', ['-dumpfullversion']).status === 0;
sayWhy(haveCompiler, 'no C compiler (gcc) is installed; 300 rated powers are not compared with the C reference');

const SCENARIOS = 300;
const { study } = loadStudy('data-demo/deep-bar-anywhere.json');
const rack: Rack = { ...study.rack, operatingStates: ['all-in-service'] };

describe.skipIf(!haveCompiler)('the C reference', () => {
  const source = scenarioSource(study);
  const scenarios = Array.from({ length: SCENARIOS }, (_, i) => source.draw(i).scenario);
  const folder = mkdtempSync(join(tmpdir(), 'slotcast-reference-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  let rows: readonly Row[] = [];
  let Reference: ReferenceModule['Reference'];
  beforeAll(async () => {
    ({ Reference } = await import(pathToFileURL(resolve('test/bench/reference.mjs')).href) as ReferenceModule);
    const reference = await Reference.open(folder, new Ladder(rack), scenarios);
    ({ rows } = reference);
    await reference.end();
  });

  it('rates every scenario of the deep bar, and they differ among themselves', () => {
    expect(rows.filter(({ power }) => Number.isFinite(power))).toHaveLength(SCENARIOS);
    expect(new Set(rows.map(({ power }) => power)).size).toBeGreaterThan(0.95 * SCENARIOS);
  });

  it('agrees with the library to 1e-9 of each rated power', () => {
    const model = new RackModel(rack);
    const differences = scenarios.map((scenario, i) => Math.abs(rows[i].power / model.rate(scenario).power - 1));
    expect(Math.max(...differences)).toBeLessThan(1e-9);
  });

  it('refuses a rack with droop sharing, which it does not know', async () => {
    const droop: Rack = { ...rack, sharing: { model: 'droop' } };
    await expect(Reference.open(folder, new Ladder(droop), scenarios)).rejects.toThrow('knows "equal" only');
  });
});
