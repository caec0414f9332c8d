import { beforeAll, describe, expect, it } from 'vitest';
import { convergenceFigure } from '../../lib/figure/index.js';
import { type LabelSample, labelSample } from '../../lib/label/index.js';
import { loadStudy, type Study } from '../../lib/rack/index.js';
import { runStudy, summarise, type Summary } from '../../lib/study/index.js';
import { join } from 'node:path';
import { axisTitle, isPlain, rangeOf, textsOf, traceNamed, tracesNamed } from './readFigure.js';

interface Studied {
  readonly summary: Summary;
  readonly sample: LabelSample;
}

async function studied(change: Partial<Study>): Promise<Studied> {
  const { study, inputs } = loadStudy(join(__dirname, '..', '..', 'data-demo', 'plain-bar-even.json'));
  const run = await runStudy({ ...study, scenarios: 1000, stopping: null, ...change }, { workers: 1 });
  return { summary: summarise(run, inputs), sample: labelSample(run) };
}

let plain: Studied;
let stopped: Studied;
let hypercube: Studied;
beforeAll(async () => {
  plain = await studied({});
  stopped = await studied({ stopping: { percentile: 0.05, halfWidth: 2000, lookEvery: 250 } });
  hypercube = await studied({ scenarios: 950, sampling: { design: 'latin-hypercube', size: 100 } });
});

const figureOf = ({ summary, sample }: Studied, percent?: number) => convergenceFigure(summary, sample, percent);
const name = (percent: number) => `${percent} % percentile`;

/** Last of the estimate and of its interval, kW, as the summary has them. */
function lastOf(figure: ReturnType<typeof figureOf>, percent: number) {
  const last = (trace: string) => tracesNamed(figure, trace)[0]?.y.at(-1) ?? null;
  return [last(name(percent)), last('from'), last('to')];
}

/** A study of given values, kW. */
function invented(ratedKw: readonly number[], percent = 50): Studied {
  const [row] = plain.summary.percentiles;
  const percentiles = [{ ...row, percent }];
  const study = { ...plain.summary.study, scenariosRun: ratedKw.length };
  const ratedPower = ratedKw.map((kw) => 1e3 * kw);
  const sample = { ...plain.sample, ratedPower, limit: ratedKw.map(() => 'bar-rise' as const) };
  return { summary: { ...plain.summary, percentiles, study }, sample };
}

describe('a percentile against the number of scenarios', () => {
  it('ends at the percentile and the interval of the summary', () => {
    for (const { percent, ratedKw, lowerKw, upperKw } of plain.summary.percentiles) {
      const found = lastOf(figureOf(plain, percent), percent);
      [ratedKw, lowerKw, upperKw].forEach((expected, i) => {
        expect(found[i]).toBeCloseTo(expected ?? Number.NaN, 6);
      });
    }
  });

  it('ends there too where a stopping rule looked several times, at the confidence of each look', () => {
    const { summary } = stopped;
    expect(summary.study.scenariosRun).toBeLessThan(1000);
    const row = summary.percentiles.find(({ percent }) => percent === 5);
    const figure = figureOf(stopped, 5);
    const found = lastOf(figure, 5);
    [row?.ratedKw, row?.lowerKw, row?.upperKw].forEach((expected, i) => {
      expect(found[i]).toBeCloseTo(expected ?? Number.NaN, 6);
    });
    expect(figure.description).toContain('interval at 98.75 % confidence');
    // The study's own confidence would give a narrower one.
    const single = convergenceFigure(summary, { ...stopped.sample, looks: 1 }, 5);
    expect(single.description).toContain('interval at 95 % confidence');
    expect(lastOf(single, 5)).not.toEqual(found);
  });

  it('has no interval where the summary has none under its stopping rule', async () => {
    const few = await studied({
      scenarios: 100, percentiles: [0.03], stopping: { percentile: 0.03, halfWidth: 1, lookEvery: 10 },
    });
    const [row] = few.summary.percentiles;
    expect(row).toMatchObject({ percent: 3, lowerKw: null });
    const figure = figureOf(few, 3);
    expect(lastOf(figure, 3)).toEqual([expect.closeTo(row.ratedKw, 6), null, null]);
    expect(figure.description).toContain('No interval is drawn');
  });

  it('is found from the first scenarios in the order drawn', () => {
    const figure = figureOf(invented([9, 1, 5, 3, 7, 2, 8, 4, 6, 0].map((kw) => 100 + kw)));
    const { x, y } = traceNamed(figure, name(50));
    expect(y[x.indexOf(1)]).toBe(109);
    expect(y[x.indexOf(3)]).toBe(105);
    expect(y[x.indexOf(5)]).toBe(105);
    expect(y[x.indexOf(10)]).toBe(104.5);
  });

  it('is drawn at about forty sizes that grow in the same ratio, on a logarithmic axis', () => {
    const figure = figureOf(plain, 5);
    const { x } = traceNamed(figure, name(5));
    expect(x.length).toBeGreaterThan(30);
    expect(x.length).toBeLessThanOrEqual(40);
    expect(x.at(-1)).toBe(1000);
    const ratios = x.slice(1).map((size, i) => size / x[i]);
    for (const ratio of ratios) expect(ratio).toBeCloseTo((1000 / x[0]) ** (1 / 39), 1);
    expect(figure.layout.xaxis).toMatchObject({ type: 'log' });
    expect(10 ** rangeOf(figure.layout, 'xaxis')[0]).toBeLessThan(x[0]);
    expect(10 ** rangeOf(figure.layout, 'xaxis')[1]).toBeGreaterThan(1000);
    expect(axisTitle(figure, 'xaxis')).toContain('scenarios');
    expect(axisTitle(figure, 'yaxis')).toBe('5 % percentile, kW');
  });

  it('has hollow points where too few scenarios give no interval, and says so', () => {
    const figure = figureOf(plain, 1);
    const { x, marker } = traceNamed(figure, name(1));
    const { symbol } = marker as { symbol: string[] };
    // smallestSampleForInterval(0.01, 0.95) is 368.
    x.forEach((size, i) => { expect(symbol[i]).toBe(size < 368 ? 'circle-open' : 'circle'); });
    expect(x[0]).toBeLessThan(368);
    expect(traceNamed(figure, 'from').x).toEqual(x.filter((size) => size >= 368));
    expect(figure.description).toContain('Hollow points: too few scenarios');
    expect(textsOf(figure)).toContain('○ without interval');
  });

  it('shows the percentile that a report puts first unless told', () => {
    expect(figureOf(plain).title).toContain('1 % percentile');
    expect(figureOf(plain, 50).title).toContain('50 % percentile');
  });

  it('says that each interval holds by itself, and that nearness to the final value is no accuracy', () => {
    const { description } = figureOf(plain);
    expect(description).toContain('for each number of scenarios by itself, not for all of them together');
    expect(description).toContain('not how far the true value lies');
    expect(description).toContain('1 % of scenarios fall below it');
  });
});

