/**
 * Excess over a limit, against the rating: where a limit is loosened by exactly the excess, the rated power is the
 * power that the excess was asked at.
 */
import { describe, expect, it } from 'vitest';
import type { Scenario } from '../../lib/draw/index.js';
import { excessFinder, excessWords, type LimitExcess, limitExcess } from '../../lib/label/index.js';
import { type LimitName, RackModel, rateScenario } from '../../lib/ladder/index.js';
import type { Rack } from '../../lib/rack/index.js';
import { load, sampleRack, scenarioOf, shelf, slots } from '../ladder/sampleRack.js';

const spread: Scenario = scenarioOf([shelf(40), ...slots(2, 17).map((slot) => load(slot))]);

function number({ excess }: LimitExcess): number {
  if (excess === null) throw new Error('expected a number');
  return excess;
}

/** The excess at 1.2 times the rated power, and the rated power with the limit loosened by it over that power. */
function loosened(rack: Rack, scenario: Scenario, loosen: (by: number) => { rack: Rack; scenario: Scenario }) {
  const power = 1.2 * rateScenario(rack, scenario).power;
  const found = limitExcess(rack, scenario, power);
  if (found === null) throw new Error('1.2 times the rated power must exceed a limit');
  const after = loosen(number(found));
  const rated = rateScenario(after.rack, after.scenario);
  return { found, rated, ratio: rated.power / power };
}

const limitsOf = (limits: Partial<Rack['limits']>, change: Partial<Rack> = {}) => sampleRack({ ...change, limits });

describe('the excess over a limit', () => {
  const cases: readonly {
    limit: LimitName; unit: string; of: number; scenario?: Scenario; at: (by: number) => Partial<Rack['limits']>;
  }[] = [
    { limit: 'bar-rise', unit: 'K', of: 30, at: (by) => ({ barRise: 30 + by }) },
    { limit: 'bar-temperature', unit: 'K', of: 340, at: (by) => ({ barTemperature: 340 + by }) },
    {
      limit: 'contact-temperature', unit: 'K', of: 350, at: (by) => ({ contactTemperature: 350 + by }),
      scenario: scenarioOf([
        shelf(30), load(20, { contactResistance: [1e-4, 2e-4], contactThermalResistance: 2, contactHeatShare: 0.5 }),
      ]),
    },
    { limit: 'load-contact-current', unit: 'A', of: 80, at: (by) => ({ loadContactCurrent: 80 + by }) },
    { limit: 'lowest-load-voltage', unit: 'V', of: 49.8, at: (by) => ({ lowestLoadVoltage: 49.8 - by }) },
  ];

  it.each(cases)('of $limit is in $unit, and loosening the limit by it lets that power be carried', (each) => {
    const scenario = each.scenario ?? spread;
    const { found, rated, ratio } = loosened(limitsOf(each.at(0)), scenario, (by) =>
      ({ rack: limitsOf(each.at(by)), scenario }));
    expect(found).toMatchObject({ limit: each.limit, unit: each.unit });
    expect(rated).toMatchObject({ limit: each.limit, slot: found.slot, pole: found.pole });
    expect(ratio).toBeCloseTo(1, 6);
    if (each.unit === 'K' && each.limit !== 'bar-rise') expect(found.percent).toBeNull();
    else expect(found.percent).toBeCloseTo((100 * number(found)) / each.of, 9);
  });

  it('of a source’s current is in A and of its power in kW at its own contact', () => {
    for (const [name, unit, start, scale] of [
      ['maxCurrent', 'A', 300, 1], ['maxPower', 'kW', 15_000, 1000],
    ] as const) {
      const rack = limitsOf({ barRise: 1000 });
      const withMax = (max: number) => scenarioOf([shelf(3), shelf(9, { [name]: max }), load(20)]);
      const { found, rated, ratio } = loosened(rack, withMax(start), (by) =>
        ({ rack, scenario: withMax(start + scale * by) }));
      expect(found).toMatchObject({ unit, slot: 9, pole: 'both' });
      expect(rated.limit).toBe(found.limit);
      expect(ratio).toBeCloseTo(1, 6);
      expect(found.percent).toBeCloseTo(20, 0);
    }
  });

  it('is that of the hottest point over the depth where a contact grips the edge', () => {
    const gripped = scenarioOf([shelf(40), load(20, { contactEdgeHeight: 0.03 })]);
    const { ratio } = loosened(limitsOf({ barRise: 30 }), gripped, (by) =>
      ({ rack: limitsOf({ barRise: 30 + by }), scenario: gripped }));
    expect(ratio).toBeCloseTo(1, 6);
  });

  it('is null up to the rated power itself and above 0 just beyond it', () => {
    const rack = limitsOf({ barRise: 30 });
    const excessAt = excessFinder(rack);
    const { power } = new RackModel(rack).rate(spread);
    expect(excessAt(spread, 0.5 * power)).toBeNull();
    expect(excessAt(spread, power)).toBeNull();
    expect(excessAt(spread, 1.0001 * power)?.excess).toBeGreaterThan(0);
  });

  it('is taken in the worst operating state, and names it', () => {
    const fed = scenarioOf([shelf(10, { maxCurrent: 500 }), shelf(12, { maxCurrent: 500 }), load(30)]);
    const rack = limitsOf({ barRise: 1000 }, { operatingStates: ['all-in-service', 'one-source-out'] });
    const found = limitExcess(rack, fed, 30_000);
    // All in service 300 A each; one out about 600 A.
    expect(found?.state.rule).toBe('one-source-out');
    expect(found?.excess).toBeGreaterThan(95);
    expect(found?.excess).toBeLessThan(120);
    expect(found === null ? '' : excessWords(found))
      .toMatch(/^source current \d+ A \(\d+ %\) above its limit at slot 1[02] \(source at slot 1[02] out\)$/);
  });
});

