import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { clopperPearson, shareTable, StatisticsInputError } from '../../lib/statistics/index.js';

const labels = fc.array(fc.constantFrom('bar rise', 'contact', 'source current', '__proto__'), {
  minLength: 1,
  maxLength: 60,
});

describe('shareTable', () => {
  it('counts each label, most frequent first and equal counts by label, capitals before small letters', () => {
    const rows = shareTable(['contact', 'bar rise', 'bar rise', 'air', 'contact', 'Source power'], 0.95);
    expect(rows.map(({ label, count }) => [label, count])).toEqual([
      ['bar rise', 2],
      ['contact', 2],
      ['Source power', 1],
      ['air', 1],
    ]);
    expect(rows[0]).toEqual({ label: 'bar rise', count: 2, share: 2 / 6, ...clopperPearson(2, 6, 0.95) });
  });

  it('accounts for every scenario once, whatever the labels and their order', () => {
    fc.assert(
      fc.property(labels, (drawn) => {
        const rows = shareTable(drawn, 0.9);
        expect(rows.reduce((sum, row) => sum + row.count, 0)).toBe(drawn.length);
        expect(rows.reduce((sum, row) => sum + row.share, 0)).toBeCloseTo(1, 12);
        expect(new Set(rows.map((row) => row.label))).toEqual(new Set(drawn));
        expect(shareTable([...drawn].reverse(), 0.9)).toEqual(rows);
        for (const { lower, share, upper } of rows) {
          expect(lower).toBeLessThanOrEqual(share);
          expect(upper).toBeGreaterThanOrEqual(share);
        }
      }),
    );
  });

  it('refuses no labels at all and a confidence outside 0..1', () => {
    expect(() => shareTable([], 0.95)).toThrow(/^labels: found none/);
    expect(() => shareTable(['a'], 1)).toThrow(StatisticsInputError);
  });
});
