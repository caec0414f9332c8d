/**
 * Closed forms for the ladder: 50×5 mm copper bar, perimeter 0.11 m, film 8 W/m²K fixed, no radiation, air 35 °C,
 * k 391 W/mK, ρ20 1.724138e-8 Ω·m, α 0.00393 /K. The values can be worked out again from the formulas named.
 */
import { describe, expect, it } from 'vitest';
import {
  currentForRise, type LadderSolution, type LongBar, NoSteadyStateError, RackModel, riseForCurrent,
} from '../../lib/ladder/index.js';
import type { Scenario } from '../../lib/draw/scenario.js';
import type { OperatingState } from '../../lib/ladder/index.js';
import {
  COPPER, filmsOf, load, onePlate, plainPole, sampleRack, scenarioOf, shelf, slots,
} from '../ladder/sampleRack.js';
import { publishedCheck } from './publishedCheck.js';

const BAR = '50×5 mm copper, film 8 W/m²K, air 35 °C';
const AIR = 308.15;
const plates = onePlate(0.05, 0.005);

function longBar(coefficient: number): LongBar {
  return {
    section: { material: COPPER, plates, emissivity: 0, openFaces: 2 },
    films: filmsOf({ model: 'fixed', coefficient }),
    run: 'vertical',
    runLength: 1,
    air: AIR,
    surroundings: AIR,
    altitude: 0,
  };
}

function solved(model: RackModel, scenario: Scenario, power: number, state: OperatingState): LadderSolution {
  const solution = model.solutionAt(scenario, power, state);
  if (solution.status !== 'solved') throw new Error(`expected a solution, got ${solution.status}`);
  return solution;
}

/** The solution at which the load draws this current, A. */
function atLoadCurrent(model: RackModel, scenario: Scenario, current: number): LadderSolution {
  const [state] = model.states(scenario);
  let power = 50 * current;
  for (let i = 0; i < 60; i++) {
    const solution = solved(model, scenario, power, state);
    const found = solution.units.reduce((sum, u) => sum + (u.unit.kind === 'load' ? u.current : 0), 0);
    if (Math.abs(found / current - 1) < 1e-13) return solution;
    power *= current / found;
  }
  throw new Error('current not reached');
}

