import { describe, expect, it } from 'vitest';
import { choleskyFactor, correlatedQuantities } from '../../lib/draw/correlatedQuantities.js';
import type { Correlation, ScenarioQuantity, Study, Uncertain } from '../../lib/rack/studyModel.js';
import { sampleStudy } from './sampleStudy.js';

const varying = { distribution: 'uniform', min: 0.9, max: 1.1 } as const;

function study(
  correlations: Correlation[],
  perScenario: Uncertain['perScenario'] = { contactFactor: varying, filmFactor: varying, areaFactor: varying },
): Study {
  return sampleStudy(10, {
    correlations,
    uncertain: { perScenario, sourceContact: null, loadContact: null, sharingWeight: null },
  });
}

function between(a: ScenarioQuantity, b: ScenarioQuantity, rank: number): Correlation {
  return { between: [a, b], rank };
}

describe('the factor of a correlation matrix', () => {
  it('gives the matrix back', () => {
    const matrix = [
      [1, 0.5, -0.3],
      [0.5, 1, 0.2],
      [-0.3, 0.2, 1],
    ];
    const factor = choleskyFactor(matrix);
    if (factor === null) throw new Error('no factor');
    const product = factor.map((a) => factor.map((b) => a.reduce((sum, x, k) => sum + x * b[k], 0)));
    product.flat().forEach((value, at) => {
      expect(value).toBeCloseTo(matrix.flat()[at], 12);
    });
    expect(factor[0][1]).toBe(0);
  });

  it('exists for perfectly tied quantities', () => {
    expect(
      choleskyFactor([
        [1, -1],
        [-1, 1],
      ]),
    ).toEqual([
      [1, 0],
      [-1, 0],
    ]);
  });

  it('does not exist for contradictions', () => {
    expect(
      choleskyFactor([
        [1, 0.9, -0.9],
        [0.9, 1, 0.9],
        [-0.9, 0.9, 1],
      ]),
    ).toBeNull();
    expect(
      choleskyFactor([
        [1, 1, 0],
        [1, 1, 0.5],
        [0, 0.5, 1],
      ]),
    ).toBeNull();
  });
});

describe('correlated quantities', () => {
  it('are none where the study names no pair', () => {
    expect(correlatedQuantities(study([]))).toBeNull();
  });

  it('carry the normal correlation 2·sin(π·rank/6)', () => {
    const found = correlatedQuantities(study([between('areaFactor', 'contactFactor', -0.5)]));
    expect(found?.quantities).toEqual([0, 3]);
    expect(found?.factor[1][0]).toBeCloseTo(-0.5176380902050415, 14); // −2·sin(15°)
  });

  it.each<[string, Study, RegExp]>([
    [
      'a pair that contradicts two others',
      study([
        between('contactFactor', 'filmFactor', 0.9),
        between('filmFactor', 'areaFactor', 0.9),
        between('contactFactor', 'areaFactor', -0.9),
      ]),
      /study: correlations: found contactFactor–filmFactor 0\.9, .*contradict each other/,
    ],
    [
      'a quantity that does not vary',
      study([between('contactFactor', 'inlet', 0.5)]),
      /found "inlet", which does not vary/,
    ],
    [
      'a fixed quantity',
      study([between('contactFactor', 'inlet', 0.5)], {
        contactFactor: varying,
        inlet: { distribution: 'fixed', value: 300 },
      }),
      /correlations\[0\]\.between: found "inlet"/,
    ],
    ['a quantity paired with itself', study([between('filmFactor', 'filmFactor', 1)]), /found "filmFactor" twice/],
    [
      'a pair named again',
      study([between('filmFactor', 'areaFactor', 0.1), between('areaFactor', 'filmFactor', 0.2)]),
      /correlations\[1\]\.between: found "areaFactor" and "filmFactor" again/,
    ],
    [
      'a correlation above 1',
      study([between('filmFactor', 'areaFactor', 1.2)]),
      /found 1\.2; a rank correlation in −1\.\.1/,
    ],
  ])('are refused for %s', (_, given, message) => {
    expect(() => correlatedQuantities(given)).toThrow(message);
  });
});
