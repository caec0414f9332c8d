import { describe, expect, it } from 'vitest';
import { BuildDraw } from '../../lib/draw/buildDraw.js';
import { NOMINAL_BUILD, type Build } from '../../lib/draw/scenario.js';
import type { Correlation, Sampling, Study, Uncertain } from '../../lib/rack/studyModel.js';
import { correlation, kolmogorovScore, POOR_DISTANCE, rankCorrelation } from './goodnessOfFit.js';
import { sampleStudy } from './sampleStudy.js';

const unit = { distribution: 'uniform', min: 0, max: 1 } as const;
const lognormal = { distribution: 'lognormal', median: 1, geometricSd: 1.4, min: 0, max: 10 } as const;

function study(perScenario: Uncertain['perScenario'], sampling: Sampling, correlations: Correlation[] = []): Study {
  return sampleStudy(10, {
    sampling,
    correlations,
    uncertain: { perScenario, sourceContact: null, loadContact: null, sharingWeight: null },
  });
}

function builds(given: Study, count: number, from = 0): Build[] {
  const draw = new BuildDraw(given);
  return Array.from({ length: count }, (_, at) => draw.draw(from + at));
}

const plain: Sampling = { design: 'plain' };
const hypercube = (size: number): Sampling => ({ design: 'latin-hypercube', size });

describe.each<[string, Sampling]>([
  ['plain', plain],
  ['Latin hypercube', hypercube(50)],
])('the build of a scenario, %s design', (_, sampling) => {
  it('is the nominal one where nothing varies', () => {
    expect(builds(study({}, sampling), 3)).toEqual([NOMINAL_BUILD, NOMINAL_BUILD, NOMINAL_BUILD]);
  });

  it('is the same in any order and alone', () => {
    const given = study({ filmFactor: lognormal, inlet: unit }, sampling, [
      { between: ['filmFactor', 'inlet'], rank: 0.5 },
    ]);
    const forward = builds(given, 200);
    const draw = new BuildDraw(given);
    for (let index = 199; index >= 0; index -= 7) expect(draw.draw(index)).toEqual(forward[index]);
    expect(new BuildDraw(given).draw(123)).toEqual(forward[123]);
  });

  it('leaves quantities alone when another begins to vary', () => {
    const before = builds(study({ filmFactor: unit }, sampling), 100);
    const after = builds(study({ filmFactor: unit, contactFactor: lognormal, inlet: unit }, sampling), 100);
    expect(after.map((build) => build.filmFactor)).toEqual(before.map((build) => build.filmFactor));
    expect(after[0].contactFactor).not.toBe(1);
    expect(after[0].emissivity).toBeNull();
  });

  it('has the right margins and no correlation that was not asked for', () => {
    const drawn = builds(study({ filmFactor: unit, areaFactor: unit }, sampling), 20_000);
    const films = drawn.map((build) => build.filmFactor);
    const areas = drawn.map((build) => build.areaFactor);
    expect(kolmogorovScore(films, (x) => x)).toBeLessThan(POOR_DISTANCE);
    expect(kolmogorovScore(areas, (x) => x)).toBeLessThan(POOR_DISTANCE);
    expect(Math.abs(correlation(films, areas))).toBeLessThan(4.4 / Math.sqrt(20_000));
  });

  it.each([0.8, 0.3, -0.6])('reaches a rank correlation of %d', (rank) => {
    const given = study({ contactFactor: lognormal, inlet: unit, filmFactor: unit }, sampling, [
      { between: ['contactFactor', 'inlet'], rank },
      { between: ['filmFactor', 'inlet'], rank: 0.2 },
    ]);
    const drawn = builds(given, 20_000);
    const contacts = drawn.map((build) => build.contactFactor);
    const inlets = drawn.map((build) => build.inlet ?? NaN);
    const films = drawn.map((build) => build.filmFactor);
    // The standard error of a rank correlation is about 1/√n = 0.007.
    expect(Math.abs(rankCorrelation(contacts, inlets) - rank)).toBeLessThan(0.03);
    expect(Math.abs(rankCorrelation(films, inlets) - 0.2)).toBeLessThan(0.03);
    expect(Math.abs(rankCorrelation(films, contacts))).toBeLessThan(0.03);
    expect(kolmogorovScore(inlets, (x) => x)).toBeLessThan(POOR_DISTANCE);
  });

  it.each([1, -1])('ties two quantities at a rank correlation of %d', (rank) => {
    const given = study({ contactFactor: unit, inlet: unit }, sampling, [
      { between: ['contactFactor', 'inlet'], rank },
    ]);
    const drawn = builds(given, 50);
    const r = rankCorrelation(
      drawn.map((build) => build.contactFactor),
      drawn.map((build) => build.inlet ?? NaN),
    );
    // In a hypercube the strata are tied; the places within a stratum are not.
    expect(r).toBeCloseTo(rank, 10);
  });
});