describe('a power past the last solution', () => {
  it('is called voltage collapse, in words and without a number', () => {
    // 50 V behind 10 mΩ carries at most 62.5 kW.
    const weak = scenarioOf([shelf(20), load(21, { contactResistance: [5e-3, 5e-3], contactHeatShare: 0 })]);
    const found = limitExcess(limitsOf({ barRise: 1000 }), weak, 65_000);
    expect(found)
      .toMatchObject({ limit: 'voltage-collapse', slot: 0, pole: 'both', excess: null, unit: null, percent: null });
    expect(found === null ? '' : excessWords(found)).toBe('voltage collapse: no solution at this power');
  });

  it('is called no steady state where the bar runs away', () => {
    const thin = sampleRack({
      limits: { barRise: 5000 }, setVoltage: 5000,
      films: {
        outerFaces: { model: 'fixed', coefficient: 1 }, edges: { model: 'fixed', coefficient: 1 },
        facingFaces: { model: 'fixed', coefficient: 1 }, factor: 1,
      },
    });
    const found = limitExcess(thin, spread, 2e8);
    expect(found).toMatchObject({ limit: 'no-steady-state', excess: null });
  });

  it('refuses a power that is not above 0', () => {
    expect(() => limitExcess(limitsOf({ barRise: 30 }), spread, 0)).toThrow(RangeError);
    expect(() => limitExcess(limitsOf({ barRise: 30 }), spread, Number.NaN)).toThrow(RangeError);
  });
});

describe('an excess in words', () => {
  it('says limit, size, direction and place', () => {
    expect(excessWords({ limit: 'bar-rise', slot: 3, pole: 'return', excess: 4.234, unit: 'K', percent: 14.1 }))
      .toBe('bar rise 4.2 K (14 %) above its limit at slot 3, return pole');
    expect(excessWords({ limit: 'lowest-load-voltage', slot: 7, pole: 'both', excess: 0.5, unit: 'V' }))
      .toBe('lowest load voltage 0.5 V below its limit at slot 7');
    expect(excessWords({ limit: 'source-current', slot: 7, pole: 'both', excess: 1234.4, unit: 'A' }))
      .toBe('source current 1234 A above its limit at slot 7');
  });
});
