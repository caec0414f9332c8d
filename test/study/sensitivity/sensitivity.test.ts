import { describe, expect, it } from 'vitest';
import { scenarioSource } from '../../../lib/draw/index.js';
import { RackModel } from '../../../lib/ladder/index.js';
import { loadStudy, type Study } from '../../../lib/rack/index.js';
import type { Distribution, Uncertain } from '../../../lib/rack/studyModel.js';
import { quantileSorted } from '../../../lib/statistics/index.js';
import { NothingRated, NothingVaries, type Sensitivity, sensitivity } from '../../../lib/study/index.js';
import { countsBySum, powerOf, study as rankSums } from '../../published/rankSumStudy.js';

const { study: deep } = loadStudy('data-demo/deep-bar-anywhere.json');
const uniform = (min: number, max: number): Distribution => ({ distribution: 'uniform', min, max });

function uncertain(study: Study, changes: Partial<Uncertain>): Study {
  return {
    ...study,
    uncertain: { perScenario: {}, sourceContact: null, loadContact: null, sharingWeight: null, ...changes },
  };
}

const factorOf = (found: Sensitivity, name: string) => found.factors.find((one) => one.name === name);
const effectOf = (found: Sensitivity, name: string) => found.tolerances.find((one) => one.name === name);

/** Mean and mean of squares of values with weights. */
function moments(values: readonly number[], weights: readonly number[]) {
  const total = weights.reduce((sum, w) => sum + w, 0);
  const mean = values.reduce((sum, v, i) => sum + v * weights[i], 0) / total;
  return { mean, square: values.reduce((sum, v, i) => sum + v * v * weights[i], 0) / total };
}

describe('a rack whose rated power is conductor area times 1/W, W by the rank-sum law', () => {
  const [low, high] = [0.7, 1.3];
  const study = uncertain(rankSums, { perScenario: { areaFactor: uniform(low, high) } });
  const samples = 4000;
  const found = sensitivity(study, { samples, percentile: 0.1, confidence: 0.99 });
  const counts = countsBySum();
  const sums = counts.map((_, w) => w).filter((w) => counts[w] > 0);
  const weights = sums.map((w) => counts[w]);
  const all = weights.reduce((a, b) => a + b, 0);

  /** Indices of f = g(area)·h(placement), first order and total. */
  const g = { mean: 1, square: 1 + (high - low) ** 2 / 12 };
  const h = moments(sums.map(powerOf), weights);
  const variance = g.square * h.square - (g.mean * h.mean) ** 2;
  const exact = {
    placement: { first: (h.square - h.mean ** 2) / variance, total: (g.square * (h.square - h.mean ** 2)) / variance },
    areaFactor: { first: ((g.square - 1) * h.mean ** 2) / variance, total: ((g.square - 1) * h.square) / variance },
  };

  it.each(['placement', 'areaFactor'] as const)('gives %s its exact part of the variance', (name) => {
    const { power } = factorOf(found, name) ?? {};
    for (const order of ['first', 'total'] as const) {
      expect(power?.[order].lower).toBeLessThanOrEqual(exact[name][order]);
      expect(power?.[order].upper).toBeGreaterThanOrEqual(exact[name][order]);
      expect(Math.abs((power?.[order].estimate ?? 0) - exact[name][order])).toBeLessThan(0.08);
    }
  });

  it('has the exact spread', () => {
    expect(found.meanPower / h.mean).toBeCloseTo(1, 1);
    expect(found.standardDeviation ** 2 / variance).toBeCloseTo(1, 1);
  });

  it('gives both their exact part in falling below the percentile', () => {
    const { threshold } = found;
    const cut = (area: number) => Math.min(1, Math.max(0, (area - low) / (high - low)));
    const belowOf = sums.map((w) => cut(threshold / powerOf(w)));
    const given = moments(belowOf, weights);
    const whole = given.mean * (1 - given.mean);
    const placement = (given.square - given.mean ** 2) / whole;
    // P(below | area), over areas in the middle of 2000 even parts.
    const areas = Array.from({ length: 2000 }, (_, i) => low + ((i + 0.5) / 2000) * (high - low));
    const chance = areas.map(
      (area) => sums.reduce((sum, w, i) => sum + (powerOf(w) * area < threshold ? weights[i] : 0), 0) / all,
    );
    const ofArea = moments(
      chance,
      areas.map(() => 1),
    );
    const area = (ofArea.square - ofArea.mean ** 2) / whole;
    for (const [name, first, total] of [
      ['placement', placement, 1 - area],
      ['areaFactor', area, 1 - placement],
    ] as const) {
      const { below } = factorOf(found, name) ?? {};
      expect(below?.first.lower).toBeLessThanOrEqual(first);
      expect(below?.first.upper).toBeGreaterThanOrEqual(first);
      expect(below?.total.lower).toBeLessThanOrEqual(total);
      expect(below?.total.upper).toBeGreaterThanOrEqual(total);
      expect((below?.total.upper ?? 9) - (below?.total.lower ?? 0)).toBeLessThan(0.35);
    }
  });

  it('changes by 1 % with 1 % of area, at every percentile', () => {
    const { perUnit } = effectOf(found, 'areaFactor') ?? {};
    expect(perUnit?.unit).toBe('1 %');
    expect((perUnit?.estimate ?? 0) / (0.01 * found.base.power)).toBeCloseTo(1, 4);
  });

  it('gains what the rank-sum law leaves where the area is exact', () => {
    const { removed } = effectOf(found, 'areaFactor') ?? {};
    const source = scenarioSource(uncertain(rankSums, {}));
    const model = new RackModel(rankSums.rack);
    const powers = Float64Array.from({ length: samples }, (_, j) => model.rate(source.draw(j).scenario).power).sort();
    expect(found.base.power + (removed?.estimate ?? 0)).toBeCloseTo(quantileSorted(powers, 0.1), 6);
    // The law itself: 10 % of scenarios have W of 296 or more.
    expect((found.base.power + (removed?.estimate ?? 0)) / powerOf(296)).toBeCloseTo(1, 1);
  });
});

