import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
// Worker threads run the built library, so these tests take it by its package name.
import {
  BYTES_PER_SCENARIO, loadStudy, RatingThreads, type RunOptions, runStudy, scenarioCsv, ScenarioTable, type Study, StudyStopped, summarise, TooManyNotRated, timing,
} from 'slotcast';

const { study: full, inputs } = loadStudy('data-demo/deep-bar-anywhere.json');
const study: Study = { ...full, scenarios: 600 };
const folder = mkdtempSync(join(tmpdir(), 'slotcast-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function results(options: RunOptions, of: Study = study): Promise<{ csv: string; summary: string; restored: number }> {
  const run = await runStudy(of, options);
  expect(timing(run, new Date(0)).workers).toBe(options.workers ?? 1);
  return { csv: [...scenarioCsv(run)].join(''), summary: JSON.stringify(summarise(run, inputs)), restored: run.restored };
}

describe('the same bytes', () => {
  it('from threads opened beforehand, which serve one study and as many workers', async () => {
    const threads = new RatingThreads(2);
    await expect(runStudy(study, { workers: 3, threads })).rejects.toThrow('threads: found 2 for 3 workers; as many are needed');
    const one = await results({ workers: 1 });
    const other = await results({ workers: 2, threads });
    expect(other.csv).toBe(one.csv);
    const used = new RatingThreads(1);
    const table = new ScenarioTable(4);
    await used.run(study, table, [{ from: 0, to: 4 }], () => {});
    expect(table.columns.rated).toEqual(new Uint8Array(4).fill(1));
    await expect(used.run({ ...study }, table, [{ from: 0, to: 4 }], () => {})).rejects.toThrow('these threads belong to another study');
    await used.close();
  });

  it('for 1, 2 and 4 workers and any batch size', async () => {
    const one = await results({ workers: 1, batchSize: 600 });
    for (const options of [
      { workers: 1, batchSize: 1 }, { workers: 1, batchSize: 77 }, { workers: 2, batchSize: 50 },
      { workers: 4, batchSize: 33 },
    ]) {
      const other = await results(options);
      expect(other.csv).toBe(one.csv);
      expect(other.summary).toBe(one.summary);
    }
  });

  it.each(['data-demo/deep-bar-inventory.json', 'data-demo/plain-bar-even.json'])('for %s too', async (file) => {
    const loaded = loadStudy(file).study;
    const some = { ...loaded, scenarios: Math.min(loaded.scenarios, 1000) };
    const one = await results({ workers: 1 }, some);
    const two = await results({ workers: 2, batchSize: 90 }, some);
    expect(two).toEqual(one);
  });

  it('after a stop and continue, with other workers and batches, and with damaged or foreign batches beside', async () => {
    const whole = await results({ workers: 1 });
    const checkpointFolder = join(folder, 'stopped');
    const stop = new AbortController();
    const stopped = runStudy(study, {
      workers: 2, batchSize: 40, checkpointFolder, signal: stop.signal,
      onProgress: (done) => {
        if (done >= 200) stop.abort();
      },
    });
    await expect(stopped).rejects.toBeInstanceOf(StudyStopped);
    const kept = readdirSync(checkpointFolder);
    expect(kept.length).toBeGreaterThanOrEqual(5);
    expect(kept.length).toBeLessThan(15);
    // One batch loses a byte, one is of another study, one is half written.
    const damaged = readFileSync(join(checkpointFolder, kept[0]));
    damaged[damaged.length - 1] ^= 1;
    writeFileSync(join(checkpointFolder, kept[0]), damaged);
    const foreign = readFileSync(join(checkpointFolder, kept[1])).toString('latin1').replace(/"fingerprint":"./, '"fingerprint":"x');
    writeFileSync(join(checkpointFolder, kept[1]), foreign, 'latin1');
    writeFileSync(join(checkpointFolder, `${kept[2]}.1.part`), 'half');
    const continued = await results({ workers: 1, batchSize: 111, checkpointFolder });
    expect(continued.restored).toBe((kept.length - 2) * 40);
    expect(continued.csv).toBe(whole.csv);
    expect(continued.summary).toBe(whole.summary);
  });

  it('a study carried on with more scenarios keeps the first ones', async () => {
    const checkpointFolder = join(folder, 'grown');
    await runStudy({ ...study, scenarios: 200 }, { checkpointFolder });
    const grown = await results({ checkpointFolder });
    expect(grown.restored).toBe(200);
    expect(grown.csv).toBe((await results({})).csv);
  });

  it('another seed gives other scenarios', async () => {
    expect((await results({}, { ...study, seed: 'other' })).csv).not.toBe((await results({})).csv);
  });
});

describe('stopping at a half-width', () => {
  const watched: Study = {
    ...study, scenarios: 2000, stopping: { percentile: 0.5, halfWidth: 3000, lookEvery: 200 },
  };

  it('stops at the first look that reaches it, the same for any workers and batches', async () => {
    const one = await runStudy(watched, { workers: 1 });
    expect(one.scenarios).toBeLessThan(2000);
    expect(one.scenarios % 200).toBe(0);
    expect(one.looks.at(-1)).toEqual({ scenarios: one.scenarios, reached: true });
    expect(one.looks.slice(0, -1).every((look) => !look.reached)).toBe(true);
    const two = await runStudy(watched, { workers: 2, batchSize: 70 });
    expect(two.scenarios).toBe(one.scenarios);
    expect([...scenarioCsv(two)].join('')).toBe([...scenarioCsv(one)].join(''));
  });

  it('splits the confidence over the planned looks and says so', async () => {
    const run = await runStudy(watched, {});
    expect(run.lookConfidence).toBeCloseTo(1 - 0.05 / 10, 12);
    const summary = summarise(run, inputs);
    expect(summary.percentiles.at(-1)?.note).toMatch(/each look at 99.5 %/);
    expect(summary.study.stopping).toMatch(/reached at/);
  });

  it('runs to the end where the half-width is out of reach', async () => {
    const run = await runStudy({ ...watched, scenarios: 400, stopping: { percentile: 0.5, halfWidth: 1, lookEvery: 200 } });
    expect(run.scenarios).toBe(400);
    expect(run.looks.every((look) => !look.reached)).toBe(true);
  });
});

describe('scenarios that cannot be rated', () => {
  it('count as carrying nothing in percentiles and bounds, and are named', async () => {
    const run = await runStudy({ ...study, scenarios: 400 });
    const before = summarise(run, inputs);
    for (const row of [5, 17, 300]) run.table.columns.rated[row] = 2;
    const after = summarise(run, inputs);
    expect(after.notRated).toMatchObject({ count: 3, indices: [5, 17, 300] });
    expect(after.percentiles[1].ratedKw).toBeLessThan(before.percentiles[1].ratedKw);
    expect(after.study.scenariosRated).toBe(397);
    expect(after.notRated).toMatchObject({ mostPercent: 1, isTooMany: false });
    expect(after.notRated.reasons).toEqual(['not known: it can be rated now', 'not known: it can be rated now', 'not known: it can be rated now']);
  });

  it('fail the study where they are more than it allows, each with its reason', async () => {
    // Nothing limits this rack: no rated power exists.
    const limits = {
      barRise: Infinity, barTemperature: Infinity, contactTemperature: Infinity, loadContactCurrent: Infinity, lowestLoadVoltage: 0,
    };
    const run = await runStudy({ ...study, scenarios: 50 });
    for (let row = 0; row < 3; row++) run.table.columns.rated[row] = 2;
    const unlimited = { ...study, rack: { ...study.rack, limits, setVoltage: 1e9 } };
    const { notRated } = summarise({ ...run, study: unlimited }, inputs);
    expect(notRated).toMatchObject({ count: 3, sharePercent: 6, mostPercent: 1, isTooMany: true });
    expect(notRated.reasons).toHaveLength(3);
    expect(new TooManyNotRated(notRated).message)
      .toMatch(/^3 scenarios \(6 %\) could not be rated; the study allows 1 % \(mostNotRatedPercent\)\. The first, scenario 0: \S/);
    expect(summarise({ ...run, study: { ...unlimited, mostNotRated: 0.06 } }, inputs).notRated.isTooMany).toBe(false);
  });
});

describe('memory', () => {
  it('a scenario takes at most 64 bytes', () => {
    expect(BYTES_PER_SCENARIO).toBeLessThanOrEqual(64);
  });
});

describe('bad options', () => {
  it('are refused before anything runs', async () => {
    await expect(runStudy(study, { workers: 0 })).rejects.toThrow(/workers 0: must be a whole number from 1/);
    await expect(runStudy(study, { batchSize: 1.5 })).rejects.toThrow(/batchSize 1.5/);
  });
});

describe('percentiles too deep for the sample', () => {
  it('are refused, with the number of scenarios that they need', async () => {
    const run = await runStudy({ ...study, scenarios: 100, percentiles: [0.001, 0.01, 0.5, 0.9999] });
    const { percentiles, percentilesRefused } = summarise(run, inputs);
    expect(percentiles.map(({ percent }) => percent)).toEqual([1, 50]);
    expect(percentilesRefused).toEqual([
      { percent: 0.1, leastScenarios: 667 }, { percent: 99.99, leastScenarios: 6667 },
    ]);
  });
});
