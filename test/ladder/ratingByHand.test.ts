/** Ratings and solutions whose figures follow from a line of arithmetic. */
import { describe, expect, it } from 'vitest';
import { type LadderSolution, RackModel, rateScenario, RatingError } from '../../lib/ladder/index.js';
import { Ladder } from '../../lib/ladder/ladder.js';
import { Rating } from '../../lib/ladder/ratedPower.js';
import type { Rack } from '../../lib/rack/model.js';
import { battery, COPPER, filmsOf, load, onePlate, plainPole, sampleRack, scenarioOf, shelf } from './sampleRack.js';

/** A bar without resistance: what limits is the units alone. */
const perfect = plainPole(6, { material: { ...COPPER, resistivity20: 1e-20 } });
const NONE = Number.POSITIVE_INFINITY;
const bare = (limits: Partial<Rack['limits']>, more: Partial<Rack> = {}) =>
  sampleRack({ slotCount: 6, supply: perfect, return: perfect, limits, ...more } as Parameters<typeof sampleRack>[0]);

function solved(model: RackModel, scenario: ReturnType<typeof scenarioOf>, power: number): LadderSolution {
  const solution = model.solutionAt(scenario, power, model.states(scenario)[0]);
  if (solution.status !== 'solved') throw new Error(`expected a solution, got ${solution.status}`);
  return solution;
}

/** The same rating by the bracketed search. */
function bracketed(rack: Rack, scenario: ReturnType<typeof scenarioOf>, upper = NONE) {
  const ladder = new Ladder(rack);
  ladder.mount(scenario);
  ladder.setState(ladder.states[0]);
  return new Rating(ladder).searchBracketed(ladder.states[0], upper);
}

describe('units on a bar without resistance', () => {
  const r = 1e-3;
  const lossy = { contactResistance: [r, r] as const, contactHeatShare: 0 };
  // Three loads of 1, 2 and 5 parts; each at 50 V behind 2 mΩ of its own.
  const loads = [load(2, { ...lossy, power: 1 }), load(3, { ...lossy, power: 2 }), load(4, { ...lossy, power: 5 })];
  const voltageOf = (watts: number) => (50 + Math.sqrt(2500 - 8 * r * watts)) / 2;

  it('draw and deliver what Ohm’s law says, load by load', () => {
    const solution = solved(new RackModel(bare({})), scenarioOf([shelf(1), ...loads]), 16_000);
    const watts = [2000, 4000, 10_000];
    let whole = 0;
    solution.units.slice(1).forEach(({ power, voltage, current, groundCurrent }, k) => {
      expect(power).toBeCloseTo(watts[k], 9);
      expect(voltage).toBeCloseTo(voltageOf(watts[k]), 9);
      expect(current).toBeCloseTo(watts[k] / voltageOf(watts[k]), 8);
      expect(groundCurrent).toBeNull();
      whole += current;
    });
    const [source] = solution.units;
    expect(source.current).toBeCloseTo(whole, 7);
    expect(source.power).toBeCloseTo(50 * whole, 5);
    expect(solution.balance.sourcePower).toBeCloseTo(50 * whole, 5);
    expect(solution.balance.contactHeat).toBeCloseTo(50 * whole - 16_000, 5);
    expect(solution.balance.loadPower).toBe(16_000);
    expect(solution.balance.frameHeat).toBe(0);
    expect(solution.frame).toBeNull();
    expect([...solution.segmentCurrent].map((amps) => amps / whole)).toEqual([1, 1 - watts[0] / voltageOf(watts[0]) / whole,
      watts[2] / voltageOf(watts[2]) / whole, 0, 0].map((part) => expect.closeTo(part, 8)));
    expect(solution).toMatchObject({ status: 'solved', power: 16_000, state: { rule: 'all-in-service' } });
    expect(solution.sweeps).toBeGreaterThan(0);
  });

  it.each([
    // 5/8 of the power is drawn by the load of 5 parts at 49 V: 50·49 − 49² over 2 mΩ.
    ['lowest-load-voltage', { lowestLoadVoltage: 49 }, {}, 4, (8 / 5) * 49 * (1 / (2 * r))],
    ['load-contact-current', { loadContactCurrent: 200 }, {}, 4, (8 / 5) * 200 * (50 - 200 * 2 * r)],
    ['source-current', {}, { maxCurrent: 100 }, 1, null],
    ['source-power', {}, { maxPower: 5000 }, 1, null],
  ] as const)('%s binds where the arithmetic says, by both searches', (limit, limits, source, slot, watts) => {
    const scenario = scenarioOf([shelf(1, source), ...loads]);
    const rated = rateScenario(bare(limits), scenario);
    expect(rated).toMatchObject({ limit, slot, pole: 'both' });
    const other = bracketed(bare(limits), scenario);
    expect(other).toMatchObject({ limit, slot, pole: 'both', search: 'bracketed' });
    expect((other?.power ?? 0) / rated.power).toBeCloseTo(1, 7);
    expect(other?.sweeps).toBeGreaterThan(0);
    if (watts !== null) expect(rated.power / watts).toBeCloseTo(1, 7);
    // 100 A at 50 V: 5 kW at the source, less what each contact loses.
    else expect(solved(new RackModel(bare(limits)), scenario, rated.power).units[0].power).toBeCloseTo(5000, 4);
  });

  it('that carry nothing themselves bind nothing', () => {
    const idle = scenarioOf([shelf(1, { maxCurrent: 100 }), battery(2, { maxCurrent: 1e-9, maxPower: 1e-9 }), load(3), load(4, { power: 0 })]);
    expect(rateScenario(bare({ loadContactCurrent: 99 }), idle)).toMatchObject({ limit: 'load-contact-current', slot: 3 });
    expect(bracketed(bare({ loadContactCurrent: 101 }), idle)).toMatchObject({ limit: 'source-current', slot: 1 });
  });

  it('whose lowest voltage is no lower than the set voltage carry nothing', () => {
    for (const lowestLoadVoltage of [50, 51]) {
      const rated = rateScenario(bare({ lowestLoadVoltage }), scenarioOf([shelf(1), ...loads]));
      expect(rated).toMatchObject({ power: 0, limit: 'lowest-load-voltage' });
    }
  });
});