describe('long bar with fixed film and resistance feedback: I²ρ20[1+α(T−20)]/A = hP(T−35)', () => {
  const closed = {
    section: 'B', source: 'closed form: I²ρ20[1+α(T−20)]/A = hP(T−35)', unit: 'K', tolerance: { absolute: 5e-5 },
    why: 'digits printed',
  } as const;

  it.each([[400, 13.9666], [800, 66.1534]])('at %d A rises %d K', (current, published) => {
    publishedCheck({
      ...closed, quantity: `long bar, ${BAR}, rise at ${current} A`, published,
      ours: riseForCurrent(longBar(8), current).temperature - AIR,
    });
  });

  it('would rise 53.1135 K at 800 A without feedback (the resistance of a 35 °C bar)', () => {
    const material = { ...COPPER, resistivity20: COPPER.resistivity20 * (1 + 0.00393 * 15), temperatureCoefficient: 0 };
    const bar = { ...longBar(8), section: { ...longBar(8).section, material } };
    publishedCheck({
      ...closed, source: 'closed form: I²ρ(35 °C)/A = hP(T−35)',
      quantity: `long bar, ${BAR}, rise at 800 A without resistance feedback`, published: 53.1135,
      ours: riseForCurrent(bar, 800).temperature - AIR,
    });
  });

  it('has no steady state at or above √(hPA/(ρ20·α)) = 1801.89 A', () => {
    // 1/I² is linear in 1/rise; at 1/rise = 0 no rise is large enough.
    const [low, high] = [400, 900].map((rise) => ({ x: 1 / rise, y: currentForRise(longBar(8), rise).current ** -2 }));
    const atInfinity = high.y - (high.x * (low.y - high.y)) / (low.x - high.x);
    publishedCheck({
      section: 'B', quantity: `long bar, ${BAR}, current of runaway`, source: 'closed form: √(hPA/(ρ20·α))', unit: 'A',
      published: 1801.89, ours: atInfinity ** -0.5, tolerance: { absolute: 5e-3 }, why: 'digits printed',
    });
    expect(() => riseForCurrent(longBar(8), 1801.89)).toThrow(NoSteadyStateError);
    expect(() => riseForCurrent(longBar(8), 2500)).toThrow(NoSteadyStateError);
    expect(riseForCurrent(longBar(8), 1400).temperature - AIR).toBeCloseTo(
      (1400 ** 2 * COPPER.resistivity20 * (1 + 0.00393 * 15))
        / (2.5e-4 * 0.88 - 1400 ** 2 * COPPER.resistivity20 * 0.00393),
      6,
    );
  });

  it('the ladder agrees with the long bar in its middle, far from both contacts', () => {
    const n = 201;
    const pole = plainPole(n, { plates, emissivity: 0 });
    const rack = sampleRack({
      slotCount: n, pitch: 0.05, supply: pole, return: pole, films: filmsOf({ model: 'fixed', coefficient: 8 }),
      limits: {}, air: { inlet: AIR },
    });
    const solution = atLoadCurrent(new RackModel(rack), scenarioOf([shelf(1), load(n)]), 800);
    for (const [pole, temperature] of [
      ['supply', solution.supplyTemperature], ['return', solution.returnTemperature],
    ] as const) {
      publishedCheck({
        ...closed, quantity: `middle of a 10 m ladder, ${BAR}, rise of the ${pole} pole at 800 A`, published: 66.1534,
        ours: temperature[100] - AIR,
      });
    }
  });

  it('the ladder loses its steady state near that current too', () => {
    const n = 101;
    const pole = plainPole(n, { plates, emissivity: 0 });
    const rack = sampleRack({
      slotCount: n, pitch: 0.1, supply: pole, return: pole, films: filmsOf({ model: 'fixed', coefficient: 8 }),
      limits: {}, setVoltage: 5000, air: { inlet: AIR },
    });
    const rated = new RackModel(rack).rate(scenarioOf([shelf(1), load(n)]));
    expect(rated.limit).toBe('no-steady-state');
    const current = rated.power / 5000;
    // The search stops at 1000 °C, which a long bar reaches at this current.
    const cap = 1000 - 35;
    const atCap = Math.sqrt((0.88 * cap * 2.5e-4) / (COPPER.resistivity20 * (1 + 0.00393 * 980)));
    publishedCheck({
      section: 'B', quantity: `10 m ladder, ${BAR}, current that brings it to 1000 °C`,
      source: 'closed form: I²ρ20[1+α·980]/A = hP·965', unit: 'A', published: atCap, ours: current,
      tolerance: { relative: 5e-3 }, why: 'the poles end at both contacts; the search stops at 1000 °C',
    });
    expect(current).toBeLessThan(1801.89);
  });
});

