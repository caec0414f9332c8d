import { describe, expect, it } from 'vitest';
import {
  clopperPearson,
  clopperPearsonUpper,
  lowerToleranceRank,
  orderStatisticInterval,
  quantileSorted,
  rankCorrelation,
  smallestSample,
  studentTwoSidedQuantile,
  upperToleranceRank,
} from '../../lib/statistics/index.js';
import { publishedCheck } from './publishedCheck.js';

const COUNT = { unit: '1', tolerance: { absolute: 0 }, why: 'whole numbers' } as const;

describe('published sample sizes of one-sided tolerance bounds', () => {
  // Wilks (1941), Ann. Math. Statist. 12, 91–96; the sizes as used in reactor safety, e.g. 95/95: 59, 93, 124.
  const sizes = [
    { content: 0.95, confidence: 0.95, bySuccessiveOrder: [59, 93, 124] },
    { content: 0.99, confidence: 0.95, bySuccessiveOrder: [299, 473] },
    { content: 0.99, confidence: 0.99, bySuccessiveOrder: [459] },
  ];

  for (const { content, confidence, bySuccessiveOrder } of sizes) {
    it(`are ${bySuccessiveOrder.join(', ')} for content ${content} and confidence ${confidence}`, () => {
      bySuccessiveOrder.forEach((n, i) => {
        const order = i + 1;
        publishedCheck({
          ...COUNT, section: 'D',
          quantity: `least sample for content ${100 * content} %, confidence ${100 * confidence} %, order ${order}`,
          source: 'Wilks (1941), Ann. Math. Statist. 12, 91; sizes as used in reactor safety',
          published: n, ours: smallestSample({ p: 1 - content, confidence, order }),
        });
        expect(smallestSample({ p: content, confidence, order, side: 'upper' })).toBe(n);
        expect(lowerToleranceRank(n, 1 - content, confidence).rank).toBe(order);
        expect(upperToleranceRank(n, content, confidence).rank).toBe(n + 1 - order);
      });
    });
  }

  it('reach a confidence of 1 − 0.95^59 = 0.9515 with 59 values', () => {
    expect(lowerToleranceRank(59, 0.05, 0.95).confidence).toBeCloseTo(1 - 0.95 ** 59, 12);
  });
});

describe('published intervals for a share', () => {
  const share = {
    section: 'D', source: 'Clopper & Pearson (1934), Biometrika 26, 404; by beta quantiles', unit: '1',
    tolerance: { absolute: 5e-8 }, why: 'digits printed',
  } as const;

  it('7 of 50 at 95 %: 0.0581917 to 0.2673960', () => {
    const { lower, upper } = clopperPearson(7, 50, 0.95);
    publishedCheck({ ...share, quantity: 'share 7 of 50, 95 %, lower end', published: 0.0581917, ours: lower });
    publishedCheck({ ...share, quantity: 'share 7 of 50, 95 %, upper end', published: 0.267396, ours: upper });
  });

  it('0 of 100 at 95 %: 0 to 0.0362167, one-sided 0.0295130', () => {
    const { lower, upper } = clopperPearson(0, 100, 0.95);
    publishedCheck({
      ...share, quantity: 'share 0 of 100, 95 %, lower end', published: 0, ours: lower, tolerance: { absolute: 0 },
      why: 'exact',
    });
    publishedCheck({ ...share, quantity: 'share 0 of 100, 95 %, upper end', published: 0.0362167, ours: upper });
    publishedCheck({
      ...share, quantity: 'share 0 of 100, 95 %, one-sided upper bound', published: 0.029513,
      ours: clopperPearsonUpper(0, 100, 0.95),
    });
  });
});

describe('published percentile of the wafer resistivities', () => {
  // NIST/SEMATECH e-Handbook of Statistical Methods, section 7.2.6.2: twelve measurements, 90th percentile.
  const resistivities = [
    95.1772, 95.1567, 95.1937, 95.1959, 95.1442, 95.061, 95.1591, 95.1195, 95.1065, 95.0925, 95.199, 95.1682,
  ].sort((a, b) => a - b);

  it.each([
    ['type-6', 95.19807],
    ['type-7', 95.19568],
    ['type-8', 95.19724],
  ] as const)('by %s is %d', (definition, published) => {
    publishedCheck({
      section: 'D', quantity: `90th percentile of twelve wafer resistivities, ${definition}`,
      source: 'NIST/SEMATECH e-Handbook of Statistical Methods, section 7.2.6.2; Hyndman & Fan (1996)', unit: 'Ω·cm',
      published, ours: quantileSorted(resistivities, 0.9, definition), tolerance: { absolute: 5e-6 },
      why: 'digits printed',
    });
  });
});

