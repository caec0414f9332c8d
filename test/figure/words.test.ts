import { describe, expect, it } from 'vitest';
import {
  bindingWords, intervalWords, leadingPercentile, percentileWords, spreadChoice,
} from '../../lib/figure/index.js';
import type { PercentileRow } from '../../lib/study/index.js';

type Bound = number | null;

const row = (percent: number, ratedKw: number, lowerKw: Bound = null, upperKw: Bound = null): PercentileRow => ({
  percent, ratedKw, lowerKw, upperKw, method: lowerKw === null ? 'none' : 'order statistics', lowerRank: null,
  upperRank: null, coveragePercent: null, note: lowerKw === null ? 'an interval needs at least 505 scenarios' : null,
});

describe('a percentile in words', () => {
  it('says that a low percentile is a number most scenarios exceed', () => {
    expect(percentileWords({ percent: 1, ratedKw: 122.670125 }, 1))
      .toBe('1 % of scenarios fall below 122.7 kW, 99 % carry more');
    expect(percentileWords({ percent: 0.1, ratedKw: 29.9637 }, 3))
      .toBe('0.1 % of scenarios fall below 29.964 kW, 99.9 % carry more');
  });

  it('says nothing absurd of a percentile of 0 kW, of 0 % or of 100 %', () => {
    expect(percentileWords({ percent: 5, ratedKw: 0 }, 1))
      .toBe('at least 5 % of scenarios carry no load at all (rated power 0 kW)');
    expect(percentileWords({ percent: 0, ratedKw: 80 }, 1)).toBe('no scenario of the sample falls below 80.0 kW');
    expect(percentileWords({ percent: 100, ratedKw: 80 }, 1)).toBe('no scenario of the sample carries more than 80.0 kW');
  });

  it('comes with its interval, or with the reason why there is none', () => {
    expect(intervalWords(row(1, 122.67, 121.11, 124.26), 95, 1)).toBe('95 % confidence: 121.1 to 124.3 kW');
    expect(intervalWords(row(1, 122.67), 95, 1)).toBe('no interval: an interval needs at least 505 scenarios');
  });
});

describe('the percentile put first', () => {
  it('is the one nearest to 1 % among those with an interval', () => {
    const rows = [row(0.1, 1), row(1, 2), row(5, 3, 2, 4), row(50, 9, 8, 10)];
    expect(leadingPercentile(rows)?.percent).toBe(5);
    expect(leadingPercentile(rows.slice(0, 2))?.percent).toBe(1);
    expect(leadingPercentile([])).toBeNull();
  });
});

describe('a choice of many rows', () => {
  it('holds the first and the last and is spread evenly', () => {
    expect(spreadChoice([1, 2, 3], 3)).toEqual([1, 2, 3]);
    expect(spreadChoice([...Array(99).keys()], 8)).toEqual([0, 14, 28, 42, 56, 70, 84, 98]);
  });
});

describe('what binds in words', () => {
  const place = { limit: 'contact-temperature', slot: 42, pole: 'return', state: 'all-in-service', outSlot: 0 } as const;

  it('names limit, slot and pole', () => {
    expect(bindingWords(place)).toBe('contact temperature at slot 42, return pole');
  });

  it('names the operating state unless every source is in service', () => {
    expect(bindingWords({ ...place, state: 'one-source-out', outSlot: 7 })).toMatch(/\(state: source at slot 7 out\)$/);
    expect(bindingWords({ ...place, state: 'batteries-alone' })).toMatch(/\(state: batteries alone\)$/);
  });

  it('leaves out a slot and a pole that cannot be named', () => {
    expect(bindingWords({ ...place, limit: 'voltage-collapse', slot: 0, pole: 'both' })).toBe('voltage collapse');
  });
});
