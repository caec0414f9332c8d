import { describe, expect, it } from 'vitest';
import { labelSample, labelSampleCsv } from '../../lib/label/index.js';
import { InputError, loadStudy } from '../../lib/rack/index.js';
import { runStudy, scenarioCsv } from '../../lib/study/index.js';

describe('a sample read again from scenarios.csv', () => {
  it('is the sample of the run, powers to the milliwatt', async () => {
    const { study } = loadStudy('data-demo/plain-bar-even.json');
    const run = await runStudy({ ...study, scenarios: 300, stopping: null });
    const sample = labelSample(run);
    const again = labelSampleCsv([...scenarioCsv(run)].join(''), run.study, 'scenarios.csv');
    expect(again.limit).toEqual(sample.limit);
    expect(again.placementClass).toEqual(sample.placementClass);
    expect(again).toMatchObject({ sampling: sample.sampling, confidence: sample.confidence, looks: sample.looks });
    for (let i = 0; i < 300; i++) expect(Math.abs(again.ratedPower[i] - sample.ratedPower[i])).toBeLessThan(1e-3);
  });

  it('keeps a scenario that could not be rated as one that carries nothing', () => {
    const { study } = loadStudy('data-demo/plain-bar-even.json');
    const text = 'scenario,ratedKw,limit,placementClass\n0,,,\n1,40.5,bar-rise,sources in the middle\n';
    const { ratedPower, limit } = labelSampleCsv(text, study, 'scenarios.csv');
    expect(Array.from(ratedPower)).toEqual([0, 40_500]);
    expect(limit).toEqual([null, 'bar-rise']);
  });

  it('refuses other tables with the row and what is wrong', () => {
    const { study } = loadStudy('data-demo/plain-bar-even.json');
    const refused = (text: string, message: RegExp) => {
      expect(() => labelSampleCsv(text, study, 'x.csv')).toThrow(InputError);
      expect(() => labelSampleCsv(text, study, 'x.csv')).toThrow(message);
    };
    refused('scenario,ratedKw,limit,placementClass\n1,40,bar-rise,sources in the middle\n', /row 1.*scenario "1"/);
    refused('scenario,ratedKw,limit,placementClass\n0,forty,bar-rise,sources in the middle\n', /ratedKw "forty"/);
    refused('scenario,ratedKw,limit,placementClass\n0,40,warm,sources in the middle\n', /limit "warm"/);
    refused('a,b\n"1', /scenarios\.csv/);
  });
});
