import { beforeAll, describe, expect, it } from 'vitest';
import { isCarried, temperatureHistoryFigure } from '../../lib/figure/index.js';
import { type FollowedLoad, followLoad, operatingStates, TransientLadder } from '../../lib/ladder/index.js';
import { type Limits, loadLoadHistory, loadStudy, ZERO_CELSIUS } from '../../lib/rack/index.js';
import { scenarioSource } from '../../lib/draw/index.js';
import { axisTitle, isPlain, textsOf, traceNamed, tracesNamed } from './readFigure.js';

let limits: Limits;
let followed: readonly FollowedLoad[];

beforeAll(() => {
  const { study } = loadStudy('data-demo/deep-bar-anywhere.json');
  limits = study.rack.limits;
  const { scenario } = scenarioSource(study).draw(205);
  const history = { ...loadLoadHistory('data-demo/pulses.json', () => {}), cycles: 4 };
  const transient = new TransientLadder(study.rack);
  followed = operatingStates(study.rack, scenario).slice(0, 3).map((state) => followLoad(transient, scenario, history, state));
});

/** One moment more, and an end. */
function ended(status: FollowedLoad['status'], utilisation = 0.5): FollowedLoad {
  const [first] = followed;
  const worst = { ...first.points[first.points.length - 1], utilisation };
  return { ...first, status, points: [first.points[0], worst], worst };
}

describe('temperature over a load', () => {
  it('shows the hottest point, the part used and the load over the same time, with units', () => {
    const figure = temperatureHistoryFigure(followed[0], limits);
    const hottest = traceNamed(figure, 'hottest point');
    const { points } = followed[0];
    expect(hottest.x.length).toBe(points.length);
    expect(Math.max(...hottest.y)).toBeCloseTo(Math.max(...points.map((point) => point.hottest)) - ZERO_CELSIUS, 3);
    expect(hottest.x.at(-1)).toBeCloseTo(4 * 180 / 60, 6);
    expect(traceNamed(figure, 'used').y.at(-1)).toBeCloseTo(100 * points[points.length - 1].utilisation, 3);
    expect(['xaxis', 'yaxis', 'yaxis2', 'yaxis3'].map((name) => axisTitle(figure, name)))
      .toEqual(['time, min', 'hottest, °C', 'of the limit, %', 'load, kW']);
    expect(isPlain([figure.data, figure.layout])).toBe(true);
  });

  it('draws the load as steps: one point where each stretch ends, held from the one before', () => {
    const load = traceNamed(temperatureHistoryFigure(followed[0], limits), 'load');
    expect(load.line).toMatchObject({ shape: 'vh' });
    expect(load.x).toEqual([0, 2, 3, 5, 6, 8, 9, 11, 12]);
    expect(load.y).toEqual([60, 125, 55, 125, 55, 125, 55, 125, 55]);
  });

  it('draws a limit of the temperature only where the rack has one', () => {
    const [warm, none] = [ZERO_CELSIUS + 90, Number.POSITIVE_INFINITY]
      .map((barTemperature) => temperatureHistoryFigure(followed[0], { ...limits, barTemperature }));
    expect(tracesNamed(warm, 'limit').map(({ y }) => y[0])).toEqual([90, 100]);
    expect(tracesNamed(none, 'limit').map(({ y }) => y[0])).toEqual([100]);
    expect(isPlain([none.data, none.layout])).toBe(true);
  });

  it('draws the other operating states thin and says how many carry the load', () => {
    const figure = temperatureHistoryFigure(followed[0], limits, '', followed.slice(1));
    const others = tracesNamed(figure, 'other states');
    expect(others).toHaveLength(2);
    for (const { line } of others) expect((line as { width: number }).width).toBe(1);
    expect(textsOf(figure)).toContain('other states');
    expect(figure.description).toContain('2 other operating states carry it too.');
    expect(temperatureHistoryFigure(followed[0], limits, '', [followed[1], ended('voltage-collapse')]).description)
      .toContain('1 of 2 other operating states carry it.');
  });

  it('says in its title whether the load is carried, and when it comes nearest to a limit', () => {
    const { worst } = followed[0];
    expect(temperatureHistoryFigure(followed[0], limits, 'Pulses').title)
      .toBe(`Pulses: carried, with at most ${(100 * (worst?.utilisation ?? 0)).toFixed(1)} % of source power after 11 min`);
    expect(temperatureHistoryFigure(ended('solved', 1.2), limits).title).toMatch(/^Not carried: 120\.0 % of \S+.* after 12 min$/);
    expect(temperatureHistoryFigure(ended('voltage-collapse'), limits).title)
      .toBe('Not carried: the voltage collapses after 12 min');
    expect(temperatureHistoryFigure(ended('no-steady-state'), limits).title).toMatch(/heat runs away/);
  });

  it('warns where the bar is still warming at the end', () => {
    expect(followed[0].timeConstant).toBeGreaterThan(600);
    expect(temperatureHistoryFigure(followed[0], limits).description).toMatch(/still warming at the end/);
    expect(temperatureHistoryFigure({ ...followed[0], timeConstant: 60 }, limits).description).not.toMatch(/still warming/);
  });

  it('refuses a load that has no moment to draw', () => {
    expect(() => temperatureHistoryFigure({ ...followed[0], points: [], worst: null }, limits)).toThrow(/no moment to draw/);
  });
});

describe('a load is carried', () => {
  it('only where it is followed to its end with every limit kept', () => {
    expect([ended('solved', 1), ended('solved', 1.000001), ended('voltage-collapse'), { ...ended('solved'), worst: null }].map(isCarried))
      .toEqual([true, false, false, false]);
  });
});