describe('bar with both ends held at the air’s temperature, half-length 0.5 m, 800 A', () => {
  /** Rise mid-way between two end nodes 1 m apart that are tied to the air. */
  function midRise(steps: number, coefficient: number): number {
    const n = steps + 1;
    const pole = plainPole(n, { plates, emissivity: 0 });
    const rack = sampleRack({
      slotCount: n, pitch: 1 / steps, supply: pole, return: pole, films: filmsOf({ model: 'fixed', coefficient }),
      limits: {}, air: { inlet: AIR },
    });
    const tied = { heatConductance: 1e9, heatRise: 0 };
    const solution = atLoadCurrent(new RackModel(rack), scenarioOf([shelf(1, tied), load(n, tied)]), 800);
    return solution.supplyTemperature[steps / 2] - AIR;
  }

  // kA·θ'' = hPθ − I²ρ20[1 + α(θ + 15)]/A with θ = 0 at both ends.
  const perMetre = (800 ** 2 * COPPER.resistivity20) / 2.5e-4;
  const conduction = 391 * 2.5e-4;
  const feedback = perMetre * 0.00393;
  const source = perMetre * (1 + 0.00393 * 15);
  const decay = Math.sqrt((0.88 - feedback) / conduction);
  const withFilm = (source / (0.88 - feedback)) * (1 - 1 / Math.cosh(0.5 * decay));
  const adiabatic = (source / feedback) * (1 / Math.cos(0.5 * Math.sqrt(feedback / conduction)) - 1);

  it.each([
    ['film 8 W/m²K', 8, withFilm, 33.8522, 5e-5],
    ['adiabatic sides', 0, adiabatic, 73.248, 5e-4],
  ])('%s: the ladder meets the closed form to 1e-6, its error falling with the square of the step', (
    name, coefficient, expected, published, digits,
  ) => {
    const [coarse, middle, fine] = [20, 40, 80].map((steps) => midRise(steps, coefficient));
    // Richardson's extrapolation removes the h² term.
    const limit = fine + (fine - middle) / 3;
    const common = {
      section: 'B', source: 'closed form: kAθ″ = hPθ − I²ρ20[1+α(θ+15)]/A, θ = 0 at both ends',
    } as const;
    publishedCheck({
      ...common, quantity: `bar 1 m between ends held at 35 °C, ${name}, rise of its middle at 800 A`, unit: 'K',
      published, ours: limit, tolerance: { absolute: digits },
      why: 'digits printed; steps of 1/20, 1/40, 1/80 m to zero',
    });
    expect(Math.abs(limit / expected - 1)).toBeLessThan(1e-6);
    publishedCheck({
      ...common, quantity: `bar 1 m between ends held at 35 °C, ${name}, order of the error in the step`,
      unit: '1', published: 2, ours: Math.log2((coarse - middle) / (middle - fine)), tolerance: { absolute: 0.1 },
      why: 'central differences are of second order; the next order has not died out yet',
    });
  });

  it('adiabatic sides run away at 1886.67 A = (π/2)·√(kA²/(ρ20·α))/half-length', () => {
    const runaway = ((Math.PI / 2) * Math.sqrt((391 * 2.5e-4 ** 2) / (COPPER.resistivity20 * 0.00393))) / 0.5;
    // Rise of the middle = (1/cos(½π·I/runaway) − 1)·(1 + 15α)/α: solved for the runaway from the rise at 800 A.
    const [middle, fine] = [40, 80].map((steps) => midRise(steps, 0));
    const rise = fine + (fine - middle) / 3;
    const angle = Math.acos(1 / (1 + (rise * 0.00393) / (1 + 0.00393 * 15)));
    publishedCheck({
      section: 'B', quantity: 'bar 1 m between ends held at 35 °C, adiabatic sides, current of runaway',
      source: 'closed form: (π/2)·√(kA²/(ρ20·α))/half-length', unit: 'A', published: 1886.67,
      ours: ((Math.PI / 2) * 800) / angle, tolerance: { absolute: 5e-3 }, why: 'digits printed',
    });
    const n = 41;
    const pole = plainPole(n, { plates, emissivity: 0 });
    const rack = sampleRack({
      slotCount: n, pitch: 1 / 40, supply: pole, return: pole, films: filmsOf({ model: 'fixed', coefficient: 0 }),
      limits: {}, setVoltage: 5000, air: { inlet: AIR },
    });
    const tied = { heatConductance: 1e9, heatRise: 0 };
    const scenario = scenarioOf([shelf(1, tied), load(n, tied)]);
    const model = new RackModel(rack);
    expect(model.solutionAt(scenario, 5000 * runaway * 1.01, model.states(scenario)[0]).status).toBe('no-steady-state');
    expect(model.rate(scenario).limit).toBe('no-steady-state');
  });
});

