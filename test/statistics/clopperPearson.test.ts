import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { clopperPearson, clopperPearsonUpper, StatisticsInputError } from '../../lib/statistics/index.js';

/** P(X ≤ k) for X ~ Bin(n, p), by adding up the terms; counts failures where the first term would underflow. */
function atMost(k: number, n: number, p: number): number {
  if (p > 0.5) return 1 - atMost(n - k - 1, n, 1 - p);
  let term = (1 - p) ** n;
  let sum = 0;
  for (let i = 0; i <= k; i++) {
    sum += term;
    term *= ((n - i) / (i + 1)) * (p / (1 - p));
  }
  return sum;
}

const trialsAndSuccesses = fc
  .integer({ min: 1, max: 200 })
  .chain((trials) => fc.tuple(fc.constant(trials), fc.integer({ min: 0, max: trials })));
const confidence = fc.double({ min: 0.5, max: 0.999, noNaN: true });

describe('clopperPearson', () => {
  it('puts the ends where the tails of the binomial law hold half the risk each', () => {
    fc.assert(
      fc.property(trialsAndSuccesses, confidence, ([trials, successes], asked) => {
        const { lower, upper } = clopperPearson(successes, trials, asked);
        const tail = (1 - asked) / 2;
        if (successes < trials) expect(atMost(successes, trials, upper)).toBeCloseTo(tail, 9);
        if (successes > 0) expect(1 - atMost(successes - 1, trials, lower)).toBeCloseTo(tail, 9);
      }),
    );
  });

  it('encloses the observed share and mirrors when successes and failures swap', () => {
    fc.assert(
      fc.property(trialsAndSuccesses, confidence, ([trials, successes], asked) => {
        const { lower, upper } = clopperPearson(successes, trials, asked);
        expect(lower).toBeLessThanOrEqual(successes / trials);
        expect(upper).toBeGreaterThanOrEqual(successes / trials);
        const mirrored = clopperPearson(trials - successes, trials, asked);
        expect(mirrored.lower).toBeCloseTo(1 - upper, 9);
        expect(mirrored.upper).toBeCloseTo(1 - lower, 9);
      }),
    );
  });

  it('covers every true chance at least as often as it says', () => {
    const [trials, asked] = [30, 0.9];
    const intervals = Array.from({ length: trials + 1 }, (_, successes) => clopperPearson(successes, trials, asked));
    for (let chance = 0.01; chance < 1; chance += 0.01) {
      const covering = intervals.map(({ lower, upper }) => lower <= chance && chance <= upper);
      const coverage = covering.reduce(
        (sum, covers, k) => sum + (covers ? atMost(k, trials, chance) - atMost(k - 1, trials, chance) : 0),
        0,
      );
      expect(coverage).toBeGreaterThanOrEqual(asked - 1e-9);
    }
  });

  it('reaches exactly 0 without a success and exactly 1 without a failure', () => {
    expect(clopperPearson(0, 20, 0.95).lower).toBe(0);
    expect(clopperPearson(20, 20, 0.95).upper).toBe(1);
    expect(clopperPearson(20, 20, 0.95).lower).toBeCloseTo(0.025 ** (1 / 20), 12);
  });

  it('stays exact for a million trials', () => {
    expect(clopperPearson(0, 1_000_000, 0.95).upper).toBeCloseTo(-Math.expm1(Math.log(0.025) / 1e6), 15);
  });

  it('refuses impossible counts and confidences', () => {
    expect(() => clopperPearson(5, 4, 0.95)).toThrow(/^successes: found 5; at most the number of trials, 4/);
    expect(() => clopperPearson(-1, 4, 0.95)).toThrow(StatisticsInputError);
    expect(() => clopperPearson(0, 0, 0.95)).toThrow(/^trials: found 0/);
    expect(() => clopperPearson(1.5, 4, 0.95)).toThrow(StatisticsInputError);
    expect(() => clopperPearson(1, 4, 1)).toThrow(/^confidence: found 1/);
  });
});

describe('clopperPearsonUpper', () => {
  it('puts the whole risk in the upper tail', () => {
    fc.assert(
      fc.property(trialsAndSuccesses, confidence, ([trials, successes], asked) => {
        fc.pre(successes < trials);
        expect(atMost(successes, trials, clopperPearsonUpper(successes, trials, asked))).toBeCloseTo(1 - asked, 9);
      }),
    );
  });

  it('is 1 when every trial was a success', () => {
    expect(clopperPearsonUpper(12, 12, 0.95)).toBe(1);
  });

  it('refuses impossible counts and confidences', () => {
    expect(() => clopperPearsonUpper(3, 2, 0.95)).toThrow(StatisticsInputError);
    expect(() => clopperPearsonUpper(1, 2, 0)).toThrow(StatisticsInputError);
  });
});
