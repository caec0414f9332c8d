import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ascendingOrder, rankCorrelation, rankCorrelationWith, StatisticsInputError } from '../../lib/statistics/index.js';

/** Average rank of each value, by counting the smaller and the equal ones. */
function averageRanks(values: number[]): number[] {
  return values.map((value) => {
    const smaller = values.filter((other) => other < value).length;
    const equal = values.filter((other) => other === value).length;
    return smaller + (equal + 1) / 2;
  });
}

function pearson(x: number[], y: number[]): number {
  const meanOf = (values: number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
  const [meanX, meanY] = [meanOf(x), meanOf(y)];
  const products = (a: number[], meanA: number, b: number[], meanB: number) =>
    a.reduce((sum, value, i) => sum + (value - meanA) * (b[i] - meanB), 0);
  return products(x, meanX, y, meanY) / Math.sqrt(products(x, meanX, x, meanX) * products(y, meanY, y, meanY));
}

const fewValues = fc.integer({ min: 0, max: 6 });
const pairs = fc.array(fc.tuple(fewValues, fewValues), { minLength: 2, maxLength: 60 });

describe('rankCorrelation', () => {
  it('gives tied values their average rank', () => {
    // By hand: ranks 1, 2.5, 2.5, 4 and 1, 3, 2, 4; products 4.5, squares 4.5 and 5.
    const result = rankCorrelation([1, 2, 2, 3], [10, 30, 20, 40]);
    expect(result).toEqual({ defined: true, coefficient: expect.closeTo(4.5 / Math.sqrt(4.5 * 5), 12) });
  });

  it('is the correlation of the average ranks for any pairs with many ties, whatever their order', () => {
    fc.assert(
      fc.property(pairs, (drawn) => {
        const [x, y] = [drawn.map((pair) => pair[0]), drawn.map((pair) => pair[1])];
        fc.pre(new Set(x).size > 1 && new Set(y).size > 1);
        const expected = { defined: true, coefficient: expect.closeTo(pearson(averageRanks(x), averageRanks(y)), 10) };
        expect(rankCorrelation(x, y)).toEqual(expected);
        expect(rankCorrelation([...x].reverse(), [...y].reverse())).toEqual(expected);
        expect(rankCorrelation(y, x)).toEqual(expected);
      }),
    );
  });

  it('is so for numbers of any sign and size, zeros of both signs being one', () => {
    const any = fc.oneof(fc.double({ noNaN: true, noDefaultInfinity: true }), fc.constantFrom(0, -0, 1e-310, -1e-310));
    fc.assert(
      fc.property(fc.array(fc.tuple(any, any), { minLength: 2, maxLength: 60 }), (drawn) => {
        const [x, y] = [drawn.map((pair) => pair[0]), drawn.map((pair) => pair[1])];
        fc.pre(new Set(x).size > 1 && new Set(y).size > 1);
        const coefficient = expect.closeTo(pearson(averageRanks(x), averageRanks(y)), 10);
        expect(rankCorrelation(x, y)).toEqual({ defined: true, coefficient });
      }),
    );
  });

  it('is the same for numbers of single precision, which are ranked by their own bits, and for a known order', () => {
    const single = fc.oneof(fc.float({ noNaN: true, noDefaultInfinity: true }), fc.constantFrom(0, -0, 1e-40, -1e-40));
    fc.assert(
      fc.property(fc.array(fc.tuple(single, single), { minLength: 2, maxLength: 60 }), (drawn) => {
        const [x, y] = [drawn.map((pair) => pair[0]), drawn.map((pair) => pair[1])];
        const singleX = Float32Array.from(x);
        fc.pre(new Set(singleX).size > 1 && new Set(y).size > 1);
        const asDoubles = rankCorrelation([...singleX], y);
        expect(rankCorrelation(singleX, y)).toEqual(asDoubles);
        expect(rankCorrelationWith(y, ascendingOrder(y))(singleX)).toEqual(asDoubles);
        expect([...ascendingOrder(singleX)]).toEqual([...ascendingOrder([...singleX])]);
      }),
    );
  });

  it('is 1 for any rising relation, −1 for any falling one, and never beyond', () => {
    fc.assert(
      fc.property(fc.uniqueArray(fc.integer(), { minLength: 2, maxLength: 50 }), (x) => {
        const cubes = x.map((value) => Math.cbrt(value));
        const rising = rankCorrelation(x, cubes);
        const falling = rankCorrelation(x, cubes.map((value) => -value));
        expect(rising).toEqual({ defined: true, coefficient: expect.closeTo(1, 12) });
        expect(falling).toEqual({ defined: true, coefficient: expect.closeTo(-1, 12) });
        for (const result of [rising, falling]) {
          expect(Math.abs(result.defined ? result.coefficient : Number.NaN)).toBeLessThanOrEqual(1);
        }
      }),
    );
  });

  it('reads typed arrays as well as plain ones', () => {
    const [x, y] = [[3, 1, 2, 5], [1, 2, 4, 3]];
    expect(rankCorrelation(Float64Array.from(x), Float64Array.from(y))).toEqual(rankCorrelation(x, y));
  });

  it('says which input is constant, since no coefficient is defined then', () => {
    expect(rankCorrelation([2, 2, 2], [1, 2, 3])).toEqual({ defined: false, constant: 'x' });
    expect(rankCorrelation([1, 2, 3], [0, 0, 0])).toEqual({ defined: false, constant: 'y' });
    expect(rankCorrelation([1, 1], [0, 0])).toEqual({ defined: false, constant: 'both' });
  });

  it('refuses unequal lengths, fewer than two pairs, and values that are not finite', () => {
    expect(() => rankCorrelation([1, 2, 3], [1, 2])).toThrow(/^y: found 2 values; as many as in x, 3/);
    expect(() => rankCorrelation([1], [1])).toThrow(StatisticsInputError);
    expect(() => rankCorrelation([1, 2], [1, Number.NaN])).toThrow(/^y\[1\]: found NaN/);
  });
});
