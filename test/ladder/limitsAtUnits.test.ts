/** Limits at contacts and terminals, against the units' own figures worked out by hand. */
import { describe, expect, it } from 'vitest';
import { RackModel } from '../../lib/ladder/index.js';
import { battery, load, sampleRack, scenarioOf, shelf } from './sampleRack.js';

describe('contact temperature', () => {
  it('is the bar’s plus I²·R·(thermal resistance), with the scenario’s contact factor, and meets its limit', () => {
    const rack = sampleRack({ limits: { contactTemperature: 360 } });
    const scenario = scenarioOf(
      [shelf(3), load(20, { contactResistance: [1e-4, 2e-4], contactThermalResistance: 2, contactHeatShare: 0.5 })],
      { contactFactor: 1.5 },
    );
    const model = new RackModel(rack);
    const rated = model.rate(scenario);
    expect(rated).toMatchObject({ limit: 'contact-temperature', slot: 20, pole: 'return' });
    const solution = model.solutionAt(scenario, rated.power, rated.state);
    if (solution.status !== 'solved') throw new Error('a rated power must have a solution');
    const [, at20] = solution.units;
    const spot = solution.returnTemperature[19] + at20.current ** 2 * 1.5 * 2e-4 * 2;
    expect(spot).toBeCloseTo(360, 3);
    expect(at20.contactTemperature[1]).toBeCloseTo(spot, 9);
    expect(at20.contactTemperature[0])
      .toBeCloseTo(solution.supplyTemperature[19] + at20.current ** 2 * 1.5 * 1e-4 * 2, 9);
  });
});

describe('source power', () => {
  it('is counted at the terminals: 5 kW at a set voltage of 50 V is 100 A, whatever the contacts lose', () => {
    const rack = sampleRack({ limits: { barRise: 1000 } });
    const lossy = { contactResistance: [5e-3, 5e-3], contactHeatShare: 0 } as const;
    const scenario = scenarioOf([shelf(3, { ...lossy, maxPower: 5000 }), load(20)]);
    const model = new RackModel(rack);
    const rated = model.rate(scenario);
    expect(rated).toMatchObject({ limit: 'source-power', slot: 3 });
    const solution = model.solutionAt(scenario, rated.power, rated.state);
    if (solution.status !== 'solved') throw new Error('a rated power must have a solution');
    expect(solution.units[0].current).toBeCloseTo(100, 4);
    // The bar stands 1 V lower.
    expect(solution.voltage[2]).toBeCloseTo(49, 5);
  });
});

describe('lowest load voltage', () => {
  it('is counted at the load’s terminals, after its contacts', () => {
    const rack = sampleRack({ limits: { lowestLoadVoltage: 49 } });
    const lossy = { contactResistance: [5e-3, 5e-3], contactHeatShare: 0 } as const;
    const scenario = scenarioOf([shelf(20), load(21, lossy)]);
    const model = new RackModel(rack);
    const rated = model.rate(scenario);
    expect(rated).toMatchObject({ limit: 'lowest-load-voltage', slot: 21 });
    const solution = model.solutionAt(scenario, rated.power, rated.state);
    if (solution.status !== 'solved') throw new Error('a rated power must have a solution');
    const current = rated.power / 49;
    expect(solution.voltage[20] - current * 10e-3).toBeCloseTo(49, 5);
  });
});

describe('operating states', () => {
  const scenario = scenarioOf([load(1), shelf(10), shelf(12), battery(14), load(30)]);
  const rules = ['all-in-service', 'one-source-out', 'batteries-alone'] as const;

  it('leave batteries idle but alone, and take each power shelf out in turn', () => {
    const states = new RackModel(sampleRack({ operatingStates: rules })).states(scenario);
    expect(states.map(({ rule, outSlot, active }) => [rule, outSlot, ...active])).toEqual([
      ['all-in-service', 0, 1, 1, 0],
      ['one-source-out', 10, 0, 1, 0],
      ['one-source-out', 12, 1, 0, 0],
      ['batteries-alone', 0, 0, 0, 1],
    ]);
  });

  it('let only active sources deliver', () => {
    for (const model of ['equal', 'droop'] as const) {
      const soft = { droopResistance: 1e-3 };
      const fed = scenarioOf([load(1), shelf(10, soft), shelf(12, soft), battery(14, soft), load(30)]);
      const rackModel = new RackModel(sampleRack({ operatingStates: rules, sharing: { model } }));
      for (const state of rackModel.states(fed)) {
        const solution = rackModel.solutionAt(fed, 10_000, state);
        if (solution.status !== 'solved') throw new Error('expected a solution');
        const delivering = solution.units.filter((u) => u.unit.kind !== 'load').map((u) => (u.current > 1 ? 1 : 0));
        expect(delivering).toEqual(Array.from(state.active));
      }
    }
  });
});
