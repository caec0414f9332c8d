import { describe, expect, it } from 'vitest';
import { quantileSorted, sobolIndices, type SobolSample, StatisticsInputError } from '../../lib/statistics/index.js';
import { observedShare, shareDeviation, uniforms } from './support.js';

/** Rows of f over independent uniform factors: matrices A and B, and A with each factor from B. */
function sampleOf(
  f: (x: readonly number[]) => number,
  factors: number,
  rows: number,
  random: () => number,
): SobolSample {
  const matrix = () => Array.from({ length: rows }, () => Array.from({ length: factors }, random));
  const [a, b] = [matrix(), matrix()];
  return {
    a: a.map(f),
    b: b.map(f),
    mixed: Array.from({ length: factors }, (_, k) =>
      a.map((row, j) => f(row.map((x, at) => (at === k ? b[j][at] : x)))),
    ),
  };
}

/** x1 + 2·x2 + 0·x3: the variances of the terms are as 1 : 4. */
const additive = ([x, y]: readonly number[]) => x + 2 * y;
const options = (seed: string) => ({ confidence: 0.95, resamples: 200, random: uniforms(seed) });

/** The estimators written out over rows laid out one after the other, as often as they were drawn. */
function writtenOut({ a, b, mixed }: SobolSample, rows: readonly number[]) {
  const meanOf = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
  const all = rows.flatMap((j) => [a[j], b[j]]);
  const mean = meanOf(all);
  const variance = meanOf(all.map((value) => (value - mean) ** 2));
  return {
    variance,
    first: mixed.map((column) => meanOf(rows.map((j) => (b[j] - mean) * (column[j] - a[j]))) / variance),
    total: mixed.map((column) => meanOf(rows.map((j) => (a[j] - column[j]) ** 2)) / (2 * variance)),
  };
}

describe('Sobol indices', () => {
  it.each(['few rows', 'an event seldom met'])('are the estimators written out, in every resample too: %s', (name) => {
    const seldom = ([x]: readonly number[]) => (x < 0.03 ? 1 : 0);
    const drawn = sampleOf(name === 'few rows' ? ([x, y]) => 50 + 3 * x * y : seldom, 2, 20, uniforms(name));
    const sample = name === 'few rows' ? drawn : { ...drawn, a: [1, ...Array.from(drawn.a).slice(1)] };
    const { indices, variance } = sobolIndices(sample, { confidence: 0.8, resamples: 50, random: uniforms('hand') });
    const random = uniforms('hand');
    const exact = writtenOut(sample, Array.from({ length: 20 }, (_, j) => j));
    const resampled: ReturnType<typeof writtenOut>[] = [];
    while (resampled.length < 50) {
      const found = writtenOut(sample, Array.from({ length: 20 }, () => Math.floor(20 * random())));
      // Rows that do not vary have no parts of a variance: drawn again.
      if (found.variance > 0) resampled.push(found);
    }
    expect(variance).toBeCloseTo(exact.variance, 12);
    for (const order of ['first', 'total'] as const) {
      for (const k of [0, 1]) {
        const ends = Float64Array.from(resampled, (one) => one[order][k]).sort();
        const { estimate, lower, upper } = indices[k][order];
        expect(estimate).toBeCloseTo(exact[order][k], 10);
        expect(lower).toBeCloseTo(quantileSorted(ends, 0.1, 'type-6'), 10);
        expect(upper).toBeCloseTo(quantileSorted(ends, 0.9, 'type-6'), 10);
      }
    }
  });

  it('of a sum are the parts of its variance, first order and total alike', () => {
    const { indices, variance } = sobolIndices(sampleOf(additive, 3, 40_000, uniforms('sum')), options('b'));
    const exact = [0.2, 0.8, 0];
    expect(variance).toBeCloseTo(5 / 12, 2);
    indices.forEach(({ first, total }, k) => {
      expect(Math.abs(first.estimate - exact[k])).toBeLessThan(0.02);
      expect(Math.abs(total.estimate - exact[k])).toBeLessThan(0.01);
    });
    // A factor that does nothing has exactly nothing in each row.
    expect(indices[2]).toEqual({
      first: { estimate: 0, lower: 0, upper: 0 },
      total: { estimate: 0, lower: 0, upper: 0 },
    });
  });

  it('of a product of centred factors have no first order, and all of it in the total', () => {
    const product = ([x, y]: readonly number[]) => (x - 0.5) * (y - 0.5);
    for (const { first, total } of sobolIndices(sampleOf(product, 2, 40_000, uniforms('product')), options('b'))
      .indices) {
      expect(Math.abs(first.estimate)).toBeLessThan(0.03);
      expect(total.estimate).toBeCloseTo(1, 1);
    }
  });

  it('do not see what is added to every value, nor its unit or sign', () => {
    const sample = sampleOf(additive, 2, 500, uniforms('scale'));
    const before = sobolIndices(sample, options('b')).indices;
    for (const change of [(y: number) => y + 1e6, (y: number) => 1e3 * y, (y: number) => -y]) {
      const after = sobolIndices(
        {
          a: Array.from(sample.a, change),
          b: Array.from(sample.b, change),
          mixed: sample.mixed.map((column) => Array.from(column, change)),
        },
        options('b'),
      ).indices;
      before.forEach(({ first, total }, k) => {
        expect(after[k].first.estimate).toBeCloseTo(first.estimate, 7);
        expect(after[k].first.lower).toBeCloseTo(first.lower, 7);
        expect(after[k].total.upper).toBeCloseTo(total.upper, 7);
      });
    }
  });

  it('do not depend on the order of the rows but for the resamples, and not on the order of the factors', () => {
    const sample = sampleOf(additive, 2, 300, uniforms('order'));
    const turned = (values: ArrayLike<number>) => Array.from(values).reverse();
    const [one, other] = [
      sample,
      { a: turned(sample.a), b: turned(sample.b), mixed: sample.mixed.map(turned).reverse() },
    ].map((of) => sobolIndices(of, options('b')).indices);
    expect(other[1].first.estimate).toBeCloseTo(one[0].first.estimate, 12);
    expect(other[0].total.estimate).toBeCloseTo(one[1].total.estimate, 12);
  });

  it('are the same again for the same seed, and others for another', () => {
    const sample = sampleOf(additive, 2, 300, uniforms('again'));
    expect(sobolIndices(sample, options('x'))).toEqual(sobolIndices(sample, options('x')));
    expect(sobolIndices(sample, options('x'))).not.toEqual(sobolIndices(sample, options('y')));
  });

  it('have intervals that cover the exact value about as often as they say', () => {
    const random = uniforms('coverage');
    const trials = 600;
    const exact = [0.2, 0.8];
    const covered = [0, 0, 0, 0];
    observedShare(trials, () => {
      const { indices } = sobolIndices(sampleOf(additive, 2, 200, random), { confidence: 0.9, resamples: 300, random });
      indices.forEach(({ first, total }, k) => {
        if (first.lower <= exact[k] && exact[k] <= first.upper) covered[k]++;
        if (total.lower <= exact[k] && exact[k] <= total.upper) covered[2 + k]++;
      });
      return true;
    });
    // A percentile interval is a little short at 200 rows: 2 % of coverage, and four standard deviations of the trials.
    const room = 0.02 + 4 * shareDeviation(0.9, trials);
    for (const hits of covered) expect(Math.abs(hits / trials - 0.9)).toBeLessThan(room);
  }, 60_000);

  it('of values drawn for an event that is seldom met still have intervals, from resamples that met it', () => {
    const sample = sampleOf(([x]) => (x < 0.02 ? 1 : 0), 1, 50, uniforms('seldom'));
    const { indices } = sobolIndices({ ...sample, a: [1, ...Array.from(sample.a).slice(1)] }, options('b'));
    for (const { first, total } of indices) {
      for (const value of [first.lower, first.upper, total.lower, total.upper])
        expect(Number.isFinite(value)).toBe(true);
    }
  });
});

