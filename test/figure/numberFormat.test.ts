import { describe, expect, it } from 'vitest';
import {
  countOf, formatCount, formatLevel, formatNumber, formatShare, kilowattDecimals,
} from '../../lib/figure/index.js';
import { lessWords } from '../../lib/figure/numberFormat.js';

describe('the number format', () => {
  it('writes thousands, decimals and a real minus sign', () => {
    expect(formatNumber(1234.56, 1)).toBe('1,234.6');
    expect(formatNumber(-1234.56, 0)).toBe('−1,235');
    expect(formatNumber(122.670125, 1)).toBe('122.7');
    expect(formatCount(10000)).toBe('10,000');
  });

  it('never writes a negative zero', () => {
    expect(formatNumber(-0.04, 1)).toBe('0.0');
    expect(formatNumber(-0, 0)).toBe('0');
  });

  it('refuses what is not finite rather than printing it', () => {
    for (const value of [Number.NaN, Number.POSITIVE_INFINITY]) expect(() => formatNumber(value, 1)).toThrow(RangeError);
  });

  it('takes as many decimals of a kW as the spread of the results asks for', () => {
    expect(kilowattDecimals(85, 164)).toBe(1);
    expect(kilowattDecimals(100, 101)).toBe(2);
    expect(kilowattDecimals(29.961, 29.98)).toBe(3);
    expect(kilowattDecimals(30, 30)).toBe(1);
    expect(kilowattDecimals(30, 30 + 1e-12)).toBe(3);
  });

  it('writes percentiles as asked for, without digits of the binary system', () => {
    expect(formatLevel(100 - 99.9)).toBe('0.1');
    expect(formatLevel(100 - 0.1)).toBe('99.9');
    expect(formatLevel(1e-7)).toBe('0.0000001');
  });

  it('lets rare shares not read as never, nor frequent ones as always', () => {
    expect(formatShare(0.02)).toBe('0.02');
    expect(formatShare(99.96)).toBe('99.96');
    expect(formatShare(75.7)).toBe('75.7');
    expect(formatShare(100)).toBe('100');
    expect(formatShare(0)).toBe('0');
  });

  it('counts one and many', () => {
    expect(countOf(1, 'scenario')).toBe('1 scenario');
    expect(countOf(2500, 'scenario')).toBe('2,500 scenarios');
    expect(countOf(2, 'power shelf', 'power shelves')).toBe('2 power shelves');
  });
  it('says how far something lies below what is shown', () => {
    expect(lessWords(30, 27.5, 1, 'K')).toBe('2.5 K less than shown');
    expect(lessWords(27.5, 30, 1, 'K')).toBe('2.5 K more than shown');
    expect(lessWords(30, 29.98, 1, 'K')).toBe('as much as shown');
  });
});
