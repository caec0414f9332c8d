import { describe, expect, it } from 'vitest';
import seedrandom from 'seedrandom';
import { KeyedStream, randomStream } from '../../lib/draw/randomStream.js';
import { chiSquareScore, correlation, POOR_FIT } from './goodnessOfFit.js';

const DRAWS = 100_000;

describe('a random stream', () => {
  it.each(['', '7', 'a long seed with blanks', 'Überströmung 😀'])('is that of seedrandom for its key, bit for bit, seed "%s"', (seed) => {
    const keyed = new KeyedStream(seed, 'placement');
    for (const index of [0, 1, 9, 10, 99_999, 2 ** 31, 2 ** 32 + 1, Number.MAX_SAFE_INTEGER]) {
      const defining = seedrandom.tychei(`${index} placement ${seed}`);
      const [once, again] = [randomStream(seed, index, 'placement'), keyed.begin(index)];
      for (let k = 0; k < 200; k++) {
        const expected = k % 3 === 0 ? defining.quick() : defining.double();
        expect(k % 3 === 0 ? once.quick() : once.double()).toBe(expected);
        expect(k % 3 === 0 ? again.quick() : again.double()).toBe(expected);
      }
    }
  });

  it.each([['contacts', 'build'], ['build', 'source-contacts'], ['placement', 'placement']] as const)(
    'begun together with another is what each is by itself: %s and %s', (one, other) => {
      for (const [seed, otherSeed] of [['7', '7'], ['', 'a long seed with blanks']]) {
        const [first, second] = [new KeyedStream(seed, one), new KeyedStream(otherSeed, other)];
        for (const index of [0, 10, 99_999, Number.MAX_SAFE_INTEGER]) {
          expect(first.beginWith(second, index)).toBe(first);
          const alone = [randomStream(seed, index, one), randomStream(otherSeed, index, other)];
          for (let k = 0; k < 20; k++) expect([first.double(), second.double()]).toEqual(alone.map((stream) => stream.double()));
        }
        expect(() => first.beginWith(second, -1)).toThrow(RangeError);
      }
    });

  it('is the same whenever it is asked for', () => {
    const first = Array.from(
      { length: 5 },
      (
        (stream) => () =>
          stream.double()
      )(randomStream('s', 7, 'build')),
    );
    randomStream('s', 8, 'build').double();
    const again = Array.from(
      { length: 5 },
      (
        (stream) => () =>
          stream.double()
      )(randomStream('s', 7, 'build')),
    );
    expect(again).toEqual(first);
  });

  it('differs with seed, index and purpose, also where the three run together alike', () => {
    const first = (seed: string, index: number, purpose: 'build' | 'placement'): number =>
      randomStream(seed, index, purpose).double();
    const values = [
      first('1', 1, 'build'),
      first('1', 11, 'build'),
      first('11', 1, 'build'),
      first('', 11, 'build'),
      first('1', 1, 'placement'),
      first('build 1', 1, 'placement'),
      first('placement 1', 1, 'build'),
    ];
    expect(new Set(values).size).toBe(values.length);
  });

  it.each(['7', 'a long seed with blanks', 'Überströmung'])(
    'starts uniformly over consecutive indices, seed %s',
    (seed) => {
      const cells = new Array<number>(100).fill(0);
      for (let index = 0; index < DRAWS; index++)
        cells[Math.floor(randomStream(seed, index, 'placement').double() * 100)]++;
      expect(chiSquareScore(cells, new Array<number>(100).fill(DRAWS / 100))).toBeLessThan(POOR_FIT);
    },
  );

  it.each([1, 2, 10, 100, 1000, 4096])('starts independently of the stream %i indices on (10 × 10 cells)', (lag) => {
    const starts = Array.from({ length: DRAWS + lag }, (_, index) => randomStream('lag', index, 'placement').quick());
    const cells = new Array<number>(100).fill(0);
    for (let i = 0; i < DRAWS; i++) cells[Math.floor(starts[i] * 10) * 10 + Math.floor(starts[i + lag] * 10)]++;
    expect(chiSquareScore(cells, new Array<number>(100).fill(DRAWS / 100))).toBeLessThan(POOR_FIT);
    const r = correlation(starts.slice(0, DRAWS), starts.slice(lag));
    expect(Math.abs(r)).toBeLessThan(4.5 / Math.sqrt(DRAWS));
  });

  it('starts independently of the other purposes of its scenario', () => {
    const cells = new Array<number>(100).fill(0);
    for (let index = 0; index < DRAWS; index++) {
      const a = randomStream('x', index, 'placement').quick();
      const b = randomStream('x', index, 'build').quick();
      cells[Math.floor(a * 10) * 10 + Math.floor(b * 10)]++;
    }
    expect(chiSquareScore(cells, new Array<number>(100).fill(DRAWS / 100))).toBeLessThan(POOR_FIT);
  });

  it('has its first two doubles independent of each other', () => {
    const cells = new Array<number>(100).fill(0);
    for (let index = 0; index < DRAWS; index++) {
      const stream = randomStream('pair', index, 'placement');
      cells[Math.floor(stream.double() * 10) * 10 + Math.floor(stream.double() * 10)]++;
    }
    expect(chiSquareScore(cells, new Array<number>(100).fill(DRAWS / 100))).toBeLessThan(POOR_FIT);
  });

  it('gives doubles of 53 bits and quick numbers of 32', () => {
    const stream = randomStream('bits', 0, 'build');
    const doubles = Array.from({ length: 200 }, () => stream.double());
    const quick = Array.from({ length: 200 }, () => stream.quick());
    expect(doubles.every((u) => u > 0 && u < 1 && Number.isInteger(u * 2 ** 53))).toBe(true);
    expect(doubles.some((u) => !Number.isInteger(u * 2 ** 52))).toBe(true);
    expect(quick.every((u) => u >= 0 && u < 1 && Number.isInteger(u * 2 ** 32))).toBe(true);
    expect(quick.some((u) => !Number.isInteger(u * 2 ** 31))).toBe(true);
  });

  it.each([-1, 0.5, NaN, 2 ** 53])('refuses scenario index %d', (index) => {
    expect(() => randomStream('s', index, 'build')).toThrow(/scenario index: found/);
  });
});

