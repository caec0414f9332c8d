import { beforeAll, describe, expect, it } from 'vitest';
import { contactFigure, temperatureFigure, withoutTitle } from '../../lib/figure/index.js';
import { describeState, type LadderSolution } from '../../lib/ladder/index.js';
import { axisTitle, isPlain, rangeOf, textsOf, tracesNamed } from './readFigure.js';
import { type StudiedRack, studiedRack } from './studiedRack.js';

let rack: StudiedRack;
let solution: LadderSolution;
let others: LadderSolution[];
beforeAll(async () => {
  rack = await studiedRack('plain-bar-even');
  [solution, ...others] = rack.worst.solutions.filter((one): one is LadderSolution => one.status === 'solved');
});

const isLoad = ({ unit }: LadderSolution['units'][number]) => unit.kind === 'load';
const none = () => ({
  ...rack.rack.limits, loadContactCurrent: Number.POSITIVE_INFINITY, contactTemperature: Number.POSITIVE_INFINITY,
});

/** The solution with some of its units changed. */
function changed(
  each: (one: LadderSolution['units'][number], i: number) => LadderSolution['units'][number],
): LadderSolution {
  return { ...solution, units: solution.units.map(each) };
}

const unlimited = () => changed((one) => ({ ...one, unit: { ...one.unit, maxCurrent: Number.POSITIVE_INFINITY } }));

describe('contacts by slot', () => {
  it('shows the current of each source and load at the slot of its contact, A', () => {
    const figure = contactFigure(solution, rack.rack.limits);
    for (const [name, own] of [
      ['sources', solution.units.filter((one) => !isLoad(one))], ['loads', solution.units.filter(isLoad)],
    ] as const) {
      const [currents] = tracesNamed(figure, name);
      expect(currents.y).toEqual(own.map(({ unit }) => unit.contactSlot));
      currents.x.forEach((amperes, i) => { expect(amperes).toBeCloseTo(Math.abs(own[i].current), 2); });
      expect(own.length).toBeGreaterThan(1);
    }
    expect(axisTitle(figure, 'xaxis')).toBe('contact current, A');
  });

  it('shows beside it the warmer contact spot of both poles, °C', () => {
    const warmer = changed((one, i) => (i === 0 ? { ...one, contactTemperature: [310, 355.15] } : one));
    const figure = contactFigure(warmer, rack.rack.limits);
    const spots = tracesNamed(figure, isLoad(warmer.units[0]) ? 'loads' : 'sources')[1];
    expect(spots).toMatchObject({ xaxis: 'x2' });
    expect(spots.x[0]).toBeCloseTo(82, 2);
    expect(axisTitle(figure, 'xaxis2')).toBe('contact spot, °C');
  });

  it('tells sources from loads by symbol, in the plot and in its key', () => {
    const figure = contactFigure(solution, rack.rack.limits);
    const symbol = (name: string) => (tracesNamed(figure, name)[0].marker as { symbol: string }).symbol;
    expect([symbol('sources'), symbol('loads')]).toEqual(['square', 'circle']);
    expect(textsOf(figure)).toEqual(expect.arrayContaining(['■ sources', '● loads']));
  });

  it('draws the limits that exist: of load contacts, of each source over its own slots, of the temperature', () => {
    const limits = { ...rack.rack.limits, loadContactCurrent: 300, contactTemperature: 378.15 };
    const figure = contactFigure(solution, limits);
    const [current, temperature] = tracesNamed(figure, 'limit');
    expect(current.x).toEqual([300, 300]);
    expect(temperature).toMatchObject({ x: [105, 105], xaxis: 'x2' });
    const sources = solution.units.filter((one) => !isLoad(one));
    const drawn = tracesNamed(figure, 'source limit');
    expect(drawn).toHaveLength(sources.length);
    sources.forEach(({ unit }, k) => {
      expect(drawn[k].x).toEqual([unit.maxCurrent, unit.maxCurrent]);
      expect(drawn[k].y).toEqual([unit.bottomSlot - 0.5, unit.bottomSlot + unit.heightSlots - 0.5]);
    });
  });

  it('draws no limit where there is none', () => {
    const figure = contactFigure(unlimited(), none());
    expect([...tracesNamed(figure, 'limit'), ...tracesNamed(figure, 'source limit')]).toEqual([]);
    expect(textsOf(figure).join()).not.toContain('limit');
    expect(figure.title).toBe('No contact has a limit');
    expect(figure.description).toContain('no limit');
  });

  it('keeps every mark and limit within its panel', () => {
    const figure = contactFigure(solution, rack.rack.limits, '', others);
    for (const { x, xaxis } of figure.data) {
      const [low, high] = rangeOf(figure.layout, xaxis === 'x2' ? 'xaxis2' : 'xaxis');
      for (const value of x) {
        expect(value).toBeGreaterThan(low);
        expect(value).toBeLessThan(high);
      }
    }
  });

  it('lines up with the temperatures along the bar', () => {
    const [own, temperature] = [contactFigure(solution, rack.rack.limits, '', others),
      temperatureFigure(solution, rack.rack.limits)].map((figure) => withoutTitle(figure).layout);
    const placeOf = ({ height, margin }: typeof own) => [height, margin.t, margin.b];
    expect(placeOf(own)).toEqual(placeOf(temperature));
    expect(own.yaxis).toEqual(temperature.yaxis);
  });
});