describe('a search below a power', () => {
  const scenario = scenarioOf([shelf(1, { maxPower: 5000 }), load(3)]);
  it('ends with nothing where that much is carried, and with the rated power where it is not', () => {
    const model = new RackModel(bare({}));
    for (const below of [1, 4999]) {
      expect(model.rateBelow(scenario, below)).toBeNull();
      expect(bracketed(bare({}), scenario, below)).toBeNull();
    }
    for (const below of [5001, 1e5, NONE]) {
      expect(model.rateBelow(scenario, below)?.power).toBeCloseTo(5000, 3);
      expect(bracketed(bare({}), scenario, below)?.power).toBeCloseTo(5000, 3);
    }
  });

  it('looks at every state', () => {
    const states = bare({}, { operatingStates: ['all-in-service', 'batteries-alone', 'one-source-out'] });
    const fed = scenarioOf([shelf(1, { maxPower: 9000 }), shelf(2, { maxPower: 8000 }), battery(5, { maxPower: 3000 }), load(3)]);
    const weakest = new RackModel(states);
    expect(weakest.rateBelow(fed, 2999)).toBeNull();
    expect(weakest.rateBelow(fed, 3001)).toMatchObject({ power: expect.closeTo(3000, 3), limit: 'source-power', slot: 5, state: { rule: 'batteries-alone' } });
    const out = new RackModel({ ...states, operatingStates: ['all-in-service', 'one-source-out'] }).rate(fed);
    expect(out).toMatchObject({ power: expect.closeTo(8000, 3), slot: 2, state: { rule: 'one-source-out', outSlot: 1 } });
  });
});