describe('a random whole number below n', () => {
  it.each([1, 2, 3, 7, 100, 1000])('gives 0..%i−1 equally often', (n) => {
    const stream = randomStream('whole', n, 'build');
    const counts = new Array<number>(n).fill(0);
    for (let draw = 0; draw < DRAWS; draw++) counts[stream.integerBelow(n)]++;
    if (n === 1) expect(counts).toEqual([DRAWS]);
    else expect(chiSquareScore(counts, new Array<number>(n).fill(DRAWS / n))).toBeLessThan(POOR_FIT);
  });

  it('is not biased where the remainder of 2^53 would be', () => {
    // 2^53 = 1.5·n + …: without rejection the lower half of the values would come twice as often as the upper.
    const n = 6_004_799_503_160_661;
    const stream = randomStream('large', 0, 'build');
    const counts = [0, 0, 0, 0];
    for (let draw = 0; draw < DRAWS; draw++) counts[Math.floor((stream.integerBelow(n) / n) * 4)]++;
    expect(chiSquareScore(counts, new Array<number>(4).fill(DRAWS / 4))).toBeLessThan(POOR_FIT);
  });

  it('is not biased just below the change of method', () => {
    const n = 2 ** 21;
    const stream = randomStream('edge', 0, 'build');
    const low = [0, 0];
    for (let draw = 0; draw < DRAWS; draw++) low[stream.integerBelow(n) % 2]++;
    expect(chiSquareScore([...low, 0.5], [DRAWS / 2, DRAWS / 2, 0.5])).toBeLessThan(POOR_FIT);
    expect(randomStream('edge', 1, 'build').integerBelow(2 ** 53)).toBeGreaterThan(2 ** 32);
  });

  it('skips the words of 32 bits that would make some values more likely', () => {
    // A word w gives floor(w·n/2^32) unless (w·n mod 2^32) < 2^32 mod n: one word in 4096 for this n.
    const n = 3 * 2 ** 19;
    const surplus = 2 ** 32 % n;
    let skipped = 0;
    for (let index = 0; index < 20_000; index++) {
      const words = randomStream('surplus', index, 'build');
      let word = words.quick() * 2 ** 32;
      while ((word * n) % 2 ** 32 < surplus) {
        skipped++;
        word = words.quick() * 2 ** 32;
      }
      expect(randomStream('surplus', index, 'build').integerBelow(n)).toBe(Math.floor((word * n) / 2 ** 32));
    }
    expect(skipped).toBeGreaterThan(1);
  });

  it.each([0, -3, 1.5, NaN, 2 ** 53 + 2])('refuses n = %d', (n) => {
    expect(() => randomStream('s', 0, 'build').integerBelow(n)).toThrow(/found n =/);
  });
});
