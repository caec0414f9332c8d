import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import {
  type CalibratedFiles,
  calibratedFiles,
  fitHeatRun,
  type HeatRunFit,
  type JsonObject,
  rankOfPearson,
} from '../../lib/calibrate/index.js';
import { scenarioSource } from '../../lib/draw/index.js';
import { parseCatalogue, parseRack, parseStudy } from '../../lib/rack/index.js';
import { CATALOGUE, changed, measured, PLAN, RACK, truth } from './syntheticRuns.js';

const demo = (name: string): JsonObject => JSON.parse(readFileSync(`data-demo/${name}`, 'utf8'));
const exact = truth(PLAN, { filmFactor: 0.9, emissivity: 0.45, contactFactor: 1.3, sourceContact: 1 });

async function files(
  quantities: readonly string[],
  study: JsonObject | null,
  run = measured(exact, 'files', 0, 0.3),
): Promise<{ fit: HeatRunFit; made: CalibratedFiles }> {
  const fit = await fitHeatRun(RACK, CATALOGUE, run, { quantities });
  const made = calibratedFiles(fit, {
    rack: demo('plain-bar.json'),
    catalogue: demo('equipment.json'),
    study,
    cataloguePath: 'equipment.json',
    heatRun: 'run.csv',
    rebase: (path) => `up/${path}`,
    firstPoint: PLAN.points[0],
    setVoltage: RACK.setVoltage,
  });
  return { fit, made };
}
const load = ({ rack, catalogue, study }: CalibratedFiles) =>
  parseStudy(study, {
    rack: parseRack(rack),
    catalogue: parseCatalogue(catalogue ?? demo('equipment.json')),
  });
const of = (fit: HeatRunFit, name: string) =>
  fit.quantities.find(({ quantity }) => quantity === name) as HeatRunFit['quantities'][number];

function moments(x: readonly number[], y: readonly number[]) {
  const mean = (v: readonly number[]) => v.reduce((a, b) => a + b, 0) / v.length;
  const [mx, my] = [mean(x), mean(y)];
  const along = (a: readonly number[], ma: number, b: readonly number[], mb: number) =>
    mean(a.map((v, i) => (v - ma) * (b[i] - mb)));
  return {
    mean: mx,
    sd: Math.sqrt(along(x, mx, x, mx)),
    correlation: along(x, mx, y, my) / Math.sqrt(along(x, mx, x, mx) * along(y, my, y, my)),
  };
}

describe('draws of a calibrated study', () => {
  const names = ['filmFactor', 'emissivity', 'contactFactor'] as const;
  let fit: HeatRunFit;
  let drawn: Record<(typeof names)[number], number[]>;
  beforeAll(async () => {
    const found = await files(names, demo('plain-bar-even.json'));
    fit = found.fit;
    const study = load({ ...found.made, study: { ...found.made.study, scenarios: 20_000 } });
    const source = scenarioSource(study);
    drawn = { filmFactor: [], emissivity: [], contactFactor: [] };
    for (let i = 0; i < 20_000; i++) {
      const { build } = source.draw(i).scenario;
      drawn.filmFactor.push(build.filmFactor * study.rack.films.factor);
      drawn.emissivity.push(build.emissivity ?? 0);
      drawn.contactFactor.push(build.contactFactor);
    }
  });

  it.each(names)('have the fitted mean and standard error of the %s', (name) => {
    const { value, standardError } = of(fit, name);
    const { mean, sd } = moments(drawn[name], drawn[name]);
    // 20,000 draws: the mean within 4 of its own standard errors, the standard deviation within 2.5 %.
    expect(Math.abs(mean - value)).toBeLessThan((4 * (standardError ?? 0)) / Math.sqrt(20_000));
    expect(sd / (standardError ?? 0)).toBeGreaterThan(0.975);
    expect(sd / (standardError ?? 0)).toBeLessThan(1.025);
  });

  it('have the fitted correlations', () => {
    for (const [one, other] of [
      [names[0], names[1]],
      [names[0], names[2]],
      [names[1], names[2]],
    ] as const) {
      const wanted = fit.correlation[fit.free.indexOf(one)][fit.free.indexOf(other)];
      expect(Math.abs(wanted)).toBeGreaterThan(0.2);
      expect(moments(drawn[one], drawn[other]).correlation).toBeCloseTo(wanted, 1);
      expect(Math.abs(moments(drawn[one], drawn[other]).correlation - wanted)).toBeLessThan(
        (4 * (1 - wanted ** 2)) / Math.sqrt(20_000) + 2e-3,
      );
    }
  });
});

