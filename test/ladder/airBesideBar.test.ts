/** The air beside the bar, and rises measured from it. */
import { describe, expect, it } from 'vitest';
import type { Scenario } from '../../lib/draw/scenario.js';
import { type LadderSolution, RackModel } from '../../lib/ladder/index.js';
import { load, sampleRack, scenarioOf, shelf, slots } from './sampleRack.js';

const profile = Array.from({ length: 44 }, (_, i) => 0.2 * i);
const rack = sampleRack({ air: { inlet: 298.15, profile, exhaustRise: 1e-3 } });

/** Three quarters of the power in slots 5 to 7, the rest in slot 10. */
const units = [load(5, { heightSlots: 3, contactSlot: 6, power: 3 }), load(10), shelf(20)];

function solved(model: RackModel, scenario: Scenario, power: number): LadderSolution {
  const solution = model.solutionAt(scenario, power, model.states(scenario)[0]);
  if (solution.status !== 'solved') throw new Error(`expected a solution, got ${solution.status}`);
  return solution;
}

describe('air beside the bar', () => {
  it('is inlet and profile, and behind each load its exhaust spread over the load’s slots', () => {
    const { air } = solved(new RackModel(rack), scenarioOf(units), 4000);
    for (let slot = 1; slot <= 44; slot++) {
      // 3 kW over three slots and 1 kW over one: 1 K per kW either way.
      const exhaust = [5, 6, 7, 10].includes(slot) ? 1 : 0;
      expect(air[slot - 1]).toBeCloseTo(298.15 + 0.2 * (slot - 1) + exhaust, 10);
    }
  });

  it('starts from the scenario’s own inlet where it has one', () => {
    const { air } = solved(new RackModel(rack), scenarioOf(units, { inlet: 310 }), 4000);
    expect(air[0]).toBeCloseTo(310, 10);
    expect(air[5]).toBeCloseTo(310 + 1 + 1, 10);
  });

  it('warms the bar beside it', () => {
    const cool = solved(new RackModel(sampleRack()), scenarioOf(units), 4000);
    const warm = solved(new RackModel(rack), scenarioOf(units), 4000);
    expect(warm.supplyTemperature[43]).toBeGreaterThan(cool.supplyTemperature[43] + 5);
  });

  it('is what the limit of bar rise counts from, slot by slot', () => {
    const model = new RackModel(rack);
    const scenario = scenarioOf([...slots(41, 44).map((s) => shelf(s)), ...slots(1, 16).map((s) => load(s))]);
    const rated = model.rate(scenario);
    expect(rated.limit).toBe('bar-rise');
    const { supplyTemperature, air } = solved(model, scenario, rated.power);
    const rises = Array.from(supplyTemperature, (t, i) => t - air[i]);
    expect(Math.max(...rises)).toBeCloseTo(30, 4);
    expect(rated.slot).toBe(rises.indexOf(Math.max(...rises)) + 1);
  });
});

describe('the scenario’s emissivity', () => {
  it('takes the place of every section’s', () => {
    const painted = new RackModel(rack).rate(scenarioOf(units, { emissivity: 0.9 })).power;
    const poles = sampleRack().supply.sections.map((section) => ({ ...section, emissivity: 0.9 }));
    const pole = { sections: poles, joints: [] };
    const built = new RackModel({ ...rack, supply: pole, return: pole }).rate(scenarioOf(units)).power;
    expect(painted).toBeCloseTo(built, 3);
    expect(painted).toBeGreaterThan(1.05 * new RackModel(rack).rate(scenarioOf(units)).power);
  });
});