describe('limits of temperature', () => {
  // No conduction worth mentioning between nodes 25 m apart: the one in the middle stands alone.
  const alone = { ...COPPER, temperatureCoefficient: 0, thermalConductivity: 1 };
  const pole = (thickness: number) => plainPole(3, { plates: onePlate(0.05, thickness), material: alone, emissivity: 0 });
  const apart = (limits: Partial<Rack['limits']>, back = 0.005) => sampleRack({
    slotCount: 3, pitch: 25, supply: pole(0.005), return: pole(back), films: filmsOf({ model: 'fixed', coefficient: 8 }), limits,
    setVoltage: 1e8, air: { inlet: 300, profile: [0, 4, 0] },
  });
  const scenario = scenarioOf([shelf(1), load(3)]);
  const watts = (rise: number, thickness = 0.005) =>
    1e8 * Math.sqrt((rise * 8 * 2 * (0.05 + thickness) * 0.05 * thickness) / 1.724138e-8);

  it.each([
    ['bar-rise', { barRise: 40 }, 40], ['bar-temperature', { barTemperature: 354 }, 50],
    ['contact-temperature', { contactTemperature: 320 }, null],
  ] as const)('%s is met at the current that the film carries away, by both searches', (limit, limits, rise) => {
    for (const rated of [rateScenario(apart(limits), scenario), bracketed(apart(limits), scenario)]) {
      if (rise === null) {
        // The contacts are at the two ends, which get half of the heat each.
        expect(rated?.limit).toBe(limit);
        expect([1, 3]).toContain(rated?.slot);
        expect((rated?.power ?? 0) / watts(40)).toBeCloseTo(1, 6);
      } else {
        expect(rated).toMatchObject({ limit, slot: 2, pole: 'supply' });
        expect((rated?.power ?? 0) / watts(rise)).toBeCloseTo(1, 6);
      }
    }
  });

  it('are met first by the thinner pole', () => {
    for (const rated of [rateScenario(apart({ barRise: 40 }, 0.004), scenario), bracketed(apart({ barRise: 40 }, 0.004), scenario)]) {
      expect(rated).toMatchObject({ limit: 'bar-rise', slot: 2, pole: 'return' });
      expect((rated?.power ?? 0) / watts(40, 0.004)).toBeCloseTo(1, 6);
    }
    expect(rateScenario(apart({ barRise: 40 }, 0.006), scenario).pole).toBe('supply');
  });

  it('show as utilisation the part of the rise that is reached', () => {
    const model = new RackModel(apart({ barRise: 40, barTemperature: 400 }));
    const half = solved(model, scenario, watts(20));
    expect(half.utilisation).toBeCloseTo(0.5, 6);
    expect(half.binding).toEqual({ limit: 'bar-rise', slot: 2, pole: 'supply' });
    expect(half.supplyTemperature[1]).toBeCloseTo(324, 4);
    expect(half.balance.convection).toBeCloseTo(2 * 8 * 0.11 * 25 * (20 + 10 + 10), 2);
    expect(half.balance.heatIn).toBeCloseTo(half.balance.jouleHeat, 6);
  });

  it('count from the air without load to the limit', () => {
    for (const [limits, limit] of [[{ barTemperature: 344 }, 'bar-temperature'], [{ contactTemperature: 320 }, 'contact-temperature']] as const) {
      // 20 K in the middle, whose air is 304 K; 10 K at the contacts, whose air is 300 K.
      const half = solved(new RackModel(apart(limits)), scenario, watts(20));
      expect(half.utilisation).toBeCloseTo(0.5, 5);
      expect(half.binding.limit).toBe(limit);
    }
  });

  it('below the air are broken by any bar, which is a solution all the same', () => {
    const hot = solved(new RackModel(apart({ barTemperature: 299 })), scenario, watts(20));
    expect(hot).toMatchObject({ status: 'solved', utilisation: NONE, binding: { limit: 'bar-temperature' } });
    expect(hot.supplyTemperature[1]).toBeCloseTo(324, 4);
  });

  it('of contacts name the pole of the hotter contact, though both poles are alike', () => {
    for (const [resistances, pole] of [[[1e-4, 2e-4], 'return'], [[2e-4, 1e-4], 'supply']] as const) {
      const spots = { contactResistance: resistances, contactHeatShare: 0, contactThermalResistance: 2 };
      const rack = sampleRack({ limits: { contactTemperature: 340 } });
      expect(rateScenario(rack, scenarioOf([shelf(3), load(20, spots)]))).toMatchObject({ limit: 'contact-temperature', slot: 20, pole });
      expect(bracketed(rack, scenarioOf([shelf(3), load(20, spots)]))).toMatchObject({ limit: 'contact-temperature', slot: 20, pole });
    }
  });

  it('that nothing sets are not used at all', () => {
    expect(solved(new RackModel(apart({})), scenario, watts(20)).utilisation).toBe(0);
  });
});

