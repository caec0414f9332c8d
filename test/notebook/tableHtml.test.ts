import { describe, expect, it } from 'vitest';
import { columnTitle, tableHtml } from '../../lib/notebook/index.js';

describe('a column’s name', () => {
  it('is read as words with its unit behind', () => {
    expect(columnTitle('ratedKw')).toBe('rated, kW');
    expect(columnTitle('meanSourceSlot')).toBe('mean source slot');
    expect(columnTitle('largestSharePercent')).toBe('largest share, %');
    expect(columnTitle('contactMicroOhm')).toBe('contact, µΩ');
    expect(columnTitle('inletC')).toBe('inlet, °C');
    expect(columnTitle('p0.1Kw')).toBe('p0.1, kW');
  });

  it('keeps a last letter that is no unit', () => {
    expect(columnTitle('method')).toBe('method');
    expect(columnTitle('C')).toBe('C');
    expect(columnTitle('sha256')).toBe('sha256');
  });
});

describe('a table', () => {
  const table = { columns: ['name', 'ratedKw', 'scenarios'], values: [['low', 98.123456, 12], ['high', 150.4, 10000]] };

  it('shows numbers as people read them, the same decimals down a column', () => {
    const { text } = tableHtml(table);
    expect(text.split('\n')).toEqual([
      'name  rated, kW  scenarios', 'low        98.1         12', 'high      150.4     10,000',
    ]);
  });

  it('shows no more decimals than asked for', () => {
    const gains = { columns: ['gainKw', 'scenarios'], values: [[0.03049, 3], [1.4293, 4]] };
    expect(tableHtml(gains).text.split('\n')[1]).toBe('   0.030          3');
    expect(tableHtml(gains, { decimals: 1 }).text.split('\n')[1]).toBe('     0.0          3');
    expect(tableHtml(table, { decimals: 2 }).text).toBe(tableHtml(table).text);
  });

  it('says how many rows it leaves out', () => {
    const { html, text } = tableHtml({ columns: ['slot'], values: Array.from({ length: 44 }, (_, i) => [i]) }, { rows: 5 });
    expect(text).toContain('39 more rows');
    expect(html).toContain('39 more rows');
    expect(html.match(/<tr>/g)).toHaveLength(6);
  });

  it('shows a dash for what is missing, in every way that a frame says so, and no NaN', () => {
    const { text } = tableHtml({ columns: ['fromKw'], values: [[null], [undefined], [Number.NaN], [1.5], [Number.POSITIVE_INFINITY]] });
    expect(text).not.toMatch(/NaN|null|undefined|Infinity/);
    expect(text.match(/–/g)).toHaveLength(3);
    expect(text).toContain('unlimited');
  });

  it('shows names from files as text', () => {
    const hostile = '<img src=x onerror="alert(1)">\'&\u202e=1+1';
    const { html } = tableHtml({ columns: [hostile], values: [[hostile]] }, { caption: hostile });
    expect(html).not.toContain('<img');
    expect(html.match(/&lt;img/g)).toHaveLength(3);
    expect(html).toContain('<bdi>');
  });
});
