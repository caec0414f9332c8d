import { beforeAll, describe, expect, it } from 'vitest';
import {
  bindingFigure, classFigure, currentFigure, distributionFigure, type Figure, slotHeatFigure, temperatureFigure,
  type Trace, withoutTitle,
} from '../../lib/figure/index.js';
import { describeState, LIMIT_WORDS, type LadderSolution } from '../../lib/ladder/index.js';
import { onlyBarTemperature, type StudiedRack, studiedRack } from './studiedRack.js';

let deep: StudiedRack;
let plain: StudiedRack;
beforeAll(async () => {
  deep = await studiedRack('deep-bar-anywhere');
  plain = await studiedRack('plain-bar-even');
});

function otherStates({ worst }: StudiedRack): LadderSolution[] {
  return worst.solutions.slice(1).filter((one): one is LadderSolution => one.status === 'solved');
}

function solved({ worst }: StudiedRack): LadderSolution {
  const shown = worst.solutions[0];
  if (shown.status !== 'solved') throw new Error(`scenario ${worst.scenario.index}: ${shown.status}`);
  return shown;
}

function traceNamed({ data }: Figure, name: string): Trace {
  const found = data.find((trace) => trace.name === name);
  if (found === undefined) throw new Error(`no trace "${name}" among ${data.map((trace) => trace.name).join(', ')}`);
  return found;
}

function axisTitle({ layout }: Figure, name: string): string {
  return (layout[name] as { title: { text: string } }).title.text;
}

const textsOf = ({ layout }: Figure) => (layout.annotations ?? []).map(({ text }) => text as string);

function allFigures(rack: StudiedRack): Figure[] {
  const { summary, sortedRatedKw } = rack;
  return [
    distributionFigure(summary, sortedRatedKw), bindingFigure(summary), slotHeatFigure(summary), classFigure(summary),
    temperatureFigure(solved(rack), rack.rack.limits, 'Worst'), currentFigure(solved(rack), 'Worst'),
  ];
}

describe('every figure', () => {
  it('is plain JSON without a number that is not finite', () => {
    for (const figure of [...allFigures(deep), ...allFigures(plain)]) {
      const walk = (value: unknown): void => {
        if (typeof value === 'number') expect(Number.isFinite(value)).toBe(true);
        else if (typeof value === 'object' && value !== null) Object.values(value).forEach(walk);
        else expect(['string', 'boolean']).toContain(typeof value);
      };
      walk({ data: figure.data, layout: figure.layout });
      expect(JSON.parse(JSON.stringify(figure))).toEqual(figure);
    }
  });

  it('says its finding in the title, broken into short lines, and its content in a sentence', () => {
    for (const { title, description, layout } of allFigures(deep)) {
      const lines = layout.title?.text.split('<br>') ?? [];
      expect(lines.join(' ')).toBe(title);
      for (const line of lines) expect(line.length).toBeLessThanOrEqual(36);
      expect(title).toMatch(/\d/);
      expect(description).toMatch(/\.$/);
    }
  });

  it('keeps its plot where it is when the page writes the title', () => {
    for (const figure of allFigures(deep)) {
      const bare = withoutTitle(figure);
      const plot = ({ layout: { height, margin } }: Figure) => height - margin.t - margin.b;
      expect(bare.layout.title).toBeUndefined();
      expect(plot(bare)).toBe(plot(figure));
      expect(withoutTitle(bare)).toBe(bare);
    }
  });

  it('that runs over the slots gives each slot the same height, slot 1 at the bottom', () => {
    const { slotCount } = deep.rack;
    for (const figure of [slotHeatFigure(deep.summary), temperatureFigure(solved(deep), deep.rack.limits),
      currentFigure(solved(deep))]) {
      expect(axisTitle(figure, 'yaxis')).toBe('slot, 1 at the bottom');
      expect((figure.layout.yaxis as { range: number[] }).range).toEqual([0.5, slotCount + 0.5]);
      const { height, margin } = withoutTitle(figure).layout;
      expect(height - margin.t - margin.b).toBe(12 * slotCount);
    }
  });

  it('leaves the results as they were', () => {
    const before = JSON.stringify([deep.summary, deep.sortedRatedKw]);
    allFigures(deep);
    expect(JSON.stringify([deep.summary, deep.sortedRatedKw])).toBe(before);
  });
});

