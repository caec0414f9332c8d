import { describe, expect, it } from 'vitest';
import { scenarioSource } from '../../lib/draw/index.js';
import { scrambled, SOBOL_COORDINATES, sobolBits } from '../../lib/draw/sobolPoints.js';
import { SOURCE_COORDINATE, spreadDesign } from '../../lib/draw/spreadDesign.js';
import { loadStudy, type Study } from '../../lib/rack/index.js';
import type { Sampling } from '../../lib/rack/studyModel.js';

const { study: deep } = loadStudy('data-demo/deep-bar-anywhere.json');
const withSampling = (sampling: Sampling, seed = 'spread'): Study => ({ ...deep, seed, sampling, scenarios: 4096 });

/** How often each of the boxes 2^-a × 2^-b is met. */
function boxCounts(points: readonly (readonly [number, number])[], a: number, b: number): number[] {
  const counts = new Array<number>(2 ** (a + b)).fill(0);
  for (const [x, y] of points) counts[Math.floor(x * 2 ** a) * 2 ** b + Math.floor(y * 2 ** b)]++;
  return counts;
}

describe('Sobol points', () => {
  it('are those of Joe and Kuo', () => {
    // scipy.stats.qmc.Sobol(d=10, scramble=False), SciPy 1.17: the same set, there in the order of the Gray code.
    const scipy: readonly (readonly number[])[] = [
      [0, 0, 0, 0, 0, 0, 0, 0, 0, 0],
      [0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5],
      [0.75, 0.25, 0.25, 0.25, 0.75, 0.75, 0.25, 0.75, 0.75, 0.75],
      [0.25, 0.75, 0.75, 0.75, 0.25, 0.25, 0.75, 0.25, 0.25, 0.25],
      [0.875, 0.875, 0.125, 0.375, 0.875, 0.625, 0.875, 0.375, 0.375, 0.125],
      [0.96875, 0.59375, 0.34375, 0.78125, 0.65625, 0.34375, 0.40625, 0.71875, 0.09375, 0.03125],
      [0.015625, 0.796875, 0.359375, 0.453125, 0.859375, 0.140625, 0.578125, 0.140625, 0.828125, 0.578125],
    ];
    // SciPy's points 0, 1, 2, 3, 5, 21 and 63.
    const ours = [0, 1, 3, 2, 7, 31, 32].map((number) =>
      Array.from({ length: SOBOL_COORDINATES }, (_, k) => sobolBits(number, k) / 2 ** 32));
    expect(ours).toEqual(scipy);
  });

  it('meet every interval of every coordinate once, scrambled or not', () => {
    for (let coordinate = 0; coordinate < SOBOL_COORDINATES; coordinate++) {
      for (const key of [null, 1, 77, 123_456]) {
        const cells = Array.from({ length: 256 }, (_, k) => {
          const bits = sobolBits(k, coordinate);
          return (key === null ? bits : scrambled(bits, key)) >>> 24;
        });
        expect(new Set(cells).size).toBe(256);
      }
    }
  });

  it('meet every box of the first two coordinates once, whatever its sides, scrambled or not', () => {
    for (const keys of [null, [5, 9], [1000, 31]]) {
      const points = Array.from({ length: 256 }, (_, k) => [0, 1].map((coordinate) => {
        const bits = sobolBits(k, coordinate);
        return (keys === null ? bits : scrambled(bits, keys[coordinate])) / 2 ** 32;
      }) as unknown as readonly [number, number]);
      for (let a = 0; a <= 8; a++) expect(new Set(boxCounts(points, a, 8 - a))).toEqual(new Set([1]));
    }
  });

  it('are uniform each by itself when scrambled: the first point as much as any', () => {
    for (const number of [0, 1, 37]) {
      const cells = new Array<number>(16).fill(0);
      for (let key = 0; key < 16_000; key++) cells[scrambled(sobolBits(number, 3), key * 7919 + 13) >>> 28]++;
      // χ² of 15 degrees of freedom stays below 37.7 with probability 0.999.
      expect(cells.reduce((sum, count) => sum + (count - 1000) ** 2 / 1000, 0)).toBeLessThan(37.7);
    }
  });
});