describe('uniform feeder', () => {
  const feeder = {
    section: 'B', unit: '1', tolerance: { relative: 1e-6 },
    why: 'the loads’ currents follow the voltage, which drops by 2e-8',
  } as const;
  /** Loop of both poles with negligible heating: constant-power loads then draw constant current. */
  const smallPower = 0.5;
  const r20 = (2 * 1.724138e-8 * 0.04445) / (0.187 * 0.01);
  const stepResistance = r20 * (1 + 0.00393 * 5);

  it('fed at one end: far drop I·R·(n+1)/(2n), loss I²·R·(n+1)(2n+1)/(6n²)', () => {
    const n = 43;
    const rack = sampleRack({ limits: {} });
    const model = new RackModel(rack);
    const scenario = scenarioOf([shelf(1), ...slots(2, n + 1).map((s) => load(s))]);
    const solution = solved(model, scenario, smallPower, model.states(scenario)[0]);
    const current = smallPower / 50;
    const whole = n * stepResistance;
    const drop = solution.voltage[0] - solution.voltage[n];
    publishedCheck({
      ...feeder, quantity: 'feeder fed at one end, 43 equal loads, far drop over I·R',
      source: 'closed form: (n+1)/(2n)', published: 44 / 86, ours: drop / (current * whole),
    });
    publishedCheck({
      ...feeder, quantity: 'feeder fed at one end, 43 equal loads, loss over I²·R',
      source: 'closed form: (n+1)(2n+1)/(6n²)', published: (44 * 87) / (6 * 43 ** 2),
      ours: solution.balance.jouleHeat / (current ** 2 * whole),
    });
  });

  it('fed at both ends with equal voltage: drop to I·R/8, loss to I²·R/12 as the steps grow finer', () => {
    const found = [9, 41].map((n) => {
      const pole = plainPole(n + 2);
      const rack = sampleRack({
        slotCount: n + 2, supply: pole, return: pole, sharing: { model: 'droop' }, limits: {},
      });
      const model = new RackModel(rack);
      const scenario = scenarioOf([shelf(1), shelf(n + 2), ...slots(2, n + 1).map((s) => load(s))]);
      const solution = solved(model, scenario, smallPower, model.states(scenario)[0]);
      const current = smallPower / 50;
      const whole = (n + 1) * stepResistance;
      const drop = (solution.voltage[0] - Math.min(...solution.voltage)) / (current * whole);
      const loss = solution.balance.jouleHeat / (current ** 2 * whole);
      // Exact for n equal loads at equal steps between the feeds.
      expect(drop).toBeCloseTo((n + 1) / (8 * n), 7);
      expect(loss).toBeCloseTo((n + 2) / (12 * n), 7);
      return { n, drop, loss };
    });
    // Both are linear in 1/n.
    const [few, many] = found;
    const limit = (key: 'drop' | 'loss') => (many[key] * many.n - few[key] * few.n) / (many.n - few.n);
    publishedCheck({
      ...feeder, quantity: 'feeder fed at both ends with equal voltage, largest drop over I·R',
      source: 'closed form: 1/8, loads evenly spread', published: 1 / 8, ours: limit('drop'),
    });
    publishedCheck({
      ...feeder, quantity: 'feeder fed at both ends with equal voltage, loss over I²·R',
      source: 'closed form: 1/12, loads evenly spread', published: 1 / 12, ours: limit('loss'),
    });
  });
});

describe('constant-power load of 10 kW behind 10 mΩ at 50 V', () => {
  const perfect = plainPole(2, { material: { ...COPPER, resistivity20: 1e-20 } });
  const rack = sampleRack({ slotCount: 2, supply: perfect, return: perfect, sharing: { model: 'droop' }, limits: {} });
  const scenario = scenarioOf([shelf(1, { contactResistance: [5e-3, 5e-3], contactHeatShare: 0 }), load(2)]);
  const model = new RackModel(rack);
  const [state] = model.states(scenario);

  const common = { section: 'B', source: 'closed form: U = (50 + √(50² − 4·P·R))/2', why: 'digits printed' } as const;

  it('draws 208.712 A at 47.9129 V: U = (50 + √(50² − 4·P·R))/2', () => {
    const solution = solved(model, scenario, 10_000, state);
    publishedCheck({
      ...common, quantity: '10 kW behind 10 mΩ at 50 V, voltage', unit: 'V', published: 47.9129,
      ours: solution.units[1].voltage, tolerance: { absolute: 5e-5 },
    });
    publishedCheck({
      ...common, quantity: '10 kW behind 10 mΩ at 50 V, current', unit: 'A', published: 208.712,
      ours: solution.units[1].current, tolerance: { absolute: 5e-4 },
    });
  });

  it('has no solution above 62.5 kW = U²/(4R)', () => {
    expect(model.solutionAt(scenario, 62_499, state).status).toBe('solved');
    expect(model.solutionAt(scenario, 62_501, state).status).toBe('voltage-collapse');
    const rated = model.rate(scenario);
    expect(rated.limit).toBe('voltage-collapse');
    publishedCheck({
      ...common, quantity: 'largest power behind 10 mΩ at 50 V', source: 'closed form: U²/(4R)', unit: 'kW',
      published: 62.5, ours: rated.power / 1000, tolerance: { relative: 1e-6 },
      why: 'the search narrows the power to 1e-9; near the collapse the voltage is lost to rounding',
    });
  });

  it('the same in the load’s own contacts', () => {
    const own = scenarioOf([shelf(1), load(2, { contactResistance: [5e-3, 5e-3], contactHeatShare: 0 })]);
    const solution = solved(model, own, 10_000, state);
    publishedCheck({
      ...common, quantity: '10 kW behind 10 mΩ of its own contacts at 50 V, voltage', unit: 'V', published: 47.9129,
      ours: solution.units[1].voltage, tolerance: { absolute: 5e-5 },
    });
    expect(model.solutionAt(own, 62_501, state).status).toBe('voltage-collapse');
  });
});
