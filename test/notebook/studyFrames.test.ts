/** Frames of copper, sensitivity and loads over time: the numbers of their documents, units in the names. */
import * as danfo from 'danfojs-node';
import { beforeAll, describe, expect, it } from 'vitest';
import { scenarioSource } from '../../lib/draw/index.js';
import { followLoad, operatingStates, TransientLadder } from '../../lib/ladder/index.js';
import {
  columnTitle, copperFrame, copperLoadFrame, correlationFrame, historyFrame, shiftFrame, tableHtml, tightenFrame,
} from '../../lib/notebook/index.js';
import { loadCopper, loadStudy } from '../../lib/rack/index.js';
import {
  copperDesigns, type CopperDocument, copperDocument, copperStudy, sensitivity, type SensitivityDocument, sensitivityDocument,
} from '../../lib/study/index.js';

let copper: CopperDocument;
let parts: SensitivityDocument;

beforeAll(() => {
  const { request, study, inputs } = loadCopper('data-demo/deep-bar-copper.json');
  const designs = copperDesigns(study, request.designs.slice(-4));
  const { percentile, load, prices, balance } = request;
  const answer = copperStudy(study, designs.designs, { percentile, load, prices, scenarios: 400, ...(balance && { balance }) });
  copper = copperDocument({ request, inputs, designs, answer, least: null, command: null });
  parts = sensitivityDocument(sensitivity(study, { samples: 120, resamples: 50 }), { study, inputs, command: null });
});

const textOf = (frame: danfo.DataFrame) => tableHtml(frame).text;

describe('bars of a copper study', () => {
  it('hold mass, price, percentile and the difference to the base', () => {
    const frame = copperFrame(danfo, copper);
    const { designs } = copper;
    expect(frame.columns).toEqual([
      'front', 'bar', 'massKg', 'price', 'ratedKw', 'fromKw', 'toKw', 'gainKw', 'gainFromKw', 'gainToKw']);
    expect(frame.bar.values).toEqual(designs.map(({ name }) => name));
    expect(frame.ratedKw.values).toEqual(designs.map(({ ratedKw }) => ratedKw));
    expect(frame.massKg.values).toEqual(designs.map(({ copperKg }) => copperKg));
    expect(frame.gainFromKw.values.map((value: number) => (Number.isFinite(value) ? value : null)))
      .toEqual(designs.map(({ differenceLowerKw }) => differenceLowerKw));
    const base = designs.findIndex(({ isBase }) => isBase);
    expect(frame.front.values[base]).toBe('base');
    expect(textOf(frame)).toContain('gain, kW');
    expect(textOf(frame)).not.toMatch(/NaN|null|undefined/);
  });

  it('have a floor only where one was proven, rounded down', () => {
    const floors = { ...copper, designs: copper.designs.map((row, k) => ({ ...row, floorKw: k === 0 ? 76.89 : null })) };
    expect(copperFrame(danfo, floors).floorKw.values[0]).toBe(76.8);
    expect(copperFrame(danfo, copper).columns).not.toContain('floorKw');
  });

  it('show drop, heat and tipping, and leave tipping out where it was not asked for', () => {
    const frame = copperLoadFrame(danfo, copper);
    expect(frame.highDropMv.values).toEqual(copper.designs.map(({ dropHighMv }) => Math.round(dropHighMv ?? Number.NaN)));
    expect(columnTitle('highDropMv')).toBe('high drop, mV');
    expect(columnTitle('tipsAtDegrees')).toBe('tips at, °');
    expect(frame.tipsAtDegrees.values).toEqual(copper.designs.map(({ tipping }) => tipping?.angleDegrees));
    expect(frame.columns).not.toContain('unsolvedScenarios');
    const unsolved = { designs: copper.designs.map((row, k) => ({ ...row, unsolvedAtLoad: k })) };
    expect(copperLoadFrame(danfo, unsolved).unsolvedScenarios.values).toEqual(copper.designs.map((_, k) => k));
    const without = { designs: copper.designs.map((row) => ({ ...row, tipping: null })) };
    expect(copperLoadFrame(danfo, without).columns).not.toContain('tipsAtDegrees');
  });
});

describe('a sensitivity study', () => {
  it('gives the gain by each tolerance, the largest first, and by all of them last', () => {
    const frame = tightenFrame(danfo, parts);
    expect(frame.tolerance.values).toEqual([...parts.tolerances.map(({ words }) => words), 'all of them together']);
    expect(frame.halvedKw.values.at(-1)).toBe(parts.allTolerances.halved.changeKw);
    expect(frame.removedToKw.values[0]).toBe(parts.tolerances[0].removed.upperKw);
    expect(tightenFrame(danfo, { ...parts, tolerances: [] }).tolerance.values).toEqual(['all of them together']);
  });

  it('gives what a shift of all values changes, without those that cannot be shifted', () => {
    const shifted = parts.tolerances.filter(({ perUnit }) => perUnit !== null);
    expect(shifted.length).toBeLessThan(parts.tolerances.length);
    const frame = shiftFrame(danfo, parts);
    expect(frame.changeKw.values).toEqual(shifted.map(({ perUnit }) => perUnit?.changeKw));
    expect(frame.moveBy.values).toContain('+1 µΩ');
  });

  it('gives rank correlations by what people call the quantities', () => {
    const frame = correlationFrame(danfo, parts);
    expect(frame.rankCorrelation.values).toEqual(parts.rankCorrelations.map(({ coefficient }) => coefficient));
    expect(frame.quantity.values).toContain('film factor');
    expect(frame.quantity.values).not.toContain('filmFactor');
  });
});

describe('a load over time', () => {
  it('is a row for each operating state, with the moment nearest to a limit', () => {
    const { study } = loadStudy('data-demo/deep-bar-anywhere.json');
    const { scenario } = scenarioSource(study).draw(0);
    const transient = new TransientLadder(study.rack);
    const history = { name: 'short', before: 60e3, steps: [{ duration: 60, power: 125e3 }], cycles: 1 };
    const followed = operatingStates(study.rack, scenario).map((state) => followLoad(transient, scenario, history, state));
    const frame = historyFrame(danfo, [...followed, { ...followed[0], status: 'voltage-collapse', points: [], worst: null }]);
    expect(frame.state.values.slice(0, 2)).toEqual(['all in service', expect.stringMatching(/^source at slot \d+ out$/)]);
    expect(frame.mostUsedPercent.values[0]).toBe(100 * (followed[0].worst?.utilisation ?? 0));
    expect(frame.carried.values.at(-1)).toBe('no');
    expect(textOf(frame)).toContain('–');
    expect(textOf(frame)).not.toMatch(/NaN|null|undefined|Infinity/);
  });
});
