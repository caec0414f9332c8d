import { describe, expect, it } from 'vitest';
import { randomStream } from '../../lib/draw/randomStream.js';
import { pairedQuantile, quantileSorted } from '../../lib/statistics/index.js';

/** Pairs (z + shift + noise, z) of normal-like numbers, sums of twelve uniforms. */
function pairs(n: number, seed: string, noise: number) {
  const stream = randomStream(seed, 0, 'check');
  const normal = () => Array.from({ length: 12 }, () => stream.double()).reduce((a, b) => a + b, -6);
  const theirs = Array.from({ length: n }, normal);
  return { theirs, ours: theirs.map((z) => 0.3 + z + noise * normal()), stream };
}
const ask = (stream: { integerBelow(n: number): number }) => (
  { confidence: 0.9, resamples: 400, integerBelow: (n: number) => stream.integerBelow(n) }
);

describe('the difference of a quantile in pairs', () => {
  it('is exact, without width, where one is the other and a number', () => {
    const { theirs, stream } = pairs(200, 'shift', 0);
    const found = pairedQuantile(theirs.map((z) => z + 0.25), theirs, 0.1, ask(stream));
    for (const value of [found.difference, found.lower, found.upper]) expect(value).toBeCloseTo(0.25, 12);
    expect(found.variance).toBeLessThan(1e-25);
    expect(found.varianceUnpaired).toBeGreaterThan(0.001);
  });

  it('resamples as laying the drawn values out and sorting them', () => {
    const { ours, theirs } = pairs(60, 'by hand', 0.2);
    for (const p of [0.05, 0.5, 0.9]) {
      const [one, two] = [randomStream('r', 0, 'check'), randomStream('r', 0, 'check')];
      const found = pairedQuantile(ours, theirs, p, { ...ask(one), resamples: 100, blockSize: 3 });
      const byHand = Array.from({ length: 100 }, () => {
        const drawn = Array.from({ length: 20 }, () => 3 * two.integerBelow(20)).flatMap((k) => [k, k + 1, k + 2]);
        const at = (values: number[]) => quantileSorted(drawn.map((k) => values[k]).sort((a, b) => a - b), p);
        return at(ours) - at(theirs);
      }).sort((a, b) => a - b);
      // 20 blocks: Student's t at 19 degrees of freedom is 1.729133, the normal quantile 1.644854.
      const stretched = (end: number) => found.difference + (1.729133 / 1.644854) * Math.sqrt(20 / 19) * (end - found.difference);
      expect(found.lower).toBeCloseTo(stretched(quantileSorted(byHand, 0.05, 'type-7')), 6);
      expect(found.upper).toBeCloseTo(stretched(quantileSorted(byHand, 0.95, 'type-7')), 6);
    }
  });

  it('covers the true difference at least as often as it says, nearer with more pairs', () => {
    // Medians of z + 0.3 + noise and of z differ by 0.3. The bootstrap variance of a sample quantile is too large by a
    // part of the order n^(−1/4) (Hall & Martin 1988, quoted from memory): intervals err on the cautious side.
    const coverage = (n: number, tries: number) => {
      let held = 0;
      for (let k = 0; k < tries; k++) {
        const { ours, theirs, stream } = pairs(n, `coverage ${k}`, 0.3);
        const { lower, upper } = pairedQuantile(ours, theirs, 0.5, { ...ask(stream), resamples: 300 });
        if (lower <= 0.3 && 0.3 <= upper) held++;
      }
      return held / tries;
    };
    const [few, many] = [coverage(150, 200), coverage(1500, 200)];
    console.log(`paired quantile: 90 % intervals held ${(100 * few).toFixed(1)} % at 150 pairs, ${(100 * many).toFixed(1)} % at 1500`);
    // Four standard errors of 200 tries below 0.9.
    for (const held of [few, many]) expect(held).toBeGreaterThan(0.9 - 4 * Math.sqrt(0.09 / 200));
    expect(many).toBeLessThanOrEqual(few);
  }, 60_000);

  it('covers the true difference with ten blocks of a design', () => {
    // One stratified quantity decides both.
    const [blocks, size, tries] = [10, 16, 1000];
    let held = 0;
    for (let k = 0; k < tries; k++) {
      const stream = randomStream(`blocks ${k}`, 0, 'check');
      const theirs = Array.from({ length: blocks * size }, (_, i) => ((i % size) + stream.double()) / size);
      const ours = theirs.map((u) => 2 * u);
      const { lower, upper } = pairedQuantile(ours, theirs, 0.4, { ...ask(stream), confidence: 0.95, resamples: 300, blockSize: size });
      if (lower <= 0.4 && 0.4 <= upper) held++;
    }
    expect(held / tries).toBeGreaterThan(0.95 - 3.5 * Math.sqrt((0.95 * 0.05) / tries));
  }, 60_000);

  it('refuses what cannot be paired', () => {
    const { ours, theirs, stream } = pairs(20, 'refused', 0.1);
    expect(() => pairedQuantile(ours, theirs.slice(1), 0.5, ask(stream))).toThrow(/as many as ours/);
    expect(() => pairedQuantile(ours, theirs, 0.5, { ...ask(stream), blockSize: 3 })).toThrow(/at least 30/);
    expect(() => pairedQuantile(ours, [...theirs.slice(1), Number.NaN], 0.5, ask(stream))).toThrow(/finite/);
    expect(() => pairedQuantile(ours, theirs, 1.5, ask(stream))).toThrow(/fraction/);
  });
});