describe('one load fed over one stretch: P = V·D/R with R the sum of bar and contacts', () => {
  const fixed: Study = {
    ...rankSums,
    sources: { units: [], positions: { draw: 'fixed', units: [{ id: 'feed', bottomSlot: 1 }] } },
    loads: { draw: 'fixed', units: [{ id: 'load', bottomSlot: 20, power: 1000 }] },
  };
  const VD = (50 - 1e-4) * 1e-4;

  it('tells the contacts of sources from those of loads: variances as 1 : 4', () => {
    const study = uncertain(fixed, { sourceContact: uniform(9e-7, 11e-7), loadContact: uniform(8e-7, 12e-7) });
    const found = sensitivity(study, { samples: 2000, percentile: 0.1 });
    expect(found.factors.map(({ name }) => name)).toEqual(['loadContact', 'sourceContact']);
    for (const [name, part] of [
      ['loadContact', 0.8],
      ['sourceContact', 0.2],
    ] as const) {
      const { power } = factorOf(found, name) ?? {};
      // Four standard errors at 2000 rows: 0.027 and 0.022 for the larger of the two, measured over seeds.
      expect(Math.abs((power?.first.estimate ?? 0) - part)).toBeLessThan(4 * 0.027);
      expect(Math.abs((power?.total.estimate ?? 0) - part)).toBeLessThan(4 * 0.022);
    }
    const [first, second] = found.tolerances;
    expect([first.name, second.name]).toEqual(['loadContact', 'sourceContact']);
    // The same rows tell the two apart, and the difference is that of the gains.
    expect(first.behindFirst).toBeNull();
    expect(second.behindFirst?.estimate).toBeCloseTo(first.halved.estimate - second.halved.estimate, 6);
    expect(second.behindFirst?.lower).toBeGreaterThan(0);
    expect(second.behindFirst?.upper).toBeGreaterThan(second.behindFirst?.lower ?? 0);
  });

  it('loses 2·P²/(V·D) per ohm on every contact of a kind, supply and return', () => {
    const study = uncertain(fixed, { sourceContact: uniform(9e-7, 11e-7), loadContact: uniform(8e-7, 12e-7) });
    const found = sensitivity(study, { samples: 500, percentile: 0.1 });
    const perMicroOhm = -(2e-6 * found.base.power ** 2) / VD;
    for (const { perUnit } of found.tolerances) {
      expect(perUnit?.unit).toBe('1 µΩ');
      expect((perUnit?.estimate ?? 0) / perMicroOhm).toBeCloseTo(1, 3);
    }
  });

  it('gains half as much where the spread of what it is proportional to is halved as where that is removed', () => {
    const study = uncertain(fixed, { perScenario: { areaFactor: uniform(0.8, 1.1) } });
    const found = sensitivity(study, { samples: 200, percentile: 0.1 });
    const [{ median, halved, removed }] = found.tolerances;
    expect(median).toBeCloseTo(0.95, 12);
    // The 10th percentile of the area is 0.83, but for chance.
    expect(removed.estimate / found.base.power).toBeCloseTo(0.95 / 0.83 - 1, 1);
    expect(halved.estimate / removed.estimate).toBeCloseTo(0.5, 4);
    expect(found.allTolerances).toEqual({ halved, removed });
  });

  it('does not take a contact below nothing: where it could be 0 the step goes up alone', () => {
    const study = uncertain(fixed, { loadContact: { distribution: 'measured', values: [0, 1e-6, 2e-6] } });
    const [{ perUnit, median }] = sensitivity(study, { samples: 200, percentile: 0.5 }).tolerances;
    expect(median).toBe(1e-6);
    expect(perUnit?.estimate).toBeLessThan(0);
  });

  it('has rank correlations of quantities that it falls or rises with, with their intervals', () => {
    const study = uncertain(fixed, { perScenario: { areaFactor: uniform(0.9, 1.1), inlet: uniform(293, 294) } });
    const [area, inlet] = sensitivity(study, { samples: 500, percentile: 0.1 }).rankCorrelations;
    expect(area.rank?.coefficient).toBeGreaterThan(0.99);
    // The lowest tenth of the areas falls below: ranks against an event of chance p correlate by −√(3·p·(1 − p)).
    expect(area.below?.coefficient).toBeCloseTo(-Math.sqrt(3 * 0.1 * 0.9), 1);
    expect(inlet.rank?.lower).toBeLessThan(inlet.rank?.coefficient ?? -1);
    expect(inlet.rank?.upper).toBeGreaterThan(inlet.rank?.coefficient ?? 1);
  });

  it('has nothing to tell apart where nothing varies, nor where a distribution has one value', () => {
    expect(() => sensitivity(fixed, { samples: 100, percentile: 0.1 })).toThrow(NothingVaries);
    const one = uncertain(fixed, {
      perScenario: { areaFactor: uniform(1, 1), filmFactor: { distribution: 'fixed', value: 1 } },
    });
    expect(() => sensitivity(one, { samples: 100, percentile: 0.1 })).toThrow(NothingVaries);
  });

  it('says so where what varies does not move the rated power', () => {
    const study = uncertain(fixed, { perScenario: { filmFactor: uniform(0.9, 1.1) } });
    const found = sensitivity(study, { samples: 100, percentile: 0.1 });
    expect(found.powerNote).toMatch(/same in every scenario/);
    expect(found.factors).toEqual([expect.objectContaining({ name: 'filmFactor', power: null, below: null })]);
    expect(Math.abs(found.tolerances[0].removed.estimate)).toBeLessThan(1e-6 * found.base.power);
  });

  it('says so where many scenarios have exactly the power of the percentile', () => {
    const study = uncertain(fixed, {
      perScenario: { areaFactor: { distribution: 'measured', values: [0.9, 0.9, 1, 1.1] } },
    });
    const found = sensitivity(study, { samples: 100, percentile: 0.1 });
    expect(found.belowNote).toMatch(/many have exactly its power/);
    expect(found.factors[0].below).toBeNull();
    expect(found.factors[0].power?.total.estimate).toBeCloseTo(1, 0);
  });

  it('is refused where no scenario can be rated', () => {
    const study = uncertain(
      { ...fixed, rack: { ...fixed.rack, operatingStates: ['batteries-alone'] } },
      { perScenario: { areaFactor: uniform(0.9, 1.1) } },
    );
    expect(() => sensitivity(study, { samples: 60, percentile: 0.1 })).toThrow(NothingRated);
  });
});

