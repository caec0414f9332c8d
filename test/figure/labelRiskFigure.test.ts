import { describe, expect, it } from 'vitest';
import type { Figure, Trace } from '../../lib/figure/figure.js';
import { labelRiskFigure } from '../../lib/figure/labelRiskFigure.js';
import { type LabelInput, labelJson, labelTable } from '../../lib/label/index.js';
import { counting, floorOf, sampleOf, worstOf } from '../label/labelCase.js';

const sample = sampleOf(counting(1, 1000).map((i) => 100 + i / 20));
const figureOf = (options: Partial<LabelInput> = {}) => {
  const table = labelTable({
    sample, floor: floorOf(98_700), worstFound: worstOf(99_500), percentiles: [0.01, 0.1], ...options,
  });
  return labelRiskFigure(labelJson({ table, recommendations: [] }), table.sample);
};

function traceNamed({ data }: Figure, name: string): Trace {
  const found = data.find((trace) => trace.name === name);
  if (found === undefined) throw new Error(`no trace "${name}" among ${data.map((trace) => trace.name).join(', ')}`);
  return found;
}

const textsOf = ({ layout }: Figure) => (layout.annotations ?? []).map(({ text }) => text as string);
const yRange = ({ layout }: Figure) => (layout.yaxis as { range: [number, number] }).range;

describe('the risk of labels', () => {
  it('shows the share that does not carry each label, %, over the label, kW, on a logarithmic axis', () => {
    const figure = figureOf({ labels: [100_000, 101_000, 110_000] });
    const candidates = traceNamed(figure, 'candidate labels');
    expect(candidates.x).toEqual([100, 101, 110]);
    // 101 kW: scenarios 1..19 of 1000 lie below, 110 kW: 1..199.
    expect(candidates.y[1]).toBeCloseTo(1.9, 9);
    expect(candidates.y[2]).toBeCloseTo(19.9, 9);
    expect((candidates.marker as { symbol: string[] }).symbol).toEqual(['circle-open', 'circle', 'circle']);
    expect(figure.layout.yaxis).toMatchObject({ type: 'log' });
    const share = traceNamed(figure, 'share');
    expect(share.x.length).toBeGreaterThan(50);
    expect(share.y[share.x.indexOf(101)]).toBeCloseTo(1.9, 9);
  });

  it('shades up to the one-sided bound, which lies above the share', () => {
    const figure = figureOf();
    const [lower, upper] = figure.data;
    expect(upper).toMatchObject({ name: 'upper bound, 95 %', fill: 'tonexty' });
    expect(upper.x).toEqual(lower.x);
    upper.y.forEach((value, i) => {
      expect(value).toBeGreaterThanOrEqual(lower.y[i]);
      expect(value).toBeLessThanOrEqual(100);
    });
  });

  it('keeps every point on its logarithmic axis', () => {
    for (const figure of [figureOf(), figureOf({ labels: [90_000, 149_000] })]) {
      const [bottom, top] = yRange(figure).map((power) => 10 ** power);
      for (const { y } of figure.data) {
        for (const value of y) {
          expect(value).toBeGreaterThanOrEqual(bottom * (1 - 1e-12));
          expect(value).toBeLessThanOrEqual(top);
        }
      }
    }
  });

  it('marks floor and worst found with their kW, on lines of text of their own', () => {
    const figure = figureOf();
    expect(figure.layout.shapes?.map(({ x0, x1 }) => [x0, x1])).toEqual([[98.7, 98.7], [99.5, 99.5]]);
    expect(textsOf(figure)).toEqual(['floor 98.7 kW', 'worst found 99.5 kW']);
    const shifts = figure.layout.annotations?.map(({ yshift }) => yshift);
    expect(new Set(shifts).size).toBe(2);
    const [low, high] = (figure.layout.xaxis as { range: [number, number] }).range;
    expect(low).toBeLessThan(98.7);
    expect(high).toBeGreaterThan(99.5);
  });

  it('never writes a floor higher than it is', () => {
    expect(textsOf(figureOf({ floor: floorOf(98_799) }))[0]).toBe('floor 98.7 kW');
  });

  it('says its finding in the title and everything in the description', () => {
    const { title, description } = figureOf({ labels: [98_000, 100_400, 110_000] });
    // Scenarios 1..7 lie below 100.4 kW.
    expect(title).toBe('At a label of 100.4 kW 0.70 % of scenarios do not carry it, at most 1.3 % at 95 % confidence');
    expect(description)
      .toMatch(/Share of 1,000 scenarios .*: 98 kW 0 % \(proven\); 100.4 kW 0.70 %, mostly by bar rise/);
    expect(description).toMatch(/one-sided upper bound at 95 % confidence, which holds for each label on its own/);
    expect(description).toMatch(/floor 98.7 kW, worst found 99.5 kW.*worse placement than the worst found may exist/);
    expect(description).toMatch(/low number: most scenarios carry more\.$/);
  });

  it('stands where no scenario fails: the bound alone, and the finding', () => {
    const few = sampleOf(counting(101, 159));
    const figure = figureOf({ sample: few, labels: [95_000, 100_000] });
    expect(figure.title)
      .toBe('All 59 scenarios carry a label of 100 kW; at 95 % confidence at most 5.0 % of such scenarios do not');
    expect(traceNamed(figure, 'share').x).toEqual([]);
    const upper = traceNamed(figure, 'upper bound, 95 %');
    for (const value of upper.y) expect(value).toBeCloseTo(100 * (1 - 0.05 ** (1 / 59)), 9);
  });

  it('stands without floor, search and bound, with one scenario and with one label', () => {
    const bare = figureOf({ floor: null, worstFound: null });
    expect(textsOf(bare)).toEqual(['lowest of the sample 100.0 kW']);
    expect(bare.description).toMatch(/No floor is proven yet\./);
    const cubes = figureOf({
      sample: sampleOf(counting(101, 120), { sampling: { design: 'latin-hypercube', size: 20 } }), labels: [100_000],
    });
    expect(cubes.data.map(({ name }) => name)).toEqual(['share', 'candidate labels']);
    expect(cubes.description).toMatch(/no upper bound: this design needs at least 2 complete replicates/);
    expect(figureOf({ sample: sampleOf([100]), labels: [100_000] }).title)
      .toMatch(/^The one scenario carries a label of 100 kW/);
    expect(figureOf({ sample: sampleOf([99]), floor: null, worstFound: null, labels: [100_000] }).title)
      .toMatch(/^At a label of 100 kW 100 % of scenarios do not carry it, at most 100 %/);
  });

  it('is plain JSON without a number that is not finite', () => {
    for (const figure of [figureOf(), figureOf({ floor: null, worstFound: null, labels: [100_000] })]) {
      expect(JSON.parse(JSON.stringify(figure))).toEqual(figure);
      expect(JSON.stringify(figure)).not.toMatch(/null|NaN/);
    }
  });
});