describe('published ranks of order-statistic intervals, 95 %, equal tails', () => {
  // David & Nagaraja (2003), Order statistics, section 7.1 (from memory) gives the rule; each row follows from the
  // binomial law. For n = 6, 10, 20 the coverage is 1 − 2·S/2^n with S = 1, 1 + 10 and
  // 1 + 20 + 190 + 1140 + 4845 + 15504 = 21700, the binomial coefficients below the lower rank added up.
  const rule = {
    section: 'D', source: 'David & Nagaraja (2003), Order statistics, section 7.1; binomial law', fromMemory: true,
  } as const;

  it.each([
    [100, 0.5, 40, 61],
    [1000, 0.99, 983, 997],
  ])('of %d values for the quantile %d are %d and %d', (n, p, l, u) => {
    const { lowerRank, upperRank } = orderStatisticInterval(n, p, 0.95);
    const quantity = `95 % interval of the ${100 * p} % quantile from ${n} values`;
    publishedCheck({ ...rule, ...COUNT, quantity: `${quantity}, lower rank`, published: l, ours: lowerRank });
    publishedCheck({ ...rule, ...COUNT, quantity: `${quantity}, upper rank`, published: u, ours: upperRank });
  });

  it('cover the median of 100 with 0.9648 = P(40 ≤ Bin(100, 1/2) ≤ 60)', () => {
    publishedCheck({
      ...rule, quantity: '95 % interval of the 50 % quantile from 100 values, coverage', unit: '1', published: 0.9648,
      ours: orderStatisticInterval(100, 0.5, 0.95).coverage, tolerance: { absolute: 5e-5 }, why: 'digits printed',
    });
  });

  it('the extremes of 6, ranks 2 and 9 of 10, 6 and 15 of 20 for the median', () => {
    const six = orderStatisticInterval(6, 0.5, 0.95);
    const ten = orderStatisticInterval(10, 0.5, 0.95);
    const twenty = orderStatisticInterval(20, 0.5, 0.95);
    expect(six).toEqual({ lowerRank: 1, upperRank: 6, coverage: expect.closeTo(1 - 2 / 2 ** 6, 12) });
    expect(ten).toEqual({ lowerRank: 2, upperRank: 9, coverage: expect.closeTo(1 - 22 / 2 ** 10, 12) });
    expect(twenty).toEqual({ lowerRank: 6, upperRank: 15, coverage: expect.closeTo(1 - 43_400 / 2 ** 20, 12) });
  });
});

describe('published quantiles of Student’s t', () => {
  it.each([
    [0.95, 1, 12.706],
    [0.95, 9, 2.262],
    [0.99, 9, 3.25],
    [0.9, 29, 1.699],
  ])('two-sided %d at %d degrees of freedom is %d', (confidence, degrees, published) => {
    publishedCheck({
      section: 'D', quantity: `Student’s t, two-sided ${100 * confidence} %, ${degrees} degrees of freedom`,
      source: 'NIST/SEMATECH e-Handbook of Statistical Methods, section 1.3.6.7.2', fromMemory: true, unit: '1',
      published, ours: studentTwoSidedQuantile(confidence, degrees), tolerance: { absolute: 5e-4 },
      why: 'digits printed',
    });
  });
});

describe('published rank correlations', () => {
  it.each([
    {
      pairs: 'five pairs with a tie', source: 'SciPy documentation, example of scipy.stats.spearmanr',
      x: [1, 2, 3, 4, 5], y: [5, 6, 7, 8, 7], published: 0.8207826816681233,
    },
    {
      pairs: 'eleven pairs with many ties', source: 'SciPy 1.17, scipy.stats.spearmanr',
      x: [3, 1, 4, 1, 5, 9, 2, 6, 5, 3, 5], y: [2, 7, 1, 8, 2, 8, 1, 8, 2, 8, 4], published: 0.1384567651467695,
    },
  ])('of $pairs is $published', ({ pairs, source, x, y, published }) => {
    const result = rankCorrelation(x, y);
    publishedCheck({
      section: 'D', quantity: `Spearman’s rank correlation of ${pairs}`, source, unit: '1', published,
      ours: result.defined ? result.coefficient : Number.NaN, tolerance: { absolute: 5e-13 },
      why: 'rounding of double precision',
    });
  });
});