describe('a design over replicates', () => {
  for (const sampling of [{ design: 'sobol', size: 64 }, { design: 'latin-hypercube', size: 64 }] as const) {
    it(`of ${sampling.design} fills the cells of each coordinate once in each replicate, in any order asked for`, () => {
      const design = spreadDesign(withSampling(sampling));
      if (design === null) throw new Error('a design was asked for');
      const asked = Array.from({ length: 256 }, (_, i) => (i * 97) % 256);
      const cellOf = new Map(asked.map((i) => [i, Array.from({ length: SOURCE_COORDINATE + 1 }, (_, k) =>
        Math.floor(design.uniform(i, k, 0.5) * 64))]));
      const patterns = new Set<string>();
      for (let replicate = 0; replicate < 4; replicate++) {
        for (let k = 0; k <= SOURCE_COORDINATE; k++) {
          const cells = Array.from({ length: 64 }, (_, j) => cellOf.get(64 * replicate + j)?.[k]);
          expect(new Set(cells).size).toBe(64);
          patterns.add(cells.join());
        }
      }
      // No two coordinates or replicates are spread alike.
      expect(patterns.size).toBe(4 * (SOURCE_COORDINATE + 1));
    });

    it(`of ${sampling.design} keeps the mean and the spread of the quantities`, () => {
      const source = scenarioSource(withSampling(sampling));
      const plain = scenarioSource(withSampling({ design: 'plain' }));
      const moments = (from: typeof source) => {
        const values = Array.from({ length: 2048 }, (_, i) => from.draw(i).scenario.build.filmFactor);
        const mean = values.reduce((a, b) => a + b, 0) / values.length;
        return [mean, Math.sqrt(values.reduce((sum, x) => sum + (x - mean) ** 2, 0) / values.length)];
      };
      const [mean, spread] = moments(source);
      const [plainMean, plainSpread] = moments(plain);
      expect(Math.abs(mean - plainMean)).toBeLessThan((4 * 0.06) / Math.sqrt(2048));
      expect(Math.abs(spread - plainSpread)).toBeLessThan((4 * 0.06) / Math.sqrt(2 * 2048));
      // The margins are cells that are all met: the mean is far nearer to 1 than chance would have it.
      expect(Math.abs(mean - 1)).toBeLessThan(2e-4);
    });

    it(`of ${sampling.design} meets every source arrangement as often as it should where they are stratified`, () => {
      // One block of six shelves of one slot: 39 arrangements, whose lowest slot tells them apart.
      const source = scenarioSource(withSampling({ ...sampling, stratifySources: true }));
      const plain = scenarioSource(withSampling({ ...sampling }));
      const lowest = (from: typeof source, i: number) => from.draw(i).scenario.units.find(({ kind }) => kind !== 'load')?.bottomSlot ?? 0;
      const counts = (from: typeof source) => {
        const met = new Map<number, number>();
        for (let i = 0; i < 39 * 64; i++) met.set(lowest(from, i), (met.get(lowest(from, i)) ?? 0) + 1);
        return met;
      };
      const spread = counts(source);
      expect(spread.size).toBe(39);
      // 64 numbers over 39 arrangements: each is met once or twice in every one of 39 replicates, 64 times in all.
      for (const count of spread.values()) expect(Math.abs(count - 64)).toBeLessThan(20);
      const squares = (met: Map<number, number>) => [...met.values()].reduce((sum, count) => sum + (count - 64) ** 2, 0);
      expect(squares(spread)).toBeLessThan(0.6 * squares(counts(plain)));
    });
  }

  it('leaves the quantities as they are when the sources are stratified', () => {
    const size = { design: 'latin-hypercube', size: 64 } as const;
    const [a, b] = [scenarioSource(withSampling(size)), scenarioSource(withSampling({ ...size, stratifySources: true }))];
    for (let i = 0; i < 130; i++) expect(b.draw(i).scenario.build).toEqual(a.draw(i).scenario.build);
  });

  it('refuses a replicate of Sobol points that is no power of two', () => {
    expect(() => spreadDesign(withSampling({ design: 'sobol', size: 100 }))).toThrow(/power of two/);
  });
});
