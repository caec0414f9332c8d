import { describe, expect, it } from 'vitest';
import { type Curve, curvesFigure, type CurvesInput, withoutTitle } from '../../lib/figure/index.js';
import { axisTitle, isPlain, textsOf, traceNamed } from './readFigure.js';

const line = (name: string, factor = 1): Curve =>
  ({ name, points: [[1, factor], [10, 10 * factor], [1000, 99 * factor]] });
const figureOf = (change: Partial<CurvesInput> = {}) => curvesFigure({
  title: 'The model meets the table', description: 'Current against width.',
  x: { label: 'width, mm' }, y: { label: 'current, A' },
  curves: [line('model'), line('handbook', 2)], points: [{ name: 'table', points: [[10, 11]] }], ...change,
});

describe('curves over published points', () => {
  it('shows curves as lines and points as marks, over axes with their units', () => {
    const figure = figureOf();
    expect(traceNamed(figure, 'model')).toMatchObject({ mode: 'lines', x: [1, 10, 1000], y: [1, 10, 99] });
    expect(traceNamed(figure, 'table')).toMatchObject({ mode: 'markers', x: [10], y: [11] });
    expect([axisTitle(figure, 'xaxis'), axisTitle(figure, 'yaxis')]).toEqual(['width, mm', 'current, A']);
    expect([figure.title, figure.description]).toEqual(['The model meets the table', 'Current against width.']);
    expect(isPlain([figure.data, figure.layout])).toBe(true);
  });

  it('tells lines apart by pattern and points by symbol, not by colour alone', () => {
    const names = ['one', 'two', 'three', 'four'];
    const figure = figureOf({
      curves: names.map((name) => line(name)), points: names.map((name) => line(`p ${name}`)),
    });
    const dashes = names.map((name) => (traceNamed(figure, name).line as { dash: string }).dash);
    const symbols = names.map((name) => (traceNamed(figure, `p ${name}`).marker as { symbol: string }).symbol);
    expect([new Set(dashes).size, new Set(symbols).size]).toEqual([4, 4]);
  });

  it('takes the pattern asked for, in the plot and in the key', () => {
    const figure = figureOf({ curves: [{ ...line('model'), dash: 'dashdot' }] });
    expect(traceNamed(figure, 'model').line).toMatchObject({ dash: 'dashdot' });
    expect(figure.layout.shapes?.[0].line).toMatchObject({ dash: 'dashdot' });
  });

  it('has a key with every name, above the plot, that breaks long names and makes room for them', () => {
    const long = 'a name that says at length where the values come from and how they were read';
    const [short, tall] = [figureOf(), figureOf({ points: [{ name: long, points: [[1, 1]] }] })];
    expect(textsOf(tall)).toEqual(expect.arrayContaining(['model', 'handbook', long]));
    const raw = (tall.layout.annotations ?? []).map(({ text }) => text as string)
      .find((text) => text.startsWith('a name'));
    for (const part of raw?.split('<br>') ?? ['']) expect(part.length).toBeLessThanOrEqual(38);
    expect(raw).toContain('<br>');
    const plot = ({ layout }: ReturnType<typeof figureOf>) => layout.height - layout.margin.t - layout.margin.b;
    expect(plot(tall)).toBe(plot(short));
    expect(tall.layout.margin.t).toBe(short.layout.margin.t + 2 * 15);
    const top = withoutTitle(tall).layout.margin.t;
    for (const { yshift } of tall.layout.annotations ?? []) {
      expect(yshift).toBeGreaterThan(0);
      expect(yshift).toBeLessThanOrEqual(top);
    }
  });

  it('has logarithmic axes with whole decades, no more than fit', () => {
    const wide = { name: 'wide', points: [[1e-2, 1], [1e6, 50]] } as const;
    const figure = figureOf({
      x: { label: 'Re', logarithmic: true }, y: { label: 'Nu', logarithmic: true }, curves: [wide], points: [],
    });
    expect(figure.layout.xaxis).toMatchObject({ type: 'log', dtick: 2 });
    expect(figure.layout.yaxis).toMatchObject({ type: 'log', dtick: 'D2' });
    expect(figureOf().layout.xaxis).not.toHaveProperty('type');
  });

  it('shows markup in names and labels as text', () => {
    const figure = figureOf({ x: { label: 'a < b' }, curves: [line('<i>"x"</i>')] });
    expect(textsOf(figure)).toContain('&lt;i&gt;&#34;x&#34;&lt;/i&gt;');
    expect(axisTitle(figure, 'xaxis')).toBe('a &lt; b');
    expect(JSON.stringify(figure)).not.toContain('<i>');
  });
});

describe('bad input', () => {
  it('is more curves or sets of points than can be told apart', () => {
    expect(() => figureOf({ curves: Array(5).fill(line('x')) }))
      .toThrow(/5 curves and 1 sets of values: at most 4 and 4/);
    expect(() => figureOf({ points: Array(5).fill(line('x')) })).toThrow(RangeError);
  });

  it('is a value that an axis cannot show', () => {
    const zero = { name: 'table', points: [[1, 1], [0, 1]] } as const;
    expect(figureOf({ points: [zero] }).data).toHaveLength(3);
    expect(() => figureOf({ x: { label: 'Re', logarithmic: true }, points: [zero] }))
      .toThrow(/"table", point 1, Re: found 0; a finite number above 0/);
    expect(() => figureOf({ curves: [{ name: 'model', points: [[1, Number.NaN]] }] }))
      .toThrow(/"model", point 0, current, A: found NaN; a finite number/);
  });
});