describe('the contact nearest its limit', () => {
  it('is named in the title with value and limit, a load by its current', () => {
    const at = solution.units.findIndex(isLoad);
    const near = changed((one, i) => (i === at ? { ...one, current: 297 } : one));
    expect(contactFigure(near, { ...rack.rack.limits, loadContactCurrent: 300 }, 'Worst').title)
      .toBe(`Worst: the contact nearest its limit is that of the load at slot ${near.units[at].unit.contactSlot}: `
        + '297 A, limit 300 A');
  });

  it('is a source by its own limit', () => {
    const at = solution.units.findIndex((one) => !isLoad(one));
    const near = changed((one, i) => (
      i === at ? { ...one, current: -95, unit: { ...one.unit, kind: 'battery-shelf' as const, maxCurrent: 100 } } : one));
    expect(contactFigure(near, none()).title).toContain(`battery shelf at slot ${near.units[at].unit.contactSlot}: 95 A`);
  });

  it('is the warmest one where its temperature uses more of the way from the air to the limit', () => {
    const at = solution.units.findIndex(isLoad);
    const near = changed((one, i) => (i === at ? { ...one, contactTemperature: [377.15, 330] } : one));
    expect(contactFigure(near, { ...rack.rack.limits, contactTemperature: 378.15 }).title)
      .toContain(`load at slot ${near.units[at].unit.contactSlot}: 104.0 °C, limit 105.0 °C`);
  });

  it('comes with the largest current of sources and loads and the warmest spot in the description', () => {
    const { description } = contactFigure(solution, rack.rack.limits);
    const most = (own: LadderSolution['units']) => Math.max(...own.map(({ current }) => Math.abs(current))).toFixed(0);
    expect(description).toContain(`sources at most ${most(solution.units.filter((one) => !isLoad(one)))} A`);
    expect(description).toContain(`loads at most ${most(solution.units.filter(isLoad))} A`);
    const warmest = Math.max(...solution.units.flatMap(({ contactTemperature }) => contactTemperature)) - 273.15;
    expect(description).toContain(`Warmest contact spot: ${warmest.toFixed(1)} °C`);
  });
});

describe('other operating states', () => {
  it('are hollow, each named where pointed at, and told of in the description', () => {
    const figure = contactFigure(solution, rack.rack.limits, '', others);
    const hollow = [...tracesNamed(figure, 'sources, other states'), ...tracesNamed(figure, 'loads, other states')];
    expect(hollow).toHaveLength(4 * others.length);
    for (const { marker } of hollow) expect((marker as { symbol: string }).symbol).toMatch(/-open$/);
    const words = hollow.flatMap(({ hovertext }) => hovertext as string[]).join();
    for (const { state } of others) expect(words).toContain(describeState(state));
    expect(textsOf(figure)).toContain('□○ other states');
    const most = Math.max(...others.flatMap(({ units }) => units.map(({ current }) => Math.abs(current))));
    expect(figure.description).toContain(`In the ${others.length} other operating states at the same load at most `
      + `${most.toFixed(0)} A and`);
  });
});

it('shows markup in the name of equipment as text and is plain JSON', () => {
  const named = changed((one) => ({ ...one, unit: { ...one.unit, equipment: '<b>"x"</b>' } }));
  const figure = contactFigure(named, rack.rack.limits, '', others);
  expect(tracesNamed(figure, 'loads')[0].hovertext).toEqual(
    expect.arrayContaining([expect.stringContaining('&lt;b&gt;&#34;x&#34;')]));
  expect(JSON.stringify(figure.data)).not.toContain('<b>');
  expect(isPlain([figure.data, figure.layout])).toBe(true);
});
