import { describe, expect, it } from 'vitest';
import { splitIsPossible, splitWithinCaps, type SplitCaps, type SplitEffort } from '../../lib/draw/cappedSplit.js';
import { randomStream } from '../../lib/draw/randomStream.js';
import { kolmogorovScore, POOR_DISTANCE } from './goodnessOfFit.js';

const REJECTION: SplitEffort = { tries: 1_000_000, sweeps: 0 };
const CHAIN: SplitEffort = { tries: 0, sweeps: 64 };

/** `draws` conditioned splits of 1, the parts as `[draw][part]`. */
function splits(
  count: number,
  concentration: number,
  classes: number[],
  caps: SplitCaps,
  effort: SplitEffort,
  draws: number,
): number[][] {
  const parts = new Float64Array(count);
  const classOf = Int32Array.from(classes);
  return Array.from({ length: draws }, (_, index) => {
    const stream = randomStream('capped', index, 'placement');
    splitWithinCaps(1, count, concentration, classOf, caps, stream, parts, effort);
    return [...parts];
  });
}

/** Volume of {x ≥ 0, x ≤ u, Σx = s} for n parts, up to a constant: inclusion and exclusion. */
function cappedVolume(n: number, s: number, u: number): number {
  let sum = 0;
  let binomial = 1;
  for (let k = 0; k <= n; k++) {
    sum += (k % 2 === 0 ? 1 : -1) * binomial * Math.max(0, s - k * u) ** (n - 1);
    binomial = (binomial * (n - k)) / (k + 1);
  }
  return sum;
}

/** Distribution function of one of n parts, uniform over the capped splits of 1: ∫ volume of the others. */
function cappedShare(n: number, u: number): (x: number) => number {
  const others = (x: number): number => cappedVolume(n - 1, 1 - x, u);
  const steps = 400;
  const upTo = (x: number): number => {
    let sum = 0;
    for (let at = 0; at < steps; at++) sum += others(((at + 0.5) / steps) * x);
    return (sum * x) / steps;
  };
  const whole = upTo(u);
  return (x) => upTo(Math.min(x, u)) / whole;
}

describe.each([
  ['rejection', REJECTION],
  ['the chain', CHAIN],
])('a split under caps by %s', (_, effort) => {
  it('keeps every cap and the total', () => {
    const caps: SplitCaps = {
      unitCap: 0.3,
      bandCaps: [0.5, 0.55],
      shares: [
        [1, 0],
        [0.5, 0.5],
        [0, 1],
        [0, 0],
      ],
    };
    const classes = [0, 0, 1, 2, 2, 3];
    for (const parts of splits(6, 0.8, classes, caps, effort, 2000)) {
      expect(Math.abs(parts.reduce((sum, x) => sum + x, 0) - 1)).toBeLessThan(1e-12);
      expect(Math.min(...parts)).toBeGreaterThanOrEqual(0);
      expect(Math.max(...parts)).toBeLessThan(0.3 + 1e-12);
      caps.bandCaps.forEach((cap, band) => {
        const inBand = parts.reduce((sum, x, at) => sum + x * caps.shares[classes[at]][band], 0);
        expect(inBand).toBeLessThan(cap + 1e-12);
      });
    }
  });

  it.each([
    [3, 0.5],
    [4, 0.4],
    [5, 0.3],
    [6, 0.3],
  ])('is uniform over the splits that keep a cap on each part: %i parts up to %d', (count, unitCap) => {
    const caps: SplitCaps = { unitCap, bandCaps: [], shares: [[]] };
    const sample = splits(count, 1, new Array<number>(count).fill(0), caps, effort, 4000);
    for (const part of [0, count - 1]) {
      const score = kolmogorovScore(
        sample.map((parts) => parts[part]),
        cappedShare(count, unitCap),
      );
      expect(score).toBeLessThan(POOR_DISTANCE);
    }
  });

  it.each([
    [2.5, (x: number) => x],
    [0.5, (x: number) => x],
  ])('of two parts at concentration %d is a beta law cut at both ends', (concentration) => {
    const caps: SplitCaps = { unitCap: 0.8, bandCaps: [], shares: [[]] };
    const sample = splits(2, concentration, [0, 0], caps, effort, 4000).map((parts) => parts[0]);
    const density = (x: number): number => (x * (1 - x)) ** (concentration - 1);
    const upTo = (x: number): number => {
      let sum = 0;
      for (let at = 0; at < 500; at++) sum += density(0.2 + ((at + 0.5) / 500) * (x - 0.2));
      return sum * (x - 0.2);
    };
    expect(kolmogorovScore(sample, (x) => upTo(x) / upTo(0.8))).toBeLessThan(POOR_DISTANCE);
  });

  it('is the law of a Dirichlet sum in a capped band: two of four parts, at most 0.4', () => {
    // The sum of two of four flat shares is beta(2, 2): F(x) = 3x² − 2x³.
    const caps: SplitCaps = { unitCap: Infinity, bandCaps: [0.4], shares: [[1], [0]] };
    const sums = splits(4, 1, [0, 0, 1, 1], caps, effort, 4000).map((parts) => parts[0] + parts[1]);
    const law = (x: number): number => 3 * x * x - 2 * x ** 3;
    expect(kolmogorovScore(sums, (x) => law(x) / law(0.4))).toBeLessThan(POOR_DISTANCE);
  });
});

