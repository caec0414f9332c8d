import { describe, expect, it } from 'vitest';
import { loadStudy } from '../../../lib/rack/index.js';
import { quantileSorted } from '../../../lib/statistics/index.js';
import { RackModel } from '../../../lib/ladder/index.js';
import { loadDesign } from '../../../lib/study/copper/rateDesign.js';
import { copperDesigns, copperStudy, paretoFront, runStudy, ScenarioSet, varianceReduction } from '../../../lib/study/index.js';
import { longBarStudy, powerOf, RHO, SLOTS, PITCH } from './longBar.js';

const { study: deep } = loadStudy('data-demo/deep-bar-anywhere.json');

describe('a copper study', () => {
  const { designs } = copperDesigns(deep, [
    { name: 'depth 180 mm', change: { depth: 0.18 } }, { name: 'thickness 8 mm', change: { thickness: 0.008 } },
    { name: 'aluminium', change: { material: 'aluminium-61' } },
  ]);
  const options = { percentile: 0.05, scenarios: 400, load: 90e3, prices: new Map([['copper-iacs-100', 10], ['aluminium-61', 3]]) };
  const answer = copperStudy(deep, designs, options);

  it('rates each design as its own study would', async () => {
    for (const [k, rack] of [deep.rack, ...designs.map((design) => design.rack)].entries()) {
      const { table } = await runStudy({ ...deep, rack, scenarios: 400 });
      const own = quantileSorted(table.columns.ratedPower.slice(0, 400).sort(), 0.05, 'type-8');
      expect(answer.designs[k].percentile.power).toBe(own);
    }
  });

  it('gives the paired difference with an interval narrower than those of the percentiles', () => {
    const [base, ...others] = answer.designs;
    expect(base.difference).toBeNull();
    for (const { difference, percentile } of others) {
      expect(difference?.difference).toBe(percentile.power - base.percentile.power);
      expect(difference?.lower).toBeLessThanOrEqual(difference?.difference ?? 0);
      expect(difference?.upper).toBeGreaterThanOrEqual(difference?.difference ?? 0);
      const own = (percentile.upper ?? 0) - (percentile.lower ?? 0);
      expect((difference?.upper ?? 0) - (difference?.lower ?? 0)).toBeLessThan(own);
      expect(difference?.varianceUnpaired).toBeGreaterThan(difference?.variance ?? 0);
    }
  });

  it('weighs, prices and marks what no other design beats', () => {
    const [base, deeper, thicker, light] = answer.designs;
    expect(deeper.bar.mass / base.bar.mass).toBeCloseTo(180 / 156, 9);
    expect(thicker.bar.mass / base.bar.mass).toBeCloseTo(8 / 6, 9);
    expect(light.price).toBeCloseTo(3 * base.bar.mass * (2700 / 8890), 6);
    expect(answer.front).toEqual({ cost: 'price', worth: 'percentile' });
    expect(light.onFront).toBe(true);
    expect(answer.designs.map(({ onFront }) => onFront)).toEqual(paretoFront(
      answer.designs.map(({ price, percentile }) => ({ cost: price ?? 0, worth: percentile.power }))));
  });

  it('weighs by floors only where all of them are settled', () => {
    const floor = (settled: (depth: number) => boolean) => (own: typeof deep) => (
      { power: 80e3, settled: settled(own.rack.supply.sections[0].plates.depth) });
    const few = { ...options, scenarios: 100 };
    expect(copperStudy(deep, designs, { ...few, floor: floor(() => true) }).front.worth).toBe('floor');
    expect(copperStudy(deep, designs, { ...few, floor: floor((depth) => depth < 0.17) }).front.worth).toBe('percentile');
  });

  it('states drop and heat that fall with more copper', () => {
    const [base, , thicker, light] = answer.designs;
    expect(thicker.drop?.largest).toBeLessThan(base.drop?.largest ?? 0);
    expect(light.heat?.bar).toBeGreaterThan(base.heat?.bar ?? 0);
    expect(base.heat?.all).toBeGreaterThan(base.heat?.bar ?? 0);
    expect(base.drop?.high).toBeLessThanOrEqual(base.drop?.largest ?? 0);
  });

  it('measures what common scenarios gain, and it is more than nothing', () => {
    const found = varianceReduction(deep, designs, { percentile: 0.05, scenarios: 200, runs: 20 });
    console.log(`variance reduction at the 5th percentile, 200 scenarios, 20 runs: ${
      found.map(({ factor }, k) => `${designs[k].name} ${factor?.toFixed(1)}`).join(', ')}`);
    for (const { factor, common, independent } of found) {
      expect(factor).toBeGreaterThan(2);
      expect(independent / common).toBe(factor);
    }
  }, 60_000);

  it('loses as heat what the sources give and the loads do not take', () => {
    const set = new ScenarioSet(deep, 20);
    const { heat, barHeat } = loadDesign(deep.rack, set, 90e3);
    const model = new RackModel(deep.rack);
    heat.forEach((watts, i) => {
      const scenario = set.at(i);
      const solution = scenario === null ? null : model.solutionAt(scenario, 90e3, model.states(scenario)[0]);
      if (solution?.status !== 'solved') throw new Error(`scenario ${i} is not solved`);
      expect(watts).toBeCloseTo(solution.balance.sourcePower - 90e3, 4);
      expect(watts - barHeat[i]).toBeCloseTo(solution.balance.contactHeat, 9);
      expect(solution.balance.spreadingHeat).toBeGreaterThan(0.1);
    });
  });

  it('takes intervals from whole replicates where the study is a design', () => {
    const spread = { ...deep, sampling: { design: 'latin-hypercube', size: 25 } as const };
    const [, one] = copperStudy(spread, designs.slice(0, 1), options).designs;
    expect(one.percentile.method).toBe('independent replicates');
    expect(one.difference?.lower).toBeLessThanOrEqual(one.difference?.upper ?? 0);
    const odd = copperStudy(spread, designs.slice(0, 1), { ...options, scenarios: 410 }).designs[1];
    expect(odd.difference).toBeNull();
  });

  it('has no number that is not finite', () => {
    const text = JSON.stringify(answer, (key, value: unknown) => {
      if (key === 'study' || key === 'rack') return undefined;
      if (typeof value === 'number' && !Number.isFinite(value)) throw new Error(key);
      return value;
    });
    expect(text).toContain('percentile');
  });

  it('refuses too few scenarios and a load that is none', () => {
    expect(() => copperStudy(deep, designs, { ...options, percentile: 0.001 })).toThrow(/at least 667/);
    expect(() => copperStudy(deep, designs, { ...options, load: 0 })).toThrow(/load 0 W/);
  });
});