describe('where power and heat go', () => {
  const N = 5;
  const PITCH = 0.1;
  const contact = { contactResistance: [2e-5, 4e-5] as const, contactHeatShare: 0.6, contactEdgeHeight: 0.02, contactThermalResistance: 0.5 };
  const bar = (depth: number) => plainPole(N, { plates: onePlate(depth, 0.01), emissivity: 0.4 });
  const rack = sampleRack({
    slotCount: N, pitch: PITCH, supply: bar(0.1), return: bar(0.06), films: filmsOf({ model: 'fixed', coefficient: 6 }), limits: {},
    air: { inlet: 300, surroundings: 290 },
  });
  const scenario = scenarioOf([
    shelf(1, contact), load(3, { ...contact, power: 1, heatConductance: 0.3, heatRise: 15 }), load(4, { ...contact, power: 3 }), battery(5, contact),
  ]);

  it('is the sum over segments, contacts and surfaces written out by hand, and closes', () => {
    const solution = solved(new RackModel(rack), scenario, 40_000);
    const { balance, units, segmentCurrent: amps } = solution;
    const temperatures = [solution.supplyTemperature, solution.returnTemperature];
    let [joule, convection, radiation, paths] = [0, 0, 0, 0];
    [0.1, 0.06].forEach((depth, p) => {
      const t = temperatures[p];
      for (let i = 0; i < N; i++) {
        const around = 2 * (depth + 0.01) * PITCH;
        convection += 6 * around * (t[i] - 300);
        radiation += 0.4 * 5.670374e-8 * around * (t[i] ** 4 - 290 ** 4);
        if (i === 2) paths += 0.3 * (300 + 15 - t[i]);
        if (i === N - 1) continue;
        joule += amps[i] ** 2 * ((1.724138e-8 * PITCH) / (depth * 0.01)) * (1 + 0.00393 * ((t[i] + t[i + 1]) / 2 - 293.15));
      }
    });
    const contacts = units.reduce((sum, { current }) => sum + current ** 2 * 6e-5, 0);
    expect(balance.jouleHeat / joule).toBeCloseTo(1, 9);
    expect(balance.contactHeat / contacts).toBeCloseTo(1, 9);
    expect(balance.convection / convection).toBeCloseTo(1, 7);
    expect(balance.radiation / radiation).toBeCloseTo(1, 9);
    expect(balance.heatIn / (joule + balance.spreadingHeat + 0.6 * contacts + paths)).toBeCloseTo(1, 9);
    expect(balance.spreadingHeat).toBeGreaterThan(1);
    expect(balance.sourcePower).toBeCloseTo(40_000 + joule + contacts + balance.spreadingHeat, 5);
    expect(balance.powerResidual).toBeCloseTo(0, 6);
    expect(balance.heatResidual).toBeCloseTo(0, 6);
    expect(balance.currentResidual).toBeLessThan(1e-9 * units[0].current);
  });

  it('leaves contacts as warm as the hottest point beneath them and what they make themselves', () => {
    const { units, supplyHottest, returnHottest, supplyTemperature } = solved(new RackModel(rack), scenario, 40_000);
    for (const { unit, current, contactTemperature } of units) {
      const i = unit.contactSlot - 1;
      expect(contactTemperature[0]).toBeCloseTo(supplyHottest[i] + current ** 2 * 2e-5 * 0.5, 8);
      expect(contactTemperature[1]).toBeCloseTo(returnHottest[i] + current ** 2 * 4e-5 * 0.5, 8);
    }
    expect(supplyHottest[3] - supplyTemperature[3]).toBeGreaterThan(0.5);
  });

  it('is kept in a solution while the model goes on', () => {
    const model = new RackModel(rack);
    const first = solved(model, scenario, 40_000);
    const kept = structuredClone(first);
    solved(model, scenario, 10_000);
    expect(first).toEqual(kept);
  });
});

