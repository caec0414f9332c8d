import { describe, expect, it } from 'vitest';
import { RackModel } from '../../lib/ladder/index.js';
import { clopperPearson, replicateInterval } from '../../lib/statistics/index.js';
import { rarePower, runStudy, sortedRatedPowers, TooRare } from '../../lib/study/index.js';
import { countsBySum, powerOf, study } from '../published/rankSumStudy.js';

/** P(W ≥ w), counted exactly. */
function atLeast(w: number): number {
  const counts = countsBySum();
  const total = counts.reduce((a, b) => a + b, 0);
  return counts.slice(w).reduce((a, b) => a + b, 0) / total;
}

/** Between a sum and the one below it. */
const belowFor = (w: number) => powerOf(w - 0.5);

describe('rare powers by splitting', () => {
  // Each loads' placement is drawn by itself, so the exact law holds: Wilcoxon (1945).
  for (const [w, seed] of [[335, 'a'], [370, 'b'], [395, 'c']] as const) {
    it(`have the probability of the rank-sum law, P(W ≥ ${w})`, () => {
      const exact = atLeast(w);
      const found = rarePower(study, { below: belowFor(w), population: 200, moves: 10, replicates: 12, seed });
      const spread = Math.sqrt(found.estimates.reduce((sum, p) => sum + (p - found.probability) ** 2, 0) / 11);
      // Four standard errors of the mean of the replicates.
      expect(Math.abs(found.probability - exact)).toBeLessThan(4 * spread / Math.sqrt(12));
      // And that is a useful answer: plain scenarios in the number of ratings would scatter more for the rare ones.
      expect(spread / Math.sqrt(12) / exact).toBeLessThan(0.5);
      expect(found.lower).toBeLessThanOrEqual(exact);
      expect(found.upper).toBeGreaterThanOrEqual(exact);
      expect(found.levels[found.levels.length - 1]).toBe(belowFor(w));
      for (const part of found.movesKept) expect(part).toBeGreaterThan(0.02);
    }, 60_000);
  }

  it('agree with plain scenarios of a study with contacts, sharing and tolerances drawn', async () => {
    const { loadStudy } = await import('../../lib/rack/index.js');
    const { study: deep } = loadStudy('data-demo/deep-bar-anywhere.json');
    const one = { ...deep, rack: { ...deep.rack, operatingStates: ['all-in-service'] as const }, scenarios: 6000 };
    const powers = sortedRatedPowers((await runStudy(one)).table, 6000);
    const below = powers[59] + 1;
    const found = rarePower(one, { below, population: 300, moves: 8, replicates: 8 });
    // 60 of 6000: the binomial's own standard error is 13 %.
    const plain = 60 / 6000;
    const own = Math.sqrt(plain * (1 - plain) / 6000);
    const spread = Math.sqrt(found.estimates.reduce((sum, p) => sum + (p - found.probability) ** 2, 0) / 7 / 8);
    expect(Math.abs(found.probability - plain)).toBeLessThan(4 * Math.hypot(own, spread));
    expect(new RackModel(one.rack).rate(found.lowest.scenario).power).toBeCloseTo(found.lowest.power, 1);
  }, 120_000);

  it('are the same for the same seed', () => {
    const run = () => rarePower(study, { below: belowFor(350), population: 60, moves: 3, replicates: 3, seed: 'same' });
    expect(run().estimates).toEqual(run().estimates);
  });

  it('below everything that can be drawn say so instead of a number', () => {
    expect(() => rarePower(study, { below: belowFor(436), population: 60, moves: 2, replicates: 2 })).toThrow(TooRare);
    expect(() => rarePower(study, { below: belowFor(436), population: 60, moves: 2, replicates: 2 })).toThrow(/no scenario at or below/);
  });

  it('that are not rare are those of plain scenarios, with their interval', () => {
    const found = rarePower(study, { below: belowFor(250), population: 500, moves: 1, replicates: 4, seed: 'often' });
    expect(found).toMatchObject({ method: 'Clopper–Pearson', levels: [belowFor(250)] });
    const met = Math.round(2000 * found.probability);
    expect(found).toMatchObject(clopperPearson(met, 2000, study.confidence));
    expect(found.lower).toBeLessThanOrEqual(atLeast(250));
    expect(found.upper).toBeGreaterThanOrEqual(atLeast(250));
    // Everything: not a certainty, only so many scenarios.
    const all = rarePower(study, { below: belowFor(60), population: 100, moves: 1, replicates: 2, seed: 'all' });
    expect(all).toMatchObject({ probability: 1, upper: 1 });
    expect(all.lower).toBeLessThan(0.99);
  });

  it('that no run meets say so instead of a certain nought', () => {
    // The pilot comes down that far by luck.
    const few = { population: 50, moves: 2, replicates: 2 } as const;
    const outcomes = Array.from({ length: 40 }, (_, k) => {
      try {
        return rarePower(study, { below: belowFor(405), ...few, seed: `few ${k}` }).estimates;
      } catch (error) {
        expect(error).toBeInstanceOf(TooRare);
        return (error as Error).message;
      }
    });
    for (const outcome of outcomes) if (typeof outcome !== 'string') expect(Math.max(...outcome)).toBeGreaterThan(0);
    expect(outcomes.some((outcome) => typeof outcome === 'string' && /none of 2 runs of 50 scenarios came down to it/.test(outcome))).toBe(true);
  });

  it('have an interval that reaches farther up than down, as their estimates do', () => {
    const { estimates, probability, lower, upper } = rarePower(study, {
      below: belowFor(380), population: 60, moves: 4, replicates: 6, seed: 'skewed',
    });
    const student = replicateInterval(estimates, study.confidence);
    expect(probability).toBe(student.mean);
    expect(lower).toBe(Math.max(0, student.lower));
    expect(Math.log(upper / probability)).toBeCloseTo((student.upper - student.mean) / student.mean, 10);
  });

  it('refuse options that make no sense', () => {
    expect(() => rarePower(study, { below: 0 })).toThrow(/below 0 W/);
    expect(() => rarePower(study, { below: 1, population: 10 })).toThrow(/population 10/);
    expect(() => rarePower(study, { below: 1, replicates: 1 })).toThrow(/replicates 1/);
  });
});