describe('a Latin hypercube', () => {
  const size = 40;
  const correlated: Correlation[] = [{ between: ['contactFactor', 'filmFactor'], rank: 0.7 }];

  it.each([
    ['without', []],
    ['with', correlated],
  ])('meets every stratum of every quantity once per replicate, %s correlations', (_, correlations) => {
    const given = study({ contactFactor: unit, filmFactor: unit, areaFactor: unit }, hypercube(size), correlations);
    const everyStratum = Array.from({ length: size }, (__, at) => at);
    for (let replicate = 0; replicate < 20; replicate++) {
      const drawn = builds(given, size, replicate * size);
      for (const quantity of ['contactFactor', 'filmFactor', 'areaFactor'] as const) {
        const strata = drawn.map((build) => Math.floor(build[quantity] * size)).sort((a, b) => a - b);
        expect(strata).toEqual(everyStratum);
      }
    }
  });

  it('permutes its replicates independently', () => {
    const given = study({ contactFactor: unit }, hypercube(size));
    const replicate = (r: number): number[] => builds(given, size, r * size).map((build) => build.contactFactor);
    expect(Math.abs(rankCorrelation(replicate(0), replicate(1)))).toBeLessThan(0.7);
    expect(replicate(0).map((x) => Math.floor(x * size))).not.toEqual(replicate(1).map((x) => Math.floor(x * size)));
  });

  it('puts scenarios uniformly inside their strata', () => {
    const given = study({ contactFactor: unit }, hypercube(size));
    const within = builds(given, 4000).map((build) => (build.contactFactor * size) % 1);
    expect(kolmogorovScore(within, (x) => x)).toBeLessThan(POOR_DISTANCE);
  });

  it('comes closer to a mean than plain sampling: for a linear quantity by the size of the replicate', () => {
    const error = (sampling: Sampling): number => {
      const drawn = builds(study({ contactFactor: unit }, sampling), 4000);
      let squares = 0;
      for (let r = 0; r < 100; r++) {
        const mean = drawn.slice(r * size, (r + 1) * size).reduce((sum, build) => sum + build.contactFactor, 0) / size;
        squares += (mean - 0.5) ** 2 / 100;
      }
      return squares;
    };
    // Variance of the mean: 1/(12·size) plain, 1/(12·size³) stratified; each known to about a seventh here.
    expect(error(plain) * 12 * size).toBeGreaterThan(0.5);
    expect(error(hypercube(size)) * 12 * size ** 3).toBeLessThan(2);
  });

  it('reaches the rank correlation in every replicate, not only on average', () => {
    const given = study({ contactFactor: unit, filmFactor: unit }, hypercube(200), correlated);
    for (let replicate = 0; replicate < 10; replicate++) {
      const drawn = builds(given, 200, replicate * 200);
      const r = rankCorrelation(
        drawn.map((build) => build.contactFactor),
        drawn.map((build) => build.filmFactor),
      );
      // Independent sampling would scatter by about 0.04.
      expect(Math.abs(r - 0.7)).toBeLessThan(0.03);
    }
  });

  it('must be larger than the number of correlated quantities', () => {
    const given = (size_: number): Study =>
      study({ contactFactor: unit, filmFactor: unit }, hypercube(size_), correlated);
    expect(() => new BuildDraw(given(2))).toThrow('study: sampling.size: found 2; a whole number from 3 is allowed');
    expect(builds(given(3), 30)).toHaveLength(30);
    expect(() => new BuildDraw(given(2.5))).toThrow(/sampling\.size: found 2\.5/);
  });
});