describe('the distribution of rated power', () => {
  it('counts every scenario once, over an axis in kW', () => {
    const figure = distributionFigure(deep.summary, deep.sortedRatedKw);
    const bars = traceNamed(figure, 'scenarios');
    expect(bars.y.reduce((sum, count) => sum + count, 0)).toBe(deep.summary.study.scenariosRated);
    const widths = bars.width as number[];
    expect(bars.x[0] - widths[0] / 2).toBeCloseTo(deep.summary.lowestKw, 5);
    expect(bars.x[bars.x.length - 1] + widths[0] / 2).toBeCloseTo(deep.summary.highestKw, 5);
    expect(axisTitle(figure, 'xaxis')).toBe('rated power, kW');
    expect(axisTitle(figure, 'yaxis')).toMatch(/^scenarios per \d+(\.\d+)? kW$/);
  });

  it('marks each percentile at its kW with whiskers that end at its interval', async () => {
    // Of 400 scenarios half a per cent has no interval.
    const { summary, sortedRatedKw } = await studiedRack('deep-bar-anywhere', (study) => ({ ...study, percentiles: [0.005, 0.01, 0.5] }));
    const figure = distributionFigure(summary, sortedRatedKw);
    for (const row of summary.percentiles) {
      const mark = traceNamed(figure, `${row.percent} % below`);
      expect(mark.x).toEqual([row.ratedKw]);
      if (row.lowerKw === null || row.upperKw === null) {
        expect(mark.error_x).toBeUndefined();
      } else {
        const { array, arrayminus } = mark.error_x as { array: number[]; arrayminus: number[] };
        expect(mark.x[0] + array[0]).toBeCloseTo(row.upperKw, 9);
        expect(mark.x[0] - arrayminus[0]).toBeCloseTo(row.lowerKw, 9);
      }
      expect(textsOf(figure)).toContain(row.ratedKw.toFixed(1));
    }
    expect(summary.percentiles.some(({ lowerKw }) => lowerKw === null)).toBe(true);
    expect(summary.percentiles.some(({ lowerKw }) => lowerKw !== null)).toBe(true);
  });

  it('marks the lowest found and does not call it a floor', () => {
    const figure = distributionFigure(deep.summary, deep.sortedRatedKw);
    expect(traceNamed(figure, 'lowest found').x).toEqual([deep.summary.lowestKw]);
    expect(figure.description).toContain('not a proven floor');
  });

  it('spells out in its title which share carries more', () => {
    const { title } = distributionFigure(deep.summary, deep.sortedRatedKw);
    expect(title).toMatch(/^\d+ % of scenarios fall below [\d.]+ kW, \d+ % carry more$/);
  });

  it('shows a sample of one and the same value, and one of nothing but 0 kW', () => {
    const same = (kw: number) => {
      const summary = { ...deep.summary, lowestKw: kw, highestKw: kw, percentiles: [] };
      return distributionFigure(summary, [kw, kw, kw]);
    };
    expect(same(30).title).toBe('Every scenario is rated at 30.0 kW');
    expect(traceNamed(same(30), 'scenarios').y).toEqual([3]);
    expect(same(0).title).toMatch(/^No scenario carries any load/);
  });

  it('says so where all placements carry nearly the same, with digits that tell them apart', () => {
    const summary = { ...deep.summary, lowestKw: 29.961, highestKw: 29.98, percentiles: [] };
    const { title, layout } = distributionFigure(summary, [29.961, 29.97, 29.98]);
    expect(title).toBe('All scenarios lie between 29.961 and 29.980 kW, within 1 % of each other');
    expect(axisTitle({ title, layout, data: [], description: '' }, 'yaxis')).toMatch(/ W$/);
  });

  it('keeps to eight marks where very many percentiles are asked for', () => {
    const row = deep.summary.percentiles[1];
    const percentiles = Array.from({ length: 99 }, (_, i) => ({ ...row, percent: i + 1, ratedKw: 100 + i / 2 }));
    const figure = distributionFigure({ ...deep.summary, percentiles }, deep.sortedRatedKw);
    expect(figure.data).toHaveLength(1 + 8 + 1);
  });
});

