import { describe, expect, it } from 'vitest';
import { sensitivityFigure } from '../../lib/figure/index.js';
import { axisTitle, isPlain, rangeOf, textsOf, traceNamed } from './readFigure.js';

const shares = (first: number, total: number, room = 2) => ({
  firstPercent: first, firstLowerPercent: first - room, firstUpperPercent: first + room,
  totalPercent: total, totalLowerPercent: total - room, totalUpperPercent: total + room,
});
const document = {
  samples: 5000, confidencePercent: 95, standardDeviationKw: 14.03, notes: { power: null, below: null },
  percentile: { percent: 1, ratedKw: 111, definition: 'type-8', lowerKw: 110, upperKw: 112, method: 'order statistics' },
  factors: [
    { name: 'placement', words: 'placement', tolerances: [], power: shares(81, 83), below: shares(10, 103, 20) },
    { name: 'filmFactor', words: 'film factor', tolerances: ['filmFactor'], power: shares(-0.1, 1.3), below: shares(0, 29) },
    { name: 'inlet', words: 'inlet air', tolerances: ['inlet'], power: shares(2, 5), below: shares(0, 60) },
  ],
} as const satisfies Parameters<typeof sensitivityFigure>[0];

describe('parts of the variance', () => {
  const figure = sensitivityFigure(document, 'power');

  it('are two bars a row, the factor with the largest total on top', () => {
    const [first, total] = [traceNamed(figure, 'first order'), traceNamed(figure, 'total')];
    expect(first.x).toEqual([-0.1, 2, 81]);
    expect(total.x).toEqual([1.3, 5, 83]);
    first.y.forEach((y, at) => {
      // Side by side within the row, one above the other.
      expect(y - total.y[at]).toBeCloseTo(0.24, 9);
      expect(Math.abs(y - at)).toBeLessThan(0.5);
    });
    expect(textsOf(figure).slice(0, 3)).toEqual([
      'Film factor  <b>−0.1 %</b> alone, 1.3 % in all', 'Inlet air  <b>2.0 %</b> alone, 5.0 % in all',
      'Placement  <b>81.0 %</b> alone, 83.0 % in all',
    ]);
    expect(axisTitle(figure, 'xaxis')).toBe('part of the variance of rated power, %');
  });

  it('have whiskers over their intervals, within the axis', () => {
    for (const output of ['power', 'below'] as const) {
      const drawn = sensitivityFigure(document, output);
      const [low, high] = rangeOf(drawn.layout, 'xaxis');
      for (const { x, error_x: whisker } of drawn.data) {
        const { array, arrayminus } = whisker as { array: number[]; arrayminus: number[] };
        x.forEach((value, at) => {
          expect(value + array[at]).toBeLessThan(high);
          expect(value - arrayminus[at]).toBeGreaterThan(low);
        });
      }
    }
    const { array, arrayminus } = traceNamed(figure, 'total').error_x as { array: number[]; arrayminus: number[] };
    for (const room of [...array, ...arrayminus]) expect(room).toBeCloseTo(2, 9);
  });

  it('never point the wrong way where an interval does not hold its estimate', () => {
    const odd = { ...shares(5, 6), firstLowerPercent: 5.5, firstUpperPercent: 7 };
    const drawn = sensitivityFigure({ ...document, factors: [{ ...document.factors[1], power: odd }] }, 'power');
    expect(traceNamed(drawn, 'first order').error_x).toMatchObject({ array: [2], arrayminus: [0] });
  });

  it('have a finding, and the same in words', () => {
    expect(figure.title).toBe('Placement has a part in 83.0 % of the variance of rated power');
    expect(figure.description).toContain('placement 81.0 % alone (79.0 to 83.0 %), 83.0 % in all (81.0 to 85.0 %)');
    expect(figure.description).toContain('standard deviation 14.0 kW');
    const below = sensitivityFigure(document, 'below');
    expect(below.title).toBe('Placement does most to bring the rated power below its 1 % percentile');
    expect(axisTitle(below, 'xaxis')).toMatch(/falling below/);
    expect(isPlain([figure.data, figure.layout, below.data, below.layout])).toBe(true);
  });

  it('that do not exist are refused with the reason', () => {
    const none = { ...document, notes: { power: 'the same everywhere', below: null },
      factors: document.factors.map((factor) => ({ ...factor, power: null })) };
    expect(() => sensitivityFigure(none, 'power')).toThrow(/the same everywhere/);
    expect(() => sensitivityFigure({ ...document, factors: [] }, 'below')).toThrow(RangeError);
  });
});
