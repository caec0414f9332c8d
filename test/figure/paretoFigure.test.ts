import { describe, expect, it } from 'vitest';
import { paretoFigure } from '../../lib/figure/index.js';
import type { CopperRow } from '../../lib/study/index.js';

const row = (name: string, copperKg: number, ratedKw: number, change: Partial<CopperRow> = {}): CopperRow => ({
  name, isBase: false, mark: null, copperKg, centreHeightMm: 900, kgByMaterial: {}, price: null, ratedKw, lowerKw: ratedKw - 1,
  upperKw: ratedKw + 1, method: 'order statistics', differenceKw: null, differenceLowerKw: null, differenceUpperKw: null,
  varianceReduction: null, varianceCommonKw2: null, varianceIndependentKw2: null, floorKw: null, floorSettled: null,
  dropHighMv: null, dropLargestMv: null, barHeatW: null, heatW: null, unsolvedAtLoad: 0, notRated: 0, failed: false,
  onFront: false, tipping: null, ...change,
});
const study = { name: 's', seed: 'x', scenarios: 100, confidencePercent: 95 };
const figureOf = (designs: CopperRow[]) => paretoFigure({
  designs, front: { cost: 'mass', worth: 'percentile' }, percentilePercent: 1, currency: null, study,
});

describe('the chart of a front', () => {
  const figure = figureOf([
    row('light <b>', 50, 90, { onFront: true, mark: 'A' }), row('base', 60, 100, { isBase: true, onFront: true }), row('worse', 65, 95),
    row('best', 80, 120, { onFront: true, mark: 'B' }), row('broken', 1, 500, { failed: true }),
  ]);

  it('joins those that are not beaten by steps, and leaves out what failed', () => {
    const of = (name: string) => figure.data.find((trace) => trace.name === name);
    expect(of('front')).toMatchObject({ x: [50, 60, 80], y: [90, 100, 120], line: { shape: 'hv' } });
    expect(of('beaten')).toMatchObject({ x: [65], y: [95] });
    expect(of('base')).toMatchObject({ x: [60], y: [100], marker: { symbol: 'square' } });
    expect(JSON.stringify(figure)).not.toMatch(/500|broken/);
  });

  it('has the finding as its title, the front in words, and names without markup', () => {
    expect(figure.title).toBe('“best” is the next step up: 20.0 kW more for 20.0 kg more');
    expect(figure.description).toMatch(/A “light <b>” 50\.0 kg, 90\.0 kW; “base”.*1 design beaten/);
    expect(JSON.stringify(figure.data)).not.toContain('<b>');
    expect(figureOf([row('base', 60, 100, { isBase: true, onFront: true })]).title).toBe('No design carries more than the base');
  });

  it('is refused where there is nothing to draw', () => {
    expect(() => figureOf([])).toThrow(RangeError);
  });
});
