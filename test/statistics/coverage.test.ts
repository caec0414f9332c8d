/**
 * How often the intervals and bounds of lib/statistics hold what they promise, over 20,000 samples each: a nominal 95 % in 94 to 96 % of them.
 * Three distributions with ties, as rated powers have them: the quantile itself lies between ties, so that the promise can
 * be met exactly; where it lies on one, the interval may only cover more.
 */
import { describe, expect, it } from 'vitest';
import { randomStream } from '../../lib/draw/randomStream.js';
import {
  clopperPearson, lookConfidence, lowerToleranceRank, percentileEstimate, replicateInterval, replicatePercentile,
  upperToleranceRank,
} from '../../lib/statistics/index.js';

const REPETITIONS = 20_000;
const CONFIDENCE = 0.95;
/** Three standard deviations of a share of 0.95 in 20,000 samples, below which no interval may fall. */
const LEAST = CONFIDENCE - 3 * Math.sqrt((CONFIDENCE * (1 - CONFIDENCE)) / REPETITIONS);

/** A law by its quantile function. */
interface Law {
  readonly name: string;
  readonly quantile: (u: number) => number;
}

const skewed = (u: number) => 100 + 20 * Math.log(1 / (1 - u));
const LAWS: readonly Law[] = [
  { name: 'a skewed law read to a milliwatt', quantile: (u) => Math.round(skewed(u) * 1e6) / 1e6 },
  // Racks that carry nothing, and racks that all end at the same source limit.
  { name: 'a law with ties at both ends', quantile: (u) => (u < 0.004 ? 0 : u > 0.7 ? 140 : 90 + 50 * u ** 0.3) },
  // Two kinds of racks with a gap between them, one of them rated at a few levels only.
  { name: 'a law of levels beside a continuous one', quantile: (u) => (u < 0.6 ? 80 + 30 * u : 105 + Math.floor(20 * u)) },
];

function sample(law: Law, size: number, double: () => number, into = new Float64Array(size)): Float64Array {
  for (let i = 0; i < size; i++) into[i] = law.quantile(double());
  return into;
}

/** Share of the repetitions in which something holds. */
function shareOf(name: string, holds: (double: () => number) => boolean): number {
  const stream = randomStream(`coverage of ${name}`, 0, 'check');
  const double = () => stream.double();
  let count = 0;
  for (let k = 0; k < REPETITIONS; k++) if (holds(double)) count++;
  return count / REPETITIONS;
}

function expectNominal(share: number): void {
  expect(share).toBeGreaterThan(0.94);
  expect(share).toBeLessThan(0.96);
}

