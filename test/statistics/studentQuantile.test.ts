import normalQuantile from '@stdlib/stats-base-dists-normal-quantile';
import { describe, expect, it } from 'vitest';
import { StatisticsInputError, studentTwoSidedQuantile } from '../../lib/statistics/index.js';

describe('studentTwoSidedQuantile', () => {
  it('is tan(π·confidence/2) at one degree of freedom', () => {
    for (const confidence of [0.01, 0.3, 0.5, 0.9, 0.99, 0.9999]) {
      const closedForm = Math.tan((Math.PI * confidence) / 2);
      expect(studentTwoSidedQuantile(confidence, 1) / closedForm).toBeCloseTo(1, 9);
    }
  });

  it('is c·√(2/(1 − c²)) at two degrees of freedom', () => {
    for (const confidence of [0.01, 0.3, 0.5, 0.9, 0.99, 0.9999]) {
      const closedForm = confidence * Math.sqrt(2 / (1 - confidence ** 2));
      expect(studentTwoSidedQuantile(confidence, 2) / closedForm).toBeCloseTo(1, 9);
    }
  });

  it('tends to the normal quantile with many degrees of freedom', () => {
    for (const confidence of [0.5, 0.9, 0.95, 0.999]) {
      expect(studentTwoSidedQuantile(confidence, 1e7)).toBeCloseTo(normalQuantile((1 + confidence) / 2, 0, 1), 5);
    }
  });

  it('keeps its digits far out in the tail, where one form of the beta relation would lose them', () => {
    // scipy.stats.t.isf(5e-7, 1) of SciPy 1.17.
    expect(studentTwoSidedQuantile(0.999999, 1) / 636619.7723487513).toBeCloseTo(1, 9);
  });

  it('refuses confidences and degrees of freedom outside their range', () => {
    expect(() => studentTwoSidedQuantile(1, 5)).toThrow(StatisticsInputError);
    expect(() => studentTwoSidedQuantile(0.95, 0)).toThrow(/^degreesOfFreedom: found 0/);
    expect(() => studentTwoSidedQuantile(Number.NaN, 5)).toThrow(StatisticsInputError);
  });
});