describe('the demonstration rack', () => {
  const options = { samples: 150, percentile: 0.1, resamples: 40 };
  const found = sensitivity(deep, options);

  it('starts from the scenarios of the study', () => {
    const source = scenarioSource(deep);
    const model = new RackModel(deep.rack);
    const powers = Float64Array.from(
      { length: options.samples },
      (_, j) => model.rate(source.draw(j).scenario).power,
    ).sort();
    expect(found.base.power).toBe(quantileSorted(powers, 0.1));
  });

  it('loses a tolerance as if the study were edited by hand, whichever it is', () => {
    for (const { name, median, removed } of found.tolerances) {
      const fixed: Distribution = { distribution: 'fixed', value: median };
      const { uncertain: given } = deep;
      const edited =
        name in given
          ? { ...given, [name]: fixed }
          : { ...given, perScenario: { ...given.perScenario, [name]: fixed } };
      const after = sensitivity({ ...deep, uncertain: edited }, options);
      expect(after.tolerances).toHaveLength(found.tolerances.length - 1);
      expect(after.base.power).toBeCloseTo(found.base.power + removed.estimate, 5);
    }
  });

  it('is the same again for the same seed, and other scenarios for another', () => {
    expect(sensitivity(deep, options)).toEqual(found);
    expect(sensitivity(deep, { ...options, seed: 'other' }).base.power).not.toBe(found.base.power);
  });

  it('treats tied quantities as one factor, named after all of them', () => {
    const tied = {
      ...deep,
      correlations: [
        { between: ['filmFactor', 'inlet'], rank: -0.4 },
        { between: ['emissivity', 'areaFactor'], rank: 0 },
      ],
    } as const satisfies Study;
    const names = sensitivity(tied, options).factors.map(({ name }) => name);
    expect(names).toEqual([
      'placement',
      'loadContact',
      'sharingWeight',
      'contactFactor',
      'filmFactor+inlet',
      'emissivity',
      'areaFactor',
    ]);
    expect(sensitivity(tied, options).tolerances).toHaveLength(7);
  });

  it('has no slope for sharing weights, of which only the ratios count', () => {
    expect(effectOf(found, 'sharingWeight')?.perUnit).toBeNull();
  });

  it('refuses a percentile too deep for the sample, and options that make no sense', () => {
    expect(() => sensitivity(deep, { samples: 60, percentile: 0.01 })).toThrow(
      /1 % percentile lies beyond them; at least 67/,
    );
    expect(() => sensitivity(deep, { samples: 10 })).toThrow(/samples 10/);
    expect(() => sensitivity(deep, { percentile: 1 })).toThrow(/percentile 1/);
    expect(() => sensitivity(deep, { percentile: Number.NaN })).toThrow(RangeError);
  });
});