describe('temperature along the bar', () => {
  it('shows the rise of both poles over the slots, K, and the air in °C', () => {
    const solution = solved(deep);
    const figure = temperatureFigure(solution, deep.rack.limits);
    const poles = [['supply', solution.supplyHottest], ['return', solution.returnHottest]] as const;
    for (const [name, pole] of poles) {
      const trace = traceNamed(figure, name);
      expect(trace.y).toEqual(Array.from(pole, (_, i) => i + 1));
      trace.x.forEach((rise, i) => {
        expect(rise).toBeCloseTo(pole[i] - solution.air[i], 2);
      });
    }
    traceNamed(figure, 'air').x.forEach((celsius, i) => {
      expect(celsius).toBeCloseTo(solution.air[i] - 273.15, 2);
    });
    expect(axisTitle(figure, 'xaxis')).toBe('rise above local air, K');
    expect(axisTitle(figure, 'xaxis2')).toBe('air, °C');
  });

  it('names the highest rise with its slot in the title', () => {
    const solution = solved(plain);
    let [most, slot] = [0, 0];
    for (let i = 0; i < solution.air.length; i++) {
      const rise = Math.max(solution.supplyHottest[i], solution.returnHottest[i]) - solution.air[i];
      if (rise > most) [most, slot] = [rise, i + 1];
    }
    const { title } = temperatureFigure(solution, plain.rack.limits, 'Worst of the sample');
    expect(title).toContain(`Worst of the sample: the bar rises by at most ${most.toFixed(1)} K, at slot ${slot}`);
  });

  it('draws the limit line where the rack has a bar-rise limit, and none where it has none', () => {
    const solution = solved(deep);
    const limits = { ...deep.rack.limits, barRise: 30, barTemperature: Number.POSITIVE_INFINITY };
    expect(traceNamed(temperatureFigure(solution, limits), 'limit 30.0 K').x).toEqual([30, 30]);
    const none = temperatureFigure(solution, { ...limits, barRise: Number.POSITIVE_INFINITY });
    expect(none.data.map(({ name }) => name)).toEqual(['supply', 'return', 'air']);
    expect(none.description).toContain('limits neither rise nor temperature');
  });

  it('draws a limit of bar temperature as the rise that is left above the local air', () => {
    const solution = solved(deep);
    const figure = temperatureFigure(solution, { ...deep.rack.limits, barTemperature: 343.15 });
    traceNamed(figure, 'limit 70.0 °C').x.forEach((rise, i) => {
      expect(rise).toBeCloseTo(343.15 - solution.air[i], 2);
    });
  });
});

describe('temperature along the bar in other operating states', () => {
  it('is drawn thin for both poles below the state shown, each named where pointed at, with one entry in the key', () => {
    const others = otherStates(plain);
    const figure = temperatureFigure(solved(plain), plain.rack.limits, '', others);
    const thin = figure.data.filter(({ name }) => name === 'other states');
    expect(thin).toHaveLength(2 * others.length);
    others.forEach((other, k) => {
      for (const [p, pole] of [other.supplyHottest, other.returnHottest].entries()) {
        const trace = thin[2 * k + p];
        trace.x.forEach((rise, i) => { expect(rise).toBeCloseTo(pole[i] - other.air[i], 2); });
        expect(trace.hovertemplate).toContain(describeState(other.state));
        expect(trace.hovertemplate).toContain(['supply', 'return'][p]);
      }
    });
    // Drawn first, so that the state shown lies over them.
    expect(figure.data[0].name).toBe('other states');
    expect(textsOf(figure).filter((text) => text === 'other states')).toHaveLength(1);
    expect(textsOf(temperatureFigure(solved(plain), plain.rack.limits))).not.toContain('other states');
  });

  it('is compared with the state shown in the description', () => {
    const shown = solved(plain);
    const cooler = {
      ...shown, supplyHottest: shown.supplyHottest.map((t) => t - 4), returnHottest: shown.returnHottest.map((t) => t - 4),
    };
    expect(temperatureFigure(shown, plain.rack.limits, '', [cooler]).description)
      .toMatch(/In the other operating state at the same load at most [\d.]+ K, 4\.0 K less than shown\.$/);
    expect(temperatureFigure(cooler, plain.rack.limits, '', [shown]).description).toMatch(/4\.0 K more than shown\.$/);
  });

  it('leaves the plot where it is', () => {
    const [alone, all] = [[], otherStates(plain)].map((others) =>
      withoutTitle(temperatureFigure(solved(plain), plain.rack.limits, '', others)).layout);
    expect([all.height, all.margin]).toEqual([alone.height, alone.margin]);
  });
});

