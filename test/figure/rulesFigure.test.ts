import { describe, expect, it } from 'vitest';
import { type NamedRuleRow, rulesFigure } from '../../lib/figure/index.js';
import { type RuleCase, ruleTable } from '../../lib/label/index.js';
import { axisTitle, isPlain, rangeOf, textsOf, traceNamed, tracesNamed } from './readFigure.js';

const percentiles = (...kw: number[]) => kw.map((ratedKw, i) => ({ percent: [1, 50][i], ratedKw }));
const apart = { rule: 'apart', units: 'sources', slotsBetween: 2 } as const;
const caseOf = (rules: RuleCase['rules'], floor: number, worst: number, of: RuleCase['percentiles']): RuleCase =>
  ({ rules, floor: { power: floor }, worstFound: { rated: { power: worst } }, percentiles: of });
const [plain, middle] = ruleTable([
  caseOf([], 86_700, 90_200, percentiles(110, 150)), caseOf([apart], 97_900, 99_100, percentiles(130, 160)),
]);
const study: NamedRuleRow = { ...plain, name: 'no further rule' };
const rule: NamedRuleRow = { ...middle, name: 'Sources apart' };
const unknown = { floorKw: null, labelKw: null, buysLabelKw: null };

describe('what rules buy', () => {
  it('is drawn from floor to worst found, a row per rule, the first on top', () => {
    const figure = rulesFigure([study, rule]);
    const [ruled, before] = tracesNamed(figure, 'floor to worst found');
    expect(before).toMatchObject({ x: [86.7, 90.2], y: [1, 1] });
    expect(ruled).toMatchObject({ x: [97.9, 99.1], y: [0, 0] });
    expect(axisTitle(figure, 'xaxis')).toBe('power, kW');
  });

  it('marks everything up to the floor as proven, with other strokes than the part that is not', () => {
    const figure = rulesFigure([study, rule]);
    const [ruled, before] = tracesNamed(figure, 'proven');
    const [left] = rangeOf(figure.layout, 'xaxis');
    expect(before.x).toEqual([left, 86.7]);
    expect(ruled.x).toEqual([left, 97.9]);
    const width = (name: string) => (traceNamed(figure, name).line as { width: number }).width;
    expect(width('floor to worst found')).toBeGreaterThan(2 * width('proven'));
  });

  it('has the label as a triangle in its row and the percentiles as circles', () => {
    const figure = rulesFigure([study, rule]);
    const labels = traceNamed(figure, 'label');
    expect(labels.x).toEqual([97, 86]);
    labels.y.forEach((y, row) => { expect(Math.abs(y - row)).toBeLessThan(0.5); });
    expect(traceNamed(figure, 'percentiles')).toMatchObject({ x: [130, 160, 110, 150], y: [0, 0, 1, 1] });
    expect(textsOf(figure)).toEqual(expect.arrayContaining(['▲ label', '○ percentiles of the sample']));
  });

  it('writes each name over its row with the label and what is gained', () => {
    expect(textsOf(rulesFigure([study, rule])).slice(0, 2))
      .toEqual(['Sources apart  <b>97 kW</b> (+11)', 'no further rule  <b>86 kW</b>']);
    expect(textsOf(rulesFigure([rule, { ...study, buysLabelKw: -11 }]))[0]).toContain('(−11)');
  });

  it('breaks long names and makes the rows higher', () => {
    const long = { ...rule, name: 'Sources in the middle third and at most 3 kW per slot and some more words' };
    const [short, tall] = [rulesFigure([study, rule]), rulesFigure([study, long])];
    const [text] = (tall.layout.annotations ?? []).map((one) => one.text as string);
    for (const part of text.split('<br>')) expect(part.replace(/ {2}<b>.*$/, '').length).toBeLessThanOrEqual(40);
    expect(text).toContain('<br>');
    const plot = ({ layout }: typeof short) => layout.height - layout.margin.t - layout.margin.b;
    expect(plot(tall)).toBe(plot(short) + 2 * 17);
  });

  it('keeps everything within the axis', () => {
    const figure = rulesFigure([study, rule]);
    const [low, high] = rangeOf(figure.layout, 'xaxis');
    for (const value of figure.data.flatMap(({ x }) => x)) {
      expect(value).toBeGreaterThanOrEqual(low);
      expect(value).toBeLessThan(high);
    }
  });

  it('is the same in words, a floor never above what is proven', () => {
    const { description } = rulesFigure([{ ...study, floorKw: 86.79 }, rule]);
    expect(description)
      .toContain('no further rule: floor 86.7 kW, worst found 90.2 kW, label 86 kW, 1 % fall below 110.0 kW');
    expect(description).toMatch(/\.$/);
  });
});

describe('its finding', () => {
  it('is the rule with the largest label and what it raises it by', () => {
    expect(rulesFigure([study, rule, { ...rule, name: 'second', labelKw: 91, buysLabelKw: 5 }]).title)
      .toBe('“Sources apart” raises the label from 86 to 97 kW');
  });

  it('is that no rule raises it', () => {
    const lower = { ...rule, labelKw: 86, buysLabelKw: 0 };
    expect(rulesFigure([study, lower]).title).toBe('No rule raises the label of 86 kW');
    expect(rulesFigure([study]).title).toBe('No rule was tried: the label is 86 kW');
  });

  it('is what a rule makes possible where there was no label, or that there is none at all', () => {
    expect(rulesFigure([{ ...study, ...unknown }, { ...rule, buysLabelKw: null }]).title)
      .toBe('“Sources apart” makes a label of 97 kW possible');
    expect(rulesFigure([{ ...study, ...unknown }, { ...rule, ...unknown }]).title)
      .toBe('No label is proven yet, with or without a rule');
  });
});

describe('bounds that are not known', () => {
  it('leave the rest of the row', () => {
    const figure = rulesFigure([
      { ...study, ...unknown }, { ...rule, worstFoundKw: null }, { ...rule, ...unknown, worstFoundKw: null },
    ]);
    expect(tracesNamed(figure, 'floor to worst found')).toEqual([]);
    expect(tracesNamed(figure, 'worst found').map(({ x, y }) => [x[0], y[0]])).toEqual([[90.2, 2]]);
    expect(tracesNamed(figure, 'floor').map(({ x, y }) => [x[0], y[0]])).toEqual([[97.9, 1]]);
    expect(traceNamed(figure, 'percentiles').y).toEqual([0, 0, 1, 1, 2, 2]);
    expect(textsOf(figure)[0]).toBe('Sources apart, no label');
    expect(figure.description).toContain('floor not proven');
    expect(figure.description).toContain('worst found not searched');
    expect(isPlain([figure.data, figure.layout])).toBe(true);
  });

  it('all of them with no percentile leave nothing to draw, which is refused', () => {
    expect(() => rulesFigure([{ ...study, ...unknown, worstFoundKw: null, percentiles: [] }])).toThrow(/found 1 rows/);
    expect(() => rulesFigure([])).toThrow(RangeError);
  });
});

it('shows markup in the name of a rule as text', () => {
  const figure = rulesFigure([study, { ...rule, name: '<b>"A" & b</b>' }]);
  expect(textsOf(figure)[0]).toContain('&lt;b&gt;&#34;A&#34; &amp; b&lt;/b&gt;');
  expect(JSON.stringify(figure.data)).not.toContain('<b>');
  expect(isPlain([figure.data, figure.layout])).toBe(true);
});