describe('Sobol indices refuse', () => {
  const row = Array.from({ length: 30 }, (_, i) => i);
  const refused = (sample: SobolSample, words: RegExp) => {
    expect(() => sobolIndices(sample, options('b'))).toThrow(StatisticsInputError);
    expect(() => sobolIndices(sample, options('b'))).toThrow(words);
  };

  it('columns of unlike length', () => {
    refused({ a: row, b: row.slice(1), mixed: [row] }, /b: found 29 values; as many as in a, 30/);
    refused({ a: row, b: row, mixed: [row, row.slice(2)] }, /mixed\[1\]: found 28 values/);
  });

  it('too few rows, and no factor', () => {
    refused({ a: [1, 2], b: [3, 4], mixed: [[1, 2]] }, /a: found 2 values; at least 20 needed/);
    refused({ a: row, b: row, mixed: [] }, /mixed: found 0 factors; at least 1/);
    const enough = row.slice(0, 20);
    expect(sobolIndices({ a: enough, b: enough, mixed: [enough] }, options('b')).indices).toHaveLength(1);
    refused({ a: row.slice(0, 19), b: row.slice(0, 19), mixed: [row.slice(0, 19)] }, /at least 20/);
  });

  it('values that are not finite, or too large to square', () => {
    refused({ a: row, b: row, mixed: [row.map((x) => (x === 3 ? Number.NaN : x))] }, /mixed\[0\]\[3\]: found NaN/);
    refused({ a: row.map((x) => x * 1e300), b: row, mixed: [row] }, /too large/);
  });

  it('an output without variance', () => {
    const same = row.map(() => 7);
    refused({ a: same, b: same, mixed: [row] }, /the same value, 7, in every row; .* no variance/);
    // A sum of thirds is not thirty thirds to the last digit.
    const third = row.map(() => 1 / 3);
    refused({ a: third, b: third, mixed: [row] }, /no variance/);
    const one = row.map((j) => (j === 4 ? 7 + 1e-5 : 7));
    expect(sobolIndices({ a: one, b: same, mixed: [same] }, options('b')).variance).toBeCloseTo(1e-10 / 60 - (1e-5 / 60) ** 2, 14);
    expect(sobolIndices({ a: same, b: one, mixed: [same] }, options('b')).variance).toBeGreaterThan(0);
  });

  it('a bootstrap that cannot be made', () => {
    const sample = { a: row, b: row.map((x) => x * x), mixed: [row] };
    expect(() => sobolIndices(sample, { ...options('b'), resamples: 3 })).toThrow(/resamples: found 3/);
    expect(() => sobolIndices(sample, { ...options('b'), confidence: 1 })).toThrow(/confidence: found 1/);
  });
});