it('fitted values are in the rack file, and the model of that file expects what was fitted', async () => {
  const { fit, made } = await files(['filmFactor', 'emissivity', 'exhaustRise'], demo('plain-bar-even.json'));
  const rack = parseRack(made.rack);
  expect(rack.films.factor).toBeCloseTo(of(fit, 'filmFactor').value, 8);
  expect(rack.supply.sections[0].emissivity).toBeCloseTo(of(fit, 'emissivity').value, 8);
  expect(1e3 * rack.air.exhaustRise).toBeCloseTo(of(fit, 'exhaustRise').value, 8);
  const calibrated = truth(PLAN, {}, rack).temperature;
  const fitted = truth(PLAN, fit.values).temperature;
  calibrated.forEach((kelvin, i) => {
    expect(kelvin).toBeCloseTo(fitted[i], 5);
  });
  expect(made.notes.join()).toMatch(/exhaust rise is in fit.json only/);
});

it('fitted contacts of one kind go to a catalogue of their own, with their uncertainty on the factor on all contacts', async () => {
  const { fit, made } = await files(['filmFactor', 'sourceContact'], { ...demo('plain-bar-even.json'), uncertain: {} });
  const factor = of(fit, 'sourceContact');
  const [before, after] = [CATALOGUE, parseCatalogue(made.catalogue)];
  expect(after.sources[0].contact.resistance / before.sources[0].contact.resistance).toBeCloseTo(factor.value, 8);
  expect(after.loads).toEqual(before.loads);
  expect(made.study).toMatchObject({
    rack: 'rack.json',
    catalogue: 'catalogue.json',
    $schema: 'up/../lib/rack/schema/study.schema.json',
  });
  const { contactFactor } = load(made).uncertain.perScenario;
  expect(contactFactor).toMatchObject({ distribution: 'normal', mean: 1 });
  expect((contactFactor as { sd: number }).sd).toBeCloseTo((factor.standardError ?? 0) / factor.value, 9);
  expect(load(made).correlations[0].rank).toBeCloseTo(rankOfPearson(fit.correlation[0][1]), 9);
});

it('says what of the study gives way or counts twice, and drops its correlations with fitted quantities', async () => {
  const study = {
    ...demo('plain-bar-even.json'),
    uncertain: {
      filmFactor: { distribution: 'uniform', min: 0.9, max: 1.1 },
      emissivity: { distribution: 'uniform', min: 0.2, max: 0.4 },
      inletC: { distribution: 'uniform', min: 20, max: 30 },
    },
    correlations: [
      { between: ['filmFactor', 'inletC'], rank: 0.3 },
      { between: ['emissivity', 'inletC'], rank: 0.2 },
    ],
    meant: ['uncertain.filmFactor.min', 'scenarios'],
  };
  const { made } = await files(['filmFactor'], study);
  expect(made.study.correlations).toEqual([{ between: ['emissivity', 'inletC'], rank: 0.2 }]);
  expect(made.study.meant).toEqual(['scenarios']);
  expect(made.notes.join('\n')).toMatch(
    /filmFactor of the study \(uniform\) gives way[\s\S]*still varies emissivity[\s\S]*left out/,
  );
  load(made);
});

it('without a study, the first operating point becomes one', async () => {
  const { made } = await files(['filmFactor'], null);
  const rack = parseRack({ ...made.rack, operatingStates: ['all-in-service'] });
  const study = parseStudy(made.study, { rack, catalogue: CATALOGUE });
  expect(study.loads).toMatchObject({
    draw: 'fixed',
    units: [{ id: 'accelerator-4', bottomSlot: 9, power: 6000 }, {}, {}],
  });
});

it('a value at its bound is fixed there', async () => {
  const cold = changed(measured(exact, 'files', 0, 0.3), ({ temperature }) => ({
    temperature: (temperature ?? 0) - 20,
  }));
  const { made } = await files(['emissivity'], demo('plain-bar-even.json'), cold);
  expect(made.study.uncertain).toMatchObject({ emissivity: { distribution: 'fixed', value: 1 } });
  load(made);
});

it('rank correlation of a Gaussian copula', () => {
  // Its inverse is what the draw does: 2·sin(π·ρ_s/6).
  for (const r of [-1, -0.9, -0.3, 0, 0.5, 1])
    expect(2 * Math.sin((Math.PI * rankOfPearson(r)) / 6)).toBeCloseTo(r, 12);
  expect(() => rankOfPearson(1.01)).toThrow(RangeError);
});
