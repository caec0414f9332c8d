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
        const lower = { p: 1 - content, confidence, order };
        expect(smallestSample(lower)).toBe(n);
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
  // Clopper & Pearson (1934), Biometrika 26, 404–413; values by the beta quantiles.
  it('7 of 50 at 95 %: 0.0581917 to 0.2673960', () => {
    const { lower, upper } = clopperPearson(7, 50, 0.95);
    expect(lower).toBeCloseTo(0.0581917, 7);
    expect(upper).toBeCloseTo(0.267396, 7);
  });

  it('0 of 100 at 95 %: 0 to 0.0362167, one-sided 0.0295130', () => {
    const { lower, upper } = clopperPearson(0, 100, 0.95);
    expect(lower).toBe(0);
    expect(upper).toBeCloseTo(0.0362167, 7);
    expect(clopperPearsonUpper(0, 100, 0.95)).toBeCloseTo(0.029513, 7);
  });
});

describe('published percentile of the wafer resistivities', () => {
  // NIST/SEMATECH e-Handbook of Statistical Methods, section 7.2.6.2: twelve measurements, 90th percentile.
  const resistivities = [
    95.1772, 95.1567, 95.1937, 95.1959, 95.1442, 95.061, 95.1591, 95.1195, 95.1065, 95.0925, 95.199, 95.1682,
  ].sort((a, b) => a - b);

  it('is 95.19807 by type 6', () => {
    expect(quantileSorted(resistivities, 0.9, 'type-6')).toBeCloseTo(95.19807, 5);
  });

  it('is 95.19568 by type 7', () => {
    expect(quantileSorted(resistivities, 0.9, 'type-7')).toBeCloseTo(95.19568, 5);
  });

  it('is 95.19724 by type 8', () => {
    expect(quantileSorted(resistivities, 0.9, 'type-8')).toBeCloseTo(95.19724, 5);
  });
});

describe('published ranks of order-statistic intervals, 95 %, equal tails', () => {
  // David & Nagaraja (2003), Order statistics, section 7.1 (from memory) gives the rule; each row follows from the
  // binomial law. For n = 6, 10, 20 the coverage is 1 − 2·S/2^n with S = 1, 1 + 10 and
  // 1 + 20 + 190 + 1140 + 4845 + 15504 = 21700, the binomial coefficients below the lower rank added up.
  it('40 and 61 for the median of 100', () => {
    expect(orderStatisticInterval(100, 0.5, 0.95)).toMatchObject({ lowerRank: 40, upperRank: 61 });
    // P(40 ≤ Bin(100, 1/2) ≤ 60).
    expect(orderStatisticInterval(100, 0.5, 0.95).coverage).toBeCloseTo(0.9648, 4);
  });

  it('983 and 997 for the 99 % quantile of 1000', () => {
    expect(orderStatisticInterval(1000, 0.99, 0.95)).toMatchObject({ lowerRank: 983, upperRank: 997 });
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
  it('are those of the common two-sided tables', () => {
    // NIST/SEMATECH e-Handbook, section 1.3.6.7.2, columns 0.95, 0.975, 0.995 (from memory).
    expect(studentTwoSidedQuantile(0.95, 1)).toBeCloseTo(12.706, 3);
    expect(studentTwoSidedQuantile(0.95, 9)).toBeCloseTo(2.262, 3);
    expect(studentTwoSidedQuantile(0.99, 9)).toBeCloseTo(3.25, 3);
    expect(studentTwoSidedQuantile(0.9, 29)).toBeCloseTo(1.699, 3);
  });
});

describe('published rank correlations', () => {
  it('0.8207826816681233 for the pairs with a tie in the SciPy documentation', () => {
    // scipy.stats.spearmanr([1, 2, 3, 4, 5], [5, 6, 7, 8, 7]), example of its reference page.
    const result = rankCorrelation([1, 2, 3, 4, 5], [5, 6, 7, 8, 7]);
    expect(result).toEqual({ defined: true, coefficient: expect.closeTo(0.8207826816681233, 12) });
  });

  it('0.1384567651467695 for pairs with many ties on both sides', () => {
    // SciPy 1.17, scipy.stats.spearmanr.
    const x = [3, 1, 4, 1, 5, 9, 2, 6, 5, 3, 5];
    const y = [2, 7, 1, 8, 2, 8, 1, 8, 2, 8, 4];
    const result = rankCorrelation(x, y);
    expect(result).toEqual({ defined: true, coefficient: expect.closeTo(0.1384567651467695, 12) });
  });
});