describe('a bar that is warm enough to lose its voltage', () => {
  // Two nodes 20 m apart, alike: ½·I²·R(T) = h·P·pitch·(T − air) at each, and power = U·I − I²·2R(T).
  const wire = plainPole(2, { plates: onePlate(0.05, 0.005), emissivity: 0 });
  const rack = sampleRack({
    slotCount: 2, pitch: 20, supply: wire, return: wire, films: filmsOf({ model: 'fixed', coefficient: 8 }), limits: {}, air: { inlet: 300 },
  });
  const scenario = scenarioOf([shelf(1), load(2)]);
  const resistance = (rise: number) => ((1.724138e-8 * 20) / 2.5e-4) * (1 + 0.00393 * (rise + 6.85));
  const current = (rise: number) => Math.sqrt((2 * 8 * 0.11 * 20 * rise) / resistance(rise));
  const power = (rise: number) => 50 * current(rise) - 2 * current(rise) ** 2 * resistance(rise);

  it('carries up to the largest power at which it may settle, and is as warm there as the two equations say', () => {
    let [most, at] = [0, 0];
    for (let rise = 0.01; rise < 400; rise += 0.01) if (power(rise) > most) [most, at] = [power(rise), rise];
    // So near the largest power the sweeps that a solve takes grow without bound; the search says what is lost all the same.
    for (const rated of [rateScenario(rack, scenario), bracketed(rack, scenario)]) {
      expect(rated).toMatchObject({ limit: 'voltage-collapse', slot: 0, pole: 'both' });
      // Within a millionth, on the safe side.
      expect((rated?.power ?? 0) / most).toBeGreaterThan(1 - 1e-6);
      expect((rated?.power ?? 0) / most).toBeLessThan(1 + 1e-8);
    }
    const model = new RackModel(rack);
    for (const part of [0.3, 0.9, 0.99, 0.9999]) {
      const { supplyTemperature, returnTemperature } = solved(model, scenario, part * most);
      const rise = supplyTemperature[0] - 300;
      expect(power(rise) / (part * most)).toBeCloseTo(1, 6);
      expect(rise).toBeLessThan(at);
      expect(returnTemperature[1] - 300).toBeCloseTo(rise, 5);
    }
    for (const part of [1.0001, 1.01, 3]) {
      expect(model.solutionAt(scenario, part * most, model.states(scenario)[0]).status).toBe('voltage-collapse');
    }
  });
});

describe('the order of the operating states', () => {
  it('changes neither the rated power nor what it costs to find it', () => {
    const units = [load(1, { power: 3 }), shelf(10), load(14), shelf(20), battery(30), load(40, { power: 2 })];
    const rules = ['all-in-service', 'one-source-out', 'batteries-alone'] as const;
    for (const scenario of [scenarioOf(units), scenarioOf(units.slice(0, 5)), scenarioOf(units.slice(1))]) {
      const [one, other] = [rules, [...rules].reverse()].map((operatingStates) => rateScenario(sampleRack({ operatingStates }), scenario));
      expect(other.power / one.power).toBeCloseTo(1, 8);
      expect([other.state.rule, other.state.outSlot, other.sweeps]).toEqual([one.state.rule, one.state.outSlot, one.sweeps]);
    }
  });
});

describe('what has no rating', () => {
  const scenario = scenarioOf([shelf(1), load(3)]);

  it('is an error that says why, with the power it came to', () => {
    const found = (call: () => unknown): unknown => {
      try {
        call();
      } catch (error) {
        return error;
      }
      return null;
    };
    const none = plainPole(6, { material: { ...COPPER, resistivity20: 1e-40 } });
    const free = found(() => rateScenario(bare({}, { supply: none, return: none }), scenario));
    expect(free).toBeInstanceOf(RatingError);
    expect(free).toMatchObject({ name: 'RatingError', message: 'nothing limits the load of this rack' });
    expect((free as RatingError).power).toBeGreaterThan(1e12);
    expect(found(() => rateScenario(bare({ barRise: 30 }, { operatingStates: [] }), scenario)))
      .toMatchObject({ name: 'RatingError', message: 'no operating state to rate', power: 0 });
  });

  it('and a power that is none has no solution', () => {
    const model = new RackModel(bare({}));
    for (const none of [0, -1, Number.NaN, NONE]) {
      expect(() => model.solutionAt(scenario, none, model.states(scenario)[0])).toThrow(`power ${none} W: must be above 0`);
    }
  });

  it('is lost where the voltage collapses or no temperature is steady, with the power asked for', () => {
    const soft = scenarioOf([shelf(1, { contactResistance: [5e-3, 5e-3], contactHeatShare: 0 }), load(3)]);
    const droop = new RackModel(bare({}, { sharing: { model: 'droop' } }));
    expect(droop.solutionAt(soft, 62_600, droop.states(soft)[0]))
      .toEqual({ status: 'voltage-collapse', state: droop.states(soft)[0], power: 62_600 });
    expect(bracketed(bare({}, { sharing: { model: 'droop' } }), soft))
      .toMatchObject({ limit: 'voltage-collapse', slot: 0, pole: 'both', power: expect.closeTo(62_500, 0) });
    // Adiabatic but for radiation that is switched off: any current warms without end.
    const covered = plainPole(6, { emissivity: 0 });
    const hot = sampleRack({ slotCount: 6, supply: covered, return: covered, films: filmsOf({ model: 'fixed', coefficient: 0 }), limits: {} });
    const model = new RackModel(hot);
    expect(model.solutionAt(scenario, 1000, model.states(scenario)[0])).toMatchObject({ status: 'no-steady-state', power: 1000 });
  });
});