describe('drop and heat of the long bar', () => {
  it('are I·2·r·L and I²·2·r·L', () => {
    const study = longBarStudy({ scenarios: 100 });
    const [base] = copperStudy(study, [], { percentile: 0.05, load: 1e6 }).designs;
    const resistance = (2 * RHO * (SLOTS - 1) * PITCH) / (0.1 * 0.01);
    // P = I·(1000 − I·R).
    const current = (1000 - Math.sqrt(1e6 - 4 * 1e6 * resistance)) / (2 * resistance);
    expect(base.drop?.largest).toBeCloseTo(current * resistance, 6);
    expect(base.heat?.bar).toBeCloseTo(current * current * resistance, 3);
    expect(base.heat?.all).toBeCloseTo(current * current * resistance, 3);
    expect(base.percentile.power).toBeGreaterThan(powerOf(0.1, 0.01, 0.7));
  });
});

describe('the front', () => {
  it('of a known set', () => {
    const points = [[1, 1], [2, 3], [3, 3], [3, 5], [4, 4], [2, 3], [5, 5.1], [1, 0.5], [6, 5.1]];
    expect(paretoFront(points.map(([cost, worth]) => ({ cost, worth })))).toEqual([true, true, false, true, false, true, true, false, false]);
    expect(paretoFront([])).toEqual([]);
    expect(() => paretoFront([{ cost: Number.NaN, worth: 1 }])).toThrow(RangeError);
  });
});