describe('a title', () => {
  it('shows markup and quotation marks in a name as text', () => {
    const { title, layout } = currentFigure(solved(deep), '<b>A & "B"</b>');
    expect(title).toContain('<b>A & "B"</b>');
    // The plotting library knows a quotation mark by its number only.
    expect(layout.title?.text.replace(/<br>/g, ' ')).toContain('&lt;b&gt;A &amp; &#34;B&#34;&lt;/b&gt;');
  });
});

describe('current along the bar', () => {
  it('stands between the slots it flows between, in A, with its largest in the title', () => {
    const solution = solved(deep);
    const figure = currentFigure(solution);
    const { x, y } = traceNamed(figure, 'supply');
    expect(y[0]).toBe(1.5);
    expect(x).toHaveLength(deep.rack.slotCount - 1);
    x.forEach((current, i) => {
      expect(current).toBeCloseTo(solution.segmentCurrent[i], 2);
    });
    const largest = Math.max(...x.map(Math.abs));
    const at = x.findIndex((current) => Math.abs(current) === largest);
    expect(figure.title.replace(/(\d),(\d)/, '$1$2'))
      .toBe(`At most ${largest.toFixed(0)} A along the bar, between slots ${at + 1} and ${at + 2}`);
    expect(figure.description).toContain(x[at] < 0 ? 'downwards' : 'upwards');
    expect(axisTitle(figure, 'xaxis')).toContain('A (+ is up)');
  });

  it('shows the return pole as large the other way, dashed', () => {
    const figure = currentFigure(solved(deep));
    const [supply, back] = [traceNamed(figure, 'supply'), traceNamed(figure, 'return')];
    expect(back.x.map((current) => -current + 0)).toEqual(supply.x);
    expect(back.y).toEqual(supply.y);
    expect((back.line as { dash: string }).dash).toMatch(/px/);
    const [left, right] = (figure.layout.xaxis as { range: [number, number] }).range;
    for (const current of [...supply.x, ...back.x]) {
      expect(current).toBeGreaterThan(left);
      expect(current).toBeLessThan(right);
    }
  });

  it('shows the other operating states thinner, each named where pointed at, with one entry in the key', () => {
    const others = otherStates(plain);
    const figure = currentFigure(solved(plain), '', others);
    const thin = figure.data.filter(({ name }) => name === 'other states');
    expect(thin).toHaveLength(others.length);
    thin.forEach((trace, k) => {
      expect(trace.hovertemplate).toContain(describeState(others[k].state));
      trace.x.forEach((current, i) => { expect(current).toBeCloseTo(others[k].segmentCurrent[i], 2); });
      expect((trace.line as { width: number }).width).toBeLessThan(2);
    });
    expect(textsOf(figure).filter((text) => text === 'other states')).toHaveLength(1);
    expect(textsOf(currentFigure(solved(plain)))).toEqual(['supply', 'return']);
  });

  it('tells how the largest current of the other states compares', () => {
    const shown = solved(plain);
    const largest = Math.max(...shown.segmentCurrent.map(Math.abs));
    const half = { ...shown, segmentCurrent: shown.segmentCurrent.map((current) => current / 2) };
    const { description } = currentFigure(shown, '', [half, half]);
    expect(description).toContain(`In the 2 other operating states at the same load at most ${(largest / 2).toFixed(0)} A, `
      + `${(largest / 2).toFixed(0)} A less than shown.`);
    expect(currentFigure(half, '', [shown]).description).toMatch(/In the other operating state at .* A more than shown\.$/);
    expect(currentFigure(shown, '', [shown]).description).toMatch(/as much as shown\.$/);
  });

  it('says so where the bar has one slot', () => {
    const one = { ...solved(deep), segmentCurrent: new Float64Array(0) };
    expect(currentFigure(one).title).toBe('A bar of one slot carries no current along it');
  });
});