describe('nominal 95 % covers 94 to 96 %', () => {
  for (const law of LAWS) {
    for (const [p, size] of [[0.05, 800], [0.01, 3000], [0.5, 300]] as const) {
      it(`order statistics of the ${100 * p} % quantile, n = ${size}: ${law.name}`, () => {
        const truth = law.quantile(p);
        const values = new Float64Array(size);
        expectNominal(shareOf(`order statistics ${law.name} ${p}`, (double) => {
          const { lower, upper } = percentileEstimate(sample(law, size, double, values).sort(), p, { confidence: CONFIDENCE });
          return lower <= truth && truth <= upper;
        }));
      });
    }

    it(`tolerance bounds: ${law.name}`, () => {
      // Ranks are whole numbers, and confidence goes in steps: a size at which both bounds reach little more than 95 %.
      let size = 1500;
      while (lowerToleranceRank(size, 0.02, CONFIDENCE).confidence > 0.953
        || upperToleranceRank(size, 0.55, CONFIDENCE).confidence > 0.953) size++;
      const low = law.quantile(0.02);
      const high = law.quantile(0.55);
      const lowerRank = lowerToleranceRank(size, 0.02, CONFIDENCE).rank;
      const upperRank = upperToleranceRank(size, 0.55, CONFIDENCE).rank;
      const values = new Float64Array(size);
      const held = { lower: 0, upper: 0 };
      shareOf(`tolerance ${law.name}`, (double) => {
        const sorted = sample(law, size, double, values).sort();
        if (sorted[lowerRank - 1] <= low) held.lower++;
        if (sorted[upperRank - 1] >= high) held.upper++;
        return true;
      });
      expectNominal(held.lower / REPETITIONS);
      expectNominal(held.upper / REPETITIONS);
    });

    // Also beside an atom, which the percentile found is then part of more often than not.
    it.each([0.05, 0.69])(`shares of short replicates, each end by itself: ${law.name}, %d`, (p) => {
      const [size, replicates] = [50, 20];
      const truth = law.quantile(p);
      const values = new Float64Array(size * replicates);
      const missed = { below: 0, above: 0 };
      shareOf(`replicates ${law.name} ${p}`, (double) => {
        const { lower, upper } = replicatePercentile(sample(law, values.length, double, values), size, p, { confidence: CONFIDENCE });
        if (truth < lower) missed.below++;
        if (truth > upper) missed.above++;
        return true;
      });
      // Ranks are rounded outward, and where many values are equal the interval may only cover more.
      expect(missed.below / REPETITIONS).toBeLessThan(0.03);
      expect(missed.above / REPETITIONS).toBeLessThan(0.03);
      if (p < 0.1) expect((missed.below + missed.above) / REPETITIONS).toBeGreaterThan(0.015);
    });
  }

  it('Student’s t over replicates that are normal', () => {
    expectNominal(shareOf('t', (double) => {
      const values = Array.from({ length: 8 }, () => Math.sqrt(-2 * Math.log(double())) * Math.cos(2 * Math.PI * double()));
      const { lower, upper } = replicateInterval(values, CONFIDENCE);
      return lower <= 0 && 0 <= upper;
    }));
  });

  it.each([[0.3, 1000], [0.02, 20_000], [0.8, 500]])('shares after Clopper and Pearson: %d of %d', (truth, n) => {
    // Conservative by construction: at large counts by little.
    const known = new Map<number, { lower: number; upper: number }>();
    const share = shareOf(`shares ${truth}`, (double) => {
      const count = binomial(n, truth, double);
      const interval = known.get(count) ?? clopperPearson(count, n, CONFIDENCE);
      known.set(count, interval);
      return interval.lower <= truth && truth <= interval.upper;
    });
    expect(share).toBeGreaterThan(LEAST);
    expect(share).toBeLessThan(0.965);
  });
});

describe('never less than promised', () => {
  it('order statistics where the quantile lies on a tie', () => {
    const law: Law = { name: 'levels', quantile: (u) => Math.floor(10 * u) };
    const share = shareOf('on a tie', (double) => {
      const { lower, upper } = percentileEstimate(sample(law, 400, double).sort(), 0.05, { confidence: CONFIDENCE });
      return lower <= 0 && 0 <= upper;
    });
    expect(share).toBeGreaterThan(LEAST);
  });

  it('all looks of a stopping rule together', () => {
    const [looks, size, p] = [5, 600, 0.05];
    const [law] = LAWS;
    const truth = law.quantile(p);
    const each = lookConfidence(CONFIDENCE, looks);
    const stream = randomStream('looks', 0, 'check');
    const values = new Float64Array(looks * size);
    let count = 0;
    for (let k = 0; k < REPETITIONS; k++) {
      sample(law, values.length, () => stream.double(), values);
      let holds = true;
      for (let look = 1; look <= looks; look++) {
        const { lower, upper } = percentileEstimate(values.slice(0, look * size).sort(), p, { confidence: each });
        holds &&= lower <= truth && truth <= upper;
      }
      if (holds) count++;
    }
    expect(count / REPETITIONS).toBeGreaterThan(LEAST);
  });
});

/** A binomial count by the waiting times between hits, each geometric. */
function binomial(n: number, p: number, double: () => number): number {
  const wait = () => Math.ceil(Math.log(double()) / Math.log1p(-p));
  let count = 0;
  for (let at = wait(); at <= n; at += wait()) count++;
  return count;
}
