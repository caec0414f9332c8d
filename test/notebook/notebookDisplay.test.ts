import { existsSync } from 'node:fs';
import * as danfo from 'danfojs-node';
import { beforeAll, describe, expect, it } from 'vitest';
import { classFigure } from '../../lib/figure/index.js';
import {
  classFrame, kernelWriter, limitFrame, notebookDisplay, NotInNotebook, percentileFrame, type Representations, slotFrame,
  worstFrame,
} from '../../lib/notebook/index.js';
import { chromiumPath } from '../../lib/report/index.js';
import { type StudiedRack, studiedRack } from '../figure/studiedRack.js';

let deep: StudiedRack;
beforeAll(async () => {
  deep = await studiedRack('deep-bar-anywhere');
});

interface Shown { readonly data: Representations; readonly id?: string; readonly replaces?: boolean }

function recorded(stillPictures = false) {
  const outputs: Shown[] = [];
  const show = notebookDisplay({
    stillPictures, writer: (data, id, replaces) => outputs.push({ data, ...(id === undefined ? {} : { id, replaces: replaces === true }) }),
  });
  return { outputs, show };
}

describe('a figure in a notebook', () => {
  it('is one output: data for the reader’s own drawing, and its content in words', async () => {
    const { outputs, show } = recorded();
    const figure = classFigure(deep.summary);
    await show.figure(figure);
    expect(outputs).toHaveLength(1);
    expect(Object.keys(outputs[0].data)).toEqual(['application/vnd.plotly.v1+json', 'text/plain']);
    expect(outputs[0].data['application/vnd.plotly.v1+json']).toMatchObject({ data: figure.data, layout: figure.layout });
    expect(outputs[0].data['text/plain']).toBe(`${figure.title}. ${figure.description}`);
  });

  it.skipIf(chromiumPath() === null)('carries a still picture of its layout’s height, where a browser can make one', async () => {
    const { outputs, show } = recorded(true);
    const figure = classFigure(deep.summary);
    await show.figure(figure);
    const png = Buffer.from(outputs[0].data['image/png'] as string, 'base64');
    expect(png.subarray(1, 4).toString('latin1')).toBe('PNG');
    expect(Math.abs(png.readUInt32BE(20) - 1.25 * figure.layout.height)).toBeLessThan(2);
    expect(png.length).toBeGreaterThan(5_000);
    expect(png.length).toBeLessThan(200_000);
  });

  it('comes without a picture where the browser that is named is not there', async () => {
    const before = process.env.SLOTCAST_CHROMIUM;
    process.env.SLOTCAST_CHROMIUM = '/nowhere/chromium';
    try {
      expect(existsSync('/nowhere')).toBe(false);
      const { outputs, show } = recorded(true);
      await show.figure(classFigure(deep.summary));
      expect(Object.keys(outputs[0].data)).not.toContain('image/png');
    } finally {
      if (before === undefined) delete process.env.SLOTCAST_CHROMIUM;
      else process.env.SLOTCAST_CHROMIUM = before;
    }
  });
});

describe('a rack in a notebook', () => {
  it('is a picture that needs no script, with ids that no other rack of the notebook has', () => {
    const { outputs, show } = recorded();
    show.rack(deep.worst, deep.rack.slotCount, 'Lowest');
    show.rack(deep.median, deep.rack.slotCount);
    const [first, second] = outputs.map(({ data }) => data['image/svg+xml'] as string);
    expect(first).toMatch(/^<svg xmlns=/);
    expect(outputs[0].data['text/plain']).toMatch(/^Lowest: scenario \d+ from the front: .*what binds is/);
    const ids = (svg: string) => [...svg.matchAll(/ id="([^"]+)"/g)].map(([, id]) => id);
    expect(ids(first).filter((id) => ids(second).includes(id))).toEqual([]);
  });
});

describe('progress in a cell', () => {
  it('is one line that is written over, from the first to the last scenario', () => {
    const { outputs, show } = recorded();
    const tell = show.progress('scenarios');
    for (let done = 0; done <= 2000; done += 100) tell(done, 2000);
    expect(new Set(outputs.map(({ id }) => id)).size).toBe(1);
    expect(outputs[0]).toMatchObject({ replaces: false });
    expect(outputs.length).toBeLessThan(10);
    expect(outputs.slice(1).every(({ replaces }) => replaces === true)).toBe(true);
    expect(outputs.at(-1)?.data['text/plain']).toBe('2,000 of 2,000 scenarios');
  });
});

describe('outside a notebook', () => {
  it('says that there is no cell to show things in', () => {
    expect(() => kernelWriter()).toThrow(NotInNotebook);
    expect(() => notebookDisplay()).toThrow(/tslab kernel/);
  });
});

describe('answers as danfo data frames', () => {
  it('hold the numbers of the summary with their units in the names', () => {
    const { summary } = deep;
    const percentiles = percentileFrame(danfo, summary);
    expect(percentiles.columns).toEqual(
      ['fallBelowPercent', 'carryMorePercent', 'ratedKw', 'fromKw', 'toKw', 'confidencePercent', 'method']);
    expect(percentiles.ratedKw.values).toEqual(summary.percentiles.map(({ ratedKw }) => ratedKw));
    expect(classFrame(danfo, summary).medianKw.values).toEqual(summary.classes.map(({ medianKw }) => medianKw));
    expect(limitFrame(danfo, summary).scenarios.values).toEqual(summary.limits.map(({ count }) => count));
    expect(worstFrame(danfo, summary).ratedKw.values).toEqual(summary.worst.map(({ ratedKw }) => ratedKw));
  });

  it('show a percentile without interval as a dash', async () => {
    const { summary } = await studiedRack('deep-bar-anywhere', (study) => ({ ...study, percentiles: [0.005, 0.5] }));
    expect(summary.percentiles.some(({ lowerKw }) => lowerKw === null)).toBe(true);
    const { outputs, show } = recorded();
    show.table(percentileFrame(danfo, summary));
    expect(outputs[0].data['text/plain']).toContain('–');
    expect(outputs[0].data['text/plain']).not.toMatch(/NaN|null|undefined/);
  });

  it('give temperatures slot by slot', () => {
    const [solved] = deep.worst.solutions;
    if (solved.status !== 'solved') throw new Error('not solved');
    const frame = slotFrame(danfo, solved);
    expect(frame.shape).toEqual([44, 5]);
    expect(frame.supplyC.values[0]).toBeCloseTo(solved.supplyHottest[0] - 273.15, 6);
    expect(frame.currentUpA.values[0]).toBeCloseTo(solved.segmentCurrent[0], 4);
  });
});