describe('its finding', () => {
  it('is the size from which it stays within a hundredth of its final value', () => {
    const steady = [...Array(30).fill(80), ...Array(970).fill(100)];
    const figure = figureOf(invented(steady));
    const { x, y } = traceNamed(figure, name(50));
    const from = x.find((size) => size > 60) ?? 0;
    expect(y[x.indexOf(from) - 1]).toBeLessThan(99);
    expect(figure.title).toBe(`From ${from} scenarios on the 50 % percentile stays within ±1 kW of its final 100.0 kW`);
  });

  it('is that it does not settle where only the last size is near', () => {
    const rising = Array.from({ length: 200 }, (_, i) => 100 + i);
    expect(figureOf(invented(rising)).title).toMatch(/only at the last of 200 scenarios$/);
  });

  it('is the value itself where all scenarios are alike, 0 kW and one scenario among them', () => {
    expect(figureOf(invented(Array(50).fill(30))).title).toBe('The 50 % percentile is 30.0 kW from 4 scenarios on');
    expect(figureOf(invented([0, 0, 0])).title).toBe('The 50 % percentile is 0.0 kW from 1 scenario on');
    expect(isPlain(figureOf(invented([12])).layout)).toBe(true);
  });
});

describe('of a design of sampling', () => {
  it('shows whole replicates, with intervals from two of them on', () => {
    const figure = figureOf(hypercube, 50);
    expect(traceNamed(figure, name(50)).x).toEqual([100, 200, 300, 400, 500, 600, 700, 800, 900]);
    const bounded = traceNamed(figure, 'from').x as number[];
    expect(bounded).not.toContain(100);
    expect(bounded.at(-1)).toBe(900);
    expect(figure.description).toContain('whole replicates of 100');
    expect(figure.description).toContain('too few replicates for one');
  });

  it('ends at the percentile of the summary and its interval', () => {
    const row = hypercube.summary.percentiles.find(({ percent }) => percent === 50);
    expect(row?.method).toBe('independent replicates');
    const ends = lastOf(figureOf(hypercube, 50), 50);
    for (const [at, kw] of [row?.ratedKw, row?.lowerKw, row?.upperKw].entries()) expect(ends[at]).toBeCloseTo(kw ?? Number.NaN, 6);
  });

  it('is refused where there is no whole replicate', () => {
    const study = { ...hypercube.summary.study, scenariosRun: 40 };
    const sample = { ...hypercube.sample, ratedPower: Array.from(hypercube.sample.ratedPower).slice(0, 40) };
    expect(() => convergenceFigure({ ...hypercube.summary, study }, sample, 50))
      .toThrow(/found 40 scenarios; at least one whole replicate of 100 is needed/);
  });
});

describe('bad input', () => {
  it('is a percentile that the study does not have', () => {
    expect(() => figureOf(plain, 2)).toThrow(/percent: found 2; percentiles of the study, %: 1, 5, 50/);
    expect(() => convergenceFigure({ ...plain.summary, percentiles: [] }, plain.sample)).toThrow(RangeError);
  });

  it('is not one value per scenario run', () => {
    const ratedPower = Array.from(plain.sample.ratedPower).slice(1);
    expect(() => convergenceFigure(plain.summary, { ...plain.sample, ratedPower })).toThrow(/found 999 scenarios; .* 1000/);
  });

  it('is a value that is not finite', () => {
    expect(() => figureOf(invented([1, Number.NaN, 3]))).toThrow(/a finite/);
  });
});

it('is plain JSON', () => {
  for (const figure of [figureOf(plain), figureOf(stopped, 5), figureOf(hypercube)]) {
    expect(isPlain([figure.data, figure.layout])).toBe(true);
  }
});
