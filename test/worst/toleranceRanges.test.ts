/** Ranges of tolerance by hand. */
import { describe, expect, it } from 'vitest';
import type { Distribution, Study } from '../../lib/rack/index.js';
import { toleranceRanges, worstBuild } from '../../lib/worst/toleranceRanges.js';
import { smallStudy } from './smallStudies.js';

const uniform = (min: number, max: number): Distribution => ({ distribution: 'uniform', min, max });
const base = smallStudy(0);
const QUANTITIES = {
  contactFactor: uniform(1, 2), filmFactor: uniform(3, 4), emissivity: uniform(0, 1), areaFactor: uniform(5, 6), inlet: uniform(290, 300),
};
const study: Study = {
  ...base,
  uncertain: {
    perScenario: QUANTITIES, sourceContact: uniform(7, 8), loadContact: uniform(9, 10), sharingWeight: uniform(11, 12),
  },
};
/** The range of a film factor of this distribution. */
const covered = (given: Distribution, percent: number) => (
  toleranceRanges({ ...base, uncertain: { ...base.uncertain, perScenario: { filmFactor: given } } }, percent).filmFactor);
const range = (min: number, max: number) => ({ min: expect.closeTo(min, 9), max: expect.closeTo(max, 9) });

describe('ranges of tolerance', () => {
  it('leave out the same of each distribution at both ends', () => {
    expect(toleranceRanges(study, 80)).toEqual({
      coverPercent: 80, contactFactor: range(1.1, 1.9), filmFactor: range(3.1, 3.9), emissivity: range(0.1, 0.9),
      areaFactor: range(5.1, 5.9), inlet: range(291, 299), sourceContact: range(7.1, 7.9), loadContact: range(9.1, 9.9),
      sharingWeight: range(11.1, 11.9),
    });
  });

  it('are points where nothing varies, or all is to be as the files say', () => {
    const { inlet } = base.rack.air;
    const points = {
      contactFactor: { min: 1, max: 1 }, filmFactor: { min: 1, max: 1 }, emissivity: null, areaFactor: { min: 1, max: 1 },
      inlet: { min: inlet, max: inlet }, sourceContact: null, loadContact: null, sharingWeight: { min: 1, max: 1 },
    };
    expect(toleranceRanges(study, null)).toEqual({ coverPercent: null, ...points });
    const certain = { ...base, uncertain: { perScenario: {}, sourceContact: null, loadContact: null, sharingWeight: null } };
    expect(toleranceRanges(certain, 98)).toEqual({ coverPercent: 98, ...points });
  });

  it('end at percentiles of a normal distribution, and at its own ends where all of it is covered', () => {
    const normal = { distribution: 'normal', mean: 1, sd: 0.1, min: -Infinity, max: Infinity } as const;
    const { min, max } = covered(normal, 95);
    expect(min).toBeCloseTo(1 - 0.1959963985, 9);
    expect(max).toBeCloseTo(1 + 0.1959963985, 9);
    expect(covered({ ...normal, min: 0.7, max: 1.4 }, 100)).toEqual({ min: 0.7, max: 1.4 });
    const lognormal = { distribution: 'lognormal', median: 2, geometricSd: 1.2, min: 1, max: 3 } as const;
    expect(covered(lognormal, 100)).toEqual({ min: 1, max: 3 });
    for (const open of [{ ...normal, min: 0.7 }, { ...normal, max: 1.4 }, normal]) {
      expect(() => covered(open, 100)).toThrow(/uncertain\.filmFactor: found a normal distribution without ends; .*less than 100 %/);
      expect(covered(open, 99.9).max).toBeLessThan(1.5);
    }
    expect(() => covered({ ...lognormal, max: Infinity }, 100)).toThrow(/lognormal distribution without ends/);
  });

  it('hold every value of what was measured, the very ends of a uniform or triangular distribution, and a fixed value', () => {
    expect(covered({ distribution: 'measured', values: [1.2, 0.9, 1.1] }, 100)).toEqual({ min: 0.9, max: 1.2 });
    expect(covered({ distribution: 'measured', values: [1.2, 0.9, 1.1, 1.3] }, 50)).toEqual({ min: 1.1, max: 1.3 });
    expect(covered(uniform(0.1, 0.3), 100)).toEqual({ min: 0.1, max: 0.3 });
    expect(covered({ distribution: 'triangular', min: 0.8, mode: 1, max: 1.2 }, 100)).toEqual({ min: 0.8, max: 1.2 });
    expect(covered({ distribution: 'fixed', value: 1.05 }, 100)).toEqual({ min: 1.05, max: 1.05 });
    expect(covered({ distribution: 'fixed', value: 1.05 }, 90)).toEqual({ min: 1.05, max: 1.05 });
  });

  it('cover above 0 up to 100 %', () => {
    for (const wrong of [0, -1, 100.1, Number.NaN]) {
      expect(() => toleranceRanges(study, wrong)).toThrow(`coverPercent ${wrong}: give above 0 to 100, or null`);
    }
    expect(toleranceRanges(study, 100).inlet).toEqual({ min: 290, max: 300 });
  });

  it('leave least with the most contact resistance, the least film, emissivity and area', () => {
    expect(worstBuild(toleranceRanges(study, 100), 295)).toEqual(
      { contactFactor: 2, filmFactor: 3, emissivity: 0, areaFactor: 5, inlet: 295 });
    expect(worstBuild(toleranceRanges(study, null), 295)).toMatchObject({ emissivity: null });
  });
});