describe('what binds', () => {
  it('shows each share with the ends of its interval, the most frequent on top', () => {
    const { limits } = deep.summary;
    const figure = bindingFigure(deep.summary);
    const bars = traceNamed(figure, 'share of scenarios');
    const { array, arrayminus } = bars.error_x as { array: number[]; arrayminus: number[] };
    limits.forEach((row, i) => {
      const at = limits.length - 1 - i;
      expect(bars.x[at]).toBe(row.sharePercent);
      expect(bars.x[at] + array[at]).toBeCloseTo(row.upperPercent, 9);
      expect(bars.x[at] - arrayminus[at]).toBeCloseTo(row.lowerPercent, 9);
      expect(textsOf(figure)[at]).toContain(LIMIT_WORDS[row.limit]);
    });
    expect(limits.length).toBeGreaterThan(1);
    expect(figure.title.toLowerCase()).toContain(LIMIT_WORDS[limits[0].limit]);
    expect(axisTitle(figure, 'xaxis')).toContain('%');
  });

  it('says how often each slot binds, in per cent of the rated scenarios', () => {
    const bindingSlotCounts = [0, 30, 0, 0, 60];
    const study = { ...deep.summary.study, scenariosRated: 100 };
    const figure = slotHeatFigure({ bindingSlotCounts, study });
    expect(traceNamed(figure, 'share of scenarios').x).toEqual([0, 30, 0, 0, 60]);
    expect(figure.title).toBe('Slot 5 stands out: it binds in 60.0 % of scenarios');
    expect(figure.description).toContain('In 10 scenarios no single slot can be named');
  });

  it('does not make a slot stand out where all are alike, nor one where none can be named', () => {
    const study = { ...deep.summary.study, scenariosRated: 100 };
    expect(slotHeatFigure({ bindingSlotCounts: [20, 19, 21, 20, 20], study }).title)
      .toMatch(/^No single slot stands out/);
    expect(slotHeatFigure({ bindingSlotCounts: [0, 0], study }).title).toBe('No limit binds at a single slot');
  });
});

describe('rated power by class of placement', () => {
  const classRow = (placementClass: string, count: number, medianKw: number) => ({
    placementClass, count, sharePercent: 1, lowestKw: medianKw - 5, medianKw, highestKw: medianKw + 5,
  });

  it('shows range and median of each class, in kW', () => {
    const figure = classFigure(plain.summary);
    plain.summary.classes.forEach((row, i) => {
      expect(figure.data[i].x).toEqual([row.lowestKw, row.highestKw]);
      expect(traceNamed(figure, 'median').x[i]).toBe(row.medianKw);
      expect(textsOf(figure)[i]).toContain(row.placementClass);
    });
    expect(axisTitle(figure, 'xaxis')).toBe('rated power, kW');
  });

  it('builds its finding on classes with enough scenarios only', () => {
    const classes = [classRow('rare', 2, 90), classRow('low', 200, 100), classRow('high', 300, 120)];
    const figure = classFigure({ classes, lowestKw: 85, highestKw: 125 });
    expect(figure.title).toBe('Median 100.0 kW with low, 120.0 kW with high');
    expect((traceNamed(figure, 'median').marker as { symbol: string[] }).symbol)
      .toEqual(['diamond-open', 'diamond', 'diamond']);
    expect(classFigure({ classes: classes.slice(0, 2), lowestKw: 85, highestKw: 125 }).title)
      .toMatch(/^Too few scenarios/);
    expect(classFigure({ classes: classes.slice(1, 2), lowestKw: 95, highestKw: 105 }).title)
      .toBe('One class of placement, median 100.0 kW');
  });

  it('shows markup in the name of a class as text', () => {
    const classes = [classRow('<a href="x">top & bottom</a>', 50, 100)];
    expect(textsOf(classFigure({ classes, lowestKw: 95, highestKw: 105 }))[0]).toContain('&lt;a href');
  });
});

describe('figures of a rack without any rated power', () => {
  it('read sensibly', async () => {
    const none = await studiedRack('plain-bar-even', (study) => ({ ...onlyBarTemperature(study, 290), scenarios: 40 }));
    expect(none.summary.highestKw).toBe(0);
    for (const { title, description } of allFigures(none)) {
      expect(`${title} ${description}`).not.toMatch(/NaN|Infinity|fall below 0/);
    }
    expect(distributionFigure(none.summary, none.sortedRatedKw).title).toMatch(/^No scenario carries any load/);
  });
});