describe('a split under caps', () => {
  it('does not care which way it was made: second moments of rejection and chain agree', () => {
    const caps: SplitCaps = {
      unitCap: 0.35,
      bandCaps: [0.6, 0.5],
      shares: [
        [1, 0],
        [0.5, 1],
        [0, 0],
      ],
    };
    const classes = [0, 0, 1, 1, 2];
    const draws = 20_000;
    const moments = (effort: SplitEffort): number[] => {
      const sums = new Array<number>(15).fill(0);
      for (const parts of splits(5, 0.7, classes, caps, effort, draws)) {
        let at = 0;
        for (let i = 0; i < 5; i++) for (let j = i; j < 5; j++) sums[at++] += (parts[i] * parts[j]) / draws;
      }
      return sums;
    };
    const chain = moments(CHAIN);
    // A product of parts up to 0.35 has a standard deviation below 0.04, so its mean one of 0.04/√20000 = 0.0003.
    moments(REJECTION).forEach((moment, at) => {
      expect(Math.abs(moment - chain[at])).toBeLessThan(4.4 * 0.0003 * Math.SQRT2);
    });
  });

  it('does not start the chain where it could not move: the equal split lies on both caps', () => {
    const third = 1 / 3 + 0.6 / 3;
    const caps: SplitCaps = { unitCap: 1, bandCaps: [third, third], shares: [[1, 0], [0, 1], [0.6, 0.6]] };
    const meanOfThird = (effort: SplitEffort): number =>
      splits(3, 1, [0, 1, 2], caps, effort, 10_000).reduce((sum, parts) => sum + parts[2], 0) / 10_000;
    // A share within 0..1/3 has a standard deviation below 1/6, so the means one of 1/600 each.
    expect(Math.abs(meanOfThird(CHAIN) - meanOfThird(REJECTION))).toBeLessThan((4.4 * Math.SQRT2) / 600);
    expect(meanOfThird(REJECTION)).toBeLessThan(0.3);
  });

  it('is found where free splits never keep the caps, with the default effort', () => {
    const caps: SplitCaps = { unitCap: 0.0626, bandCaps: [], shares: [[]] };
    const parts = new Float64Array(16);
    splitWithinCaps(1, 16, 1, new Int32Array(16), caps, randomStream('tight', 0, 'placement'), parts);
    expect(Math.max(...parts)).toBeLessThanOrEqual(0.0626 + 1e-12);
    expect(Math.abs(parts.reduce((sum, x) => sum + x, 0) - 1)).toBeLessThan(1e-12);
  });

  it('is the one split left when the caps add up to the total', () => {
    const caps: SplitCaps = { unitCap: 0.25, bandCaps: [], shares: [[]] };
    const parts = new Float64Array(4);
    splitWithinCaps(1, 4, 1, new Int32Array(4), caps, randomStream('full', 0, 'placement'), parts);
    for (const part of parts) expect(part).toBeCloseTo(0.25, 12);
  });

  it('is possible exactly when the caps leave room for the total', () => {
    const caps = (bandCap: number): SplitCaps => ({ unitCap: 0.2, bandCaps: [bandCap], shares: [[1], [0.5], [0]] });
    // Outside the band 2·0.2; the half-inside unit gives 0.2 for 0.1 of the cap: 0.4 + 0.2 + (cap − 0.1) ≥ 1.
    expect(splitIsPossible(1, [3, 1, 2], caps(0.5))).toBe(true);
    expect(splitIsPossible(1, [3, 1, 2], caps(0.499))).toBe(false);
    expect(splitIsPossible(1, [0, 0, 4], caps(0))).toBe(false);
    expect(splitIsPossible(1, [0, 0, 5], caps(0))).toBe(true);
  });

  it('is refused when there is none', () => {
    const caps: SplitCaps = { unitCap: 0.2, bandCaps: [], shares: [[]] };
    const draw = (): void =>
      splitWithinCaps(1, 4, 1, new Int32Array(4), caps, randomStream('no', 0, 'placement'), new Float64Array(4));
    expect(draw).toThrow(/cannot keep its caps/);
  });
});
