import { describe, expect, it } from 'vitest';
import { percentileChanges, quantileSorted, StatisticsInputError } from '../../lib/statistics/index.js';
import { shareDeviation, sortedSample, uniforms } from './support.js';

const options = (seed: string) => ({ confidence: 0.9, resamples: 200, random: uniforms(seed) });

describe('a change of a percentile', () => {
  it.each(['type-6', 'type-7', 'type-8'] as const)(
    'is the difference of the percentiles (%s), whatever the order of rows',
    (definition) => {
      const random = uniforms('rows');
      const base = Array.from({ length: 137 }, random);
      const changed = base.map((value) => value * random());
      const sorted = (values: readonly number[]) => Float64Array.from(values).sort();
      for (const p of [0.001, 0.03, 0.5, 0.99]) {
        const { base: before, changes } = percentileChanges(base, [changed], p, { ...options('b'), definition });
        expect(before.estimate).toBeCloseTo(quantileSorted(sorted(base), p, definition), 14);
        expect(changes[0].estimate).toBeCloseTo(
          quantileSorted(sorted(changed), p, definition) - quantileSorted(sorted(base), p, definition),
          14,
        );
      }
    },
  );

  it('resamples as laying the drawn rows out and sorting them', () => {
    const base = Array.from({ length: 30 }, uniforms('base'));
    const other = Array.from({ length: 30 }, uniforms('other'));
    for (const p of [0.05, 0.5, 0.9]) {
      const { base: before, changes } = percentileChanges(base, [other], p, { ...options('hand'), resamples: 60 });
      const random = uniforms('hand');
      const found = Array.from({ length: 60 }, () => {
        const rows = Array.from({ length: 30 }, () => Math.floor(30 * random()));
        const at = (column: readonly number[]) => quantileSorted(Float64Array.from(rows, (j) => column[j]).sort(), p);
        return [at(base), at(other) - at(base)];
      });
      [before, changes[0]].forEach(({ lower, upper }, k) => {
        const ends = Float64Array.from(found, (one) => one[k]).sort();
        expect(lower).toBeCloseTo(quantileSorted(ends, 0.05, 'type-6'), 12);
        expect(upper).toBeCloseTo(quantileSorted(ends, 0.95, 'type-6'), 12);
      });
    }
  });

  it('is resampled a thousand times unless asked otherwise, twenty times at least', () => {
    let drawn = 0;
    const random = () => { drawn++; return 0.5; };
    percentileChanges([1, 2, 3], [], 0.5, { confidence: 0.9, random });
    expect(drawn).toBe(3000);
    expect(percentileChanges([1, 2, 3], [], 0.5, { confidence: 0.9, resamples: 20, random }).base.estimate).toBe(2);
    expect(() => percentileChanges([1, 2, 3], [], 0.5, { confidence: 0.9, resamples: 19, random })).toThrow(/resamples: found 19/);
    expect(() => percentileChanges([1, 2, 3], [], 0.5, { confidence: 1, random })).toThrow(/confidence: found 1/);
  });

  it('by a constant is that constant, without uncertainty: the rows belong together', () => {
    const base = Array.from({ length: 200 }, uniforms('constant'));
    const { base: before, changes } = percentileChanges(base, [base.map((value) => value + 8)], 0.1, options('b'));
    for (const value of Object.values(changes[0])) expect(value).toBeCloseTo(8, 12);
    expect(before.upper).toBeGreaterThan(before.lower);
  });

  it('has an interval that covers the true change about as often as it says', () => {
    // X uniform, changed to 0.9·X + 0.3·Y: no closed form at the 5th percentile; a large sample says it.
    const random = uniforms('cover');
    const draw = () => {
      const x = random();
      return [x, 0.9 * x + 0.3 * random()] as const;
    };
    const exact =
      quantileSorted(
        sortedSample(4_000_000, () => draw()[1]),
        0.05,
      ) - 0.05;
    const trials = 500;
    let hits = 0;
    for (let t = 0; t < trials; t++) {
      const rows = Array.from({ length: 400 }, draw);
      const [{ lower, upper }] = percentileChanges(
        rows.map(([x]) => x),
        [rows.map(([, y]) => y)],
        0.05,
        { confidence: 0.9, resamples: 200, random },
      ).changes;
      if (lower <= exact && exact <= upper) hits++;
    }
    expect(Math.abs(hits / trials - 0.9)).toBeLessThan(0.02 + 4 * shareDeviation(0.9, trials));
  }, 60_000);

  it('is refused for columns of unlike length, none or odd values, and fractions that are none', () => {
    expect(() => percentileChanges([1, 2], [[1]], 0.5, options('b'))).toThrow(
      /changed\[0\]: found 1 values; as many as in base, 2/,
    );
    expect(() => percentileChanges([], [], 0.5, options('b'))).toThrow(StatisticsInputError);
    expect(() => percentileChanges([1, Number.NaN], [], 0.5, options('b'))).toThrow(/base\[1\]: found NaN/);
    expect(() => percentileChanges([1, 2], [[1, Infinity]], 0.5, options('b'))).toThrow(
      /changed\[0\]\[1\]: found Infinity/,
    );
    expect(() => percentileChanges([1, 2], [], 0, options('b'))).toThrow(/p: found 0/);
    expect(() => percentileChanges([1, 2], [], 0.5, { ...options('b'), definition: 'type-9' as 'type-8' })).toThrow(
      /type-9/,
    );
  });
});
