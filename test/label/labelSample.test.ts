import { beforeAll, describe, expect, it } from 'vitest';
import { join } from 'node:path';
import { scenarioSource } from '../../lib/draw/index.js';
import { excessFinder, labelSample, labelTable, recommendLabel } from '../../lib/label/index.js';
import { loadStudy, type Study } from '../../lib/rack/index.js';
import { runStudy, sortedRatedPowers, type StudyRun, summarise } from '../../lib/study/index.js';

const FEW = 300;
let study: Study;
let run: StudyRun;
beforeAll(async () => {
  study = { ...loadStudy(join(__dirname, '..', '..', 'data-demo', 'deep-bar-anywhere.json')).study, scenarios: FEW };
  run = await runStudy({ ...study, stopping: null, sampling: { design: 'plain' } });
});

describe('the sample of a run', () => {
  it('holds every scenario in order, with limit and class as in its table', () => {
    const sample = labelSample(run);
    expect(Float64Array.from(sample.ratedPower).sort()).toEqual(sortedRatedPowers(run.table, FEW));
    expect(sample.ratedPower[17]).toBe(run.table.columns.ratedPower[17]);
    expect(sample).toMatchObject({ confidence: study.confidence, looks: 1, sampling: { design: 'plain' } });
    const { classes, limits } = summarise(run, []);
    const count = (names: readonly (string | null)[], asked: string) => names.filter((name) => name === asked).length;
    for (const row of classes) expect(count(sample.placementClass, row.placementClass)).toBe(row.count);
    for (const row of limits) expect(count(sample.limit, row.limit)).toBe(row.count);
  });

  it('counts what could not be rated as carrying nothing, and the looks of a stopping rule', () => {
    const rated = run.table.columns.rated;
    rated[3] = 2;
    const stopping = { percentile: 0.05, halfWidth: 1000, lookEvery: 80 };
    const sample = labelSample({ ...run, study: { ...study, stopping } });
    rated[3] = 1;
    expect([sample.ratedPower[3], sample.limit[3], sample.placementClass[3]]).toEqual([0, null, null]);
    expect(sample.looks).toBe(4);
  });

  it('gives the same bound as the summary’s tolerance bound, and excesses of real scenarios', () => {
    const sample = labelSample(run);
    const source = scenarioSource(study);
    const table = labelTable({
      sample, floor: null, worstFound: null, percentiles: [0.05],
      excessAt: excessFinder(study.rack), scenarioAt: (index) => source.draw(index).scenario,
    });
    const { toleranceBounds } = summarise(run, []);
    for (const { exceededByPercent, confidencePercent, boundKw } of toleranceBounds) {
      const { bound } = recommendLabel(table, { kind: 'share', carriedPercent: exceededByPercent, confidencePercent });
      if (boundKw === null || bound === null) expect(bound).toBe(boundKw);
      else expect(bound / 1000).toBeCloseTo(boundKw, 5);
    }
    expect(toleranceBounds.some(({ boundKw }) => boundKw !== null)).toBe(true);
    const failing = table.rows.filter(({ medianFailing }) => medianFailing !== null);
    expect(failing.length).toBeGreaterThan(2);
    for (const { label, medianFailing } of failing) {
      // The limit that the scenario breaks most at the label is not always the one that binds first, but it is broken.
      expect(medianFailing?.ratedPower).toBeLessThan(label);
      expect(medianFailing?.excess?.excess ?? 1).toBeGreaterThan(0);
      expect(medianFailing?.excess).not.toBeNull();
    }
  });
});
