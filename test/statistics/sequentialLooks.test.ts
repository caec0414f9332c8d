import { describe, expect, it } from 'vitest';
import {
  halfWidthReached,
  lookConfidence,
  percentileEstimate,
  plannedLooks,
  StatisticsInputError,
} from '../../lib/statistics/index.js';
import { observedShare, shareDeviation, uniforms } from './support.js';

describe('plannedLooks', () => {
  it('counts one look per batch and one at the end', () => {
    expect(plannedLooks(1000, 100)).toBe(10);
    expect(plannedLooks(1000, 300)).toBe(4);
    expect(plannedLooks(100, 1000)).toBe(1);
  });

  it('refuses counts below 1', () => {
    expect(() => plannedLooks(0, 1)).toThrow(/^maxScenarios: found 0/);
    expect(() => plannedLooks(10, 0)).toThrow(/^lookEvery: found 0/);
  });
});

describe('lookConfidence', () => {
  it('splits the risk evenly over the looks', () => {
    expect(lookConfidence(0.95, 10)).toBeCloseTo(0.995, 12);
    expect(lookConfidence(0.95, 1)).toBeCloseTo(0.95, 12);
  });

  it('refuses a confidence outside 0..1 and less than one look', () => {
    expect(() => lookConfidence(1, 10)).toThrow(StatisticsInputError);
    expect(() => lookConfidence(0.95, 0)).toThrow(/^looks: found 0/);
  });
});

describe('halfWidthReached', () => {
  const hundred = Float64Array.from({ length: 100 }, (_, i) => i + 1);

  it('compares half the interval, ranks 40 to 61 of 100 for the median, with the half-width asked for', () => {
    expect(halfWidthReached(hundred, 0.5, 10.5, 0.95)).toBe(true);
    expect(halfWidthReached(hundred, 0.5, 10.49, 0.95)).toBe(false);
  });

  it('is not reached while the sample is too small for an interval', () => {
    expect(halfWidthReached([1, 1], 0.01, 1e9, 0.95)).toBe(false);
  });

  it('refuses a half-width that is not above 0, and bad values', () => {
    for (const halfWidth of [0, -1, Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(() => halfWidthReached(hundred, 0.5, halfWidth, 0.95)).toThrow(/^halfWidth: found/);
    }
    expect(() => halfWidthReached([1, Number.NaN], 0.5, 1, 0.5)).toThrow(StatisticsInputError);
  });
});

describe('stopping at the first look whose interval is narrow enough', () => {
  const [maxScenarios, lookEvery, trials] = [800, 40, 1000];
  const leastObserved = 0.95 - 3 * shareDeviation(0.95, trials);

  // Dense below the median 0, sparse above: an interval is narrow just when it lies below the median and misses it,
  // so that every look is a temptation to stop on a wrong answer.
  const tempting = (u: number) => (u < 0.5 ? u - 0.5 : 100 * (u - 0.5));
  const exponential = (u: number) => -Math.log(1 - u) - Math.LN2;

  /** Share of runs whose last interval covers the true median, 0, when each look is made at `confidence`. */
  function coverageOfRuns(seed: string, valueFrom: (u: number) => number, halfWidth: number, confidence: number): number {
    const random = uniforms(seed);
    return observedShare(trials, () => {
      const drawn: number[] = [];
      let sorted = new Float64Array();
      do {
        for (let i = 0; i < lookEvery; i++) drawn.push(valueFrom(random()));
        sorted = Float64Array.from(drawn).sort();
      } while (drawn.length < maxScenarios && !halfWidthReached(sorted, 0.5, halfWidth, confidence));
      const { lower, upper } = percentileEstimate(sorted, 0.5, { confidence });
      return lower <= 0 && 0 <= upper;
    });
  }

  it('keeps the stated confidence with the confidence of each look raised, even where looks tempt', () => {
    const raised = lookConfidence(0.95, plannedLooks(maxScenarios, lookEvery));
    expect(coverageOfRuns('tempting', tempting, 0.3, raised)).toBeGreaterThanOrEqual(leastObserved);
    expect(coverageOfRuns('plain', exponential, 0.12, raised)).toBeGreaterThanOrEqual(leastObserved);
  });

  it('would lose it with the stated confidence at every look', () => {
    expect(coverageOfRuns('tempting', tempting, 0.3, 0.95)).toBeLessThan(leastObserved);
  });
});
