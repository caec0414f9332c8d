/** What a solve does when it goes wrong: sweeps whose outcome is written down here, and bars small enough for a pencil. */
import { describe, expect, it } from 'vitest';
import { RackModel, rateScenario } from '../../lib/ladder/index.js';
import { HIGHEST_TEMPERATURE, Ladder, LARGEST_STEP } from '../../lib/ladder/ladder.js';
import type { Pole } from '../../lib/rack/model.js';
import { absurdRack, bothSides } from './absurdRack.js';
import { COPPER, filmsOf, load, onePlate, plainPole, sampleRack, scenarioOf, shelf } from './sampleRack.js';

const SOLVED = 0;
const COLLAPSE = 1;
const NO_MATRIX = 2;

/** What one sweep finds: how it ended and by how much it would move temperatures, K. */
type Change = number | ((entry: number) => number);
type Sweep = { readonly ended: number; readonly change?: Change };
const moving = (change: Change): Sweep => ({ ended: SOLVED, change });

const three = sampleRack({ slotCount: 3, limits: {}, air: { inlet: 300, profile: [0, 4, 2] } });
const fed = scenarioOf([shelf(1), load(3)]);

/** A solve of which every sweep does what the script says, and the temperatures (K) that each sweep started from. */
function scripted(script: (sweep: number, temperature: Float64Array) => Sweep, options: {
  readonly start?: number | readonly number[]; readonly shift?: (sweep: number) => number; readonly rack?: typeof three; readonly scenario?: typeof fed;
  readonly lastSolve?: number;
} = {}) {
  const ladder = new Ladder(options.rack ?? three);
  ladder.mount(options.scenario ?? fed);
  ladder.setState(ladder.states[0]);
  const { temperature, change } = ladder.thermal;
  ladder.kernel.call.beginAt(1e-6);
  if (typeof options.start === 'number') temperature.fill(options.start);
  else if (options.start !== undefined) temperature.set(options.start);
  const seen: number[][] = [];
  const called: string[] = [];
  const note = (name: string) => () => {
    called.push(name);
    return options.lastSolve ?? 1;
  };
  const call = {
    ...ladder.kernel.call,
    sweep: () => {
      const { ended, change: moves = 0 } = script(seen.length, temperature);
      seen.push([...temperature]);
      for (let e = 0; e < change.length; e++) change[e] = typeof moves === 'number' ? moves : moves(e);
      return ended;
    },
    currentShift: () => options.shift?.(seen.length - 1) ?? 0,
    updateLoopResistance: note('resistance'), updateOwnSpreading: note('spreading'), solveCurrents: note('currents'), updateContacts: note('contacts'),
  };
  Object.defineProperty(ladder.kernel, 'call', { value: call });
  const status = ladder.solve(1000);
  return { status, sweeps: seen.length, seen, first: seen.map(([at]) => at), end: [...temperature], called };
}

/** The changes of the list in turn, none after it. */
const listed = (...changes: readonly number[]) => (sweep: number) => moving(changes[sweep] ?? 0);
const eight = (change: number) => Array.from({ length: 8 }, () => change);

describe('a solve whose sweeps move nothing more', () => {
  it('ends with currents once more at the settled resistances', () => {
    const { status, sweeps, end, called } = scripted(listed(5, -2, 0.5), { start: 300 });
    expect({ status, sweeps }).toEqual({ status: 'solved', sweeps: 4 });
    expect(end).toEqual(new Array(6).fill(303.5));
    expect(called).toEqual(['resistance', 'spreading', 'currents', 'contacts']);
  });

  it('is lost where those currents are not to be found', () => {
    expect(scripted(listed(), { lastSolve: 0 })).toMatchObject({ status: 'voltage-collapse', called: ['resistance', 'spreading', 'currents'] });
  });

  it('goes on while any node is still moved by more than 1e-10 K, up or down', () => {
    for (const size of [1.01e-10, -1.01e-10]) {
      const last = (e: number) => (e === 5 ? size : 0);
      expect(scripted((sweep) => moving(sweep < 3 ? last : 0)).sweeps).toBe(4);
    }
    expect(scripted(listed(0.99e-10)).sweeps).toBe(1);
  });

  it('goes on while contacts ask for other currents', () => {
    expect(scripted(listed(), { shift: (sweep) => (sweep < 6 ? 1.01e-10 : 1e-10) })).toMatchObject({ status: 'solved', sweeps: 7 });
  });

  it('has not converged where that does not happen in 400 sweeps', () => {
    expect(scripted(listed(), { shift: () => 1 })).toMatchObject({ status: 'not-converged', sweeps: 400, called: [] });
  });
});

describe('a voltage that collapses', () => {
  const cold = sampleRack({ slotCount: 3, limits: {}, air: { inlet: 300, profile: [0, 4, 2] } });

  it('at the start is looked at once more on the coldest bar that there can be', () => {
    const { status, seen } = scripted(() => ({ ended: COLLAPSE }), { start: 900 });
    expect(status).toBe('voltage-collapse');
    expect(seen).toEqual([new Array(6).fill(900), new Array(6).fill(300)]);
  });

  it.each([
    ['a unit that chills', 282, { heatConductance: 1e-3, heatRise: -20 }, null],
    ['a unit that would chill if anything conducted', 300, { heatConductance: 0, heatRise: -50 }, null],
    ['a unit that warms', 300, { heatConductance: 1, heatRise: 50 }, null],
    ['surroundings', 250, {}, 250], ['warmer surroundings', 300, {}, 310],
  ])('beside %s means %d K', (_, coldest, heat, surroundings) => {
    const rack = { ...cold, air: { ...cold.air, surroundings } };
    const scenario = scenarioOf([shelf(1), load(3, heat)]);
    const { seen } = scripted(() => ({ ended: COLLAPSE }), { rack, scenario, start: 900 });
    expect(seen[1]).toEqual(new Array(6).fill(coldest));
  });

  it('cools what is warmer and warms nothing', () => {
    const { seen } = scripted((sweep, temperature) => {
      if (sweep === 0) temperature.set([290, 500, 280, 300, 301, 299]);
      return { ended: COLLAPSE };
    });
    expect(seen[1]).toEqual([290, 300, 280, 300, 300, 299]);
  });

  it('after the start and a cooling goes on where the cold bar carries', () => {
    const { status, sweeps, end } = scripted((sweep) => (sweep === 0 ? { ended: COLLAPSE } : moving(sweep === 1 ? 7 : 0)), { start: 900 });
    expect({ status, sweeps }).toEqual({ status: 'solved', sweeps: 3 });
    expect(end).toEqual(new Array(6).fill(307));
  });

  it('later goes back halfway, again and again, to the temperatures that carried, 40 times at most', () => {
    const { status, first } = scripted((sweep) => (sweep === 0 ? moving(64) : { ended: COLLAPSE }), { start: 300 });
    expect(status).toBe('voltage-collapse');
    expect(first.slice(0, 6)).toEqual([300, 364, 332, 316, 308, 304]);
    expect(first.length).toBe(1 + 41);
    expect(scripted((sweep) => (sweep === 0 ? moving(64) : sweep <= 40 ? { ended: COLLAPSE } : moving(0)), { start: 300 }).status).toBe('solved');
  });

  it('goes back to the last temperatures that carried, not to the first', () => {
    const { first } = scripted((sweep) => (sweep === 2 ? { ended: COLLAPSE } : moving([16, 16][sweep] ?? 0)), { start: 300 });
    expect(first).toEqual([300, 316, 332, 324]);
  });

  it('also where there was no M-matrix', () => {
    const { status, first } = scripted((sweep) => (sweep === 0 ? { ended: NO_MATRIX } : sweep === 1 ? { ended: COLLAPSE } : moving(0)), { start: 300 });
    expect(status).toBe('solved');
    expect(first).toEqual([300, 340, 320]);
  });

  it('begins relaxation anew', () => {
    // At the ninth sweep the factor is 1·(1 − −1)/(1 − −1)² = 1/2; after a collapse it starts from 1 again: 1/2, not 1/4.
    const changes = [...eight(1), -1, Number.NaN, 1];
    const { first } = scripted((sweep) => (sweep === 9 ? { ended: COLLAPSE } : moving(changes[sweep] ?? 0)), { start: 300 });
    expect(first.slice(8, 12)).toEqual([308, 307.5, 307.75, 308.25]);
  });
});

describe('a bar on which heat grows faster than what takes it away', () => {
  it('is looked at 40 K warmer each time up to the highest temperature, and then has no steady state', () => {
    const { status, first } = scripted(() => ({ ended: NO_MATRIX }), { start: 310 });
    expect(status).toBe('no-steady-state');
    expect(first).toEqual(Array.from({ length: 25 }, (_, k) => 310 + 40 * k));
  });

  it('is looked at at the highest temperature itself', () => {
    expect(scripted(() => ({ ended: NO_MATRIX }), { start: HIGHEST_TEMPERATURE - 40 }).sweeps).toBe(2);
    expect(scripted(() => ({ ended: NO_MATRIX }), { start: HIGHEST_TEMPERATURE - 39 }).sweeps).toBe(1);
  });

  it('is given up where its hottest node is too hot, whichever that is', () => {
    for (const hot of [0, 5]) {
      const { sweeps } = scripted((sweep, temperature) => {
        if (sweep === 0) temperature[hot] = HIGHEST_TEMPERATURE - 81;
        return { ended: NO_MATRIX };
      }, { start: 300 });
      expect(sweeps).toBe(3);
    }
  });

  it('is raised 40 times at most', () => {
    expect(scripted((sweep, t) => {
      if (sweep > 0) t.fill(300);
      return sweep < 40 ? { ended: NO_MATRIX } : moving(0);
    }, { start: 300 })).toMatchObject({ status: 'solved', sweeps: 41 });
    expect(scripted((sweep, t) => {
      if (sweep > 0) t.fill(300);
      return { ended: NO_MATRIX };
    }, { start: 300 })).toMatchObject({ status: 'no-steady-state', sweeps: 41 });
  });
});

describe('steps of temperature', () => {
  it('up are limited, steps down are not', () => {
    expect(scripted(listed(LARGEST_STEP + 100, -500), { start: 800 }).first).toEqual([800, 1000, 500]);
    expect(scripted(listed(LARGEST_STEP - 1, 1), { start: 300 }).first).toEqual([300, 499, 500]);
  });

  it('never pass the highest temperature; thirteen sweeps in a row there have no steady state', () => {
    const { status, first } = scripted(() => moving(150), { start: 1000 });
    expect(status).toBe('no-steady-state');
    expect(first).toEqual([1000, 1150, ...new Array(12).fill(HIGHEST_TEMPERATURE)]);
    expect(scripted((sweep) => moving(sweep < 13 ? 150 : 0), { start: 1000 }).status).toBe('solved');
  });

  it('are counted anew once they are below it', () => {
    const down = (sweep: number) => moving(sweep === 11 ? -1 : sweep < 20 ? 1000 : 0);
    expect(scripted((sweep, t) => {
      if (sweep === 11) t.fill(300);
      return down(sweep);
    }, { start: 1250 }).status).toBe('solved');
  });

  it('that are no numbers count as too hot', () => {
    expect(scripted(() => moving(Number.NaN), { start: 300 })).toMatchObject({ status: 'no-steady-state', sweeps: 13 });
  });

  it('are not settled at the highest temperature, however small', () => {
    expect(scripted(() => moving(5e-11), { start: HIGHEST_TEMPERATURE }).status).not.toBe('solved');
  });

  it('of one mode that would grow by any factor, or hardly shrink, are cut to the solution at the ninth sweep', () => {
    const uneven = [1, 2, -3, 0.5, 4, -1];
    for (const gain of [-3, -0.9, 0.5, 0.89]) {
      // What is left of each node's distance is `gain` times as much after a plain sweep.
      const { status, sweeps, end } = scripted((_, t) => {
        const now = [...t];
        return moving((e) => (gain - 1) * (now[e] - 400));
      }, { start: uneven.map((part) => 400 + 1e-4 * part) });
      expect(status).toBe('solved');
      expect(sweeps).toBeLessThanOrEqual(11);
      for (const temperature of end) expect(temperature).toBeCloseTo(400, 8);
    }
  });

  it.each([
    ['no shorter than a twentieth', -50, -2.5], ['no longer than ten times', 0.99, 9.9], ['twice as long where they stay', 1, 2],
    ['twice as long where they grow', 1.5, 3], ['shortened as far as they turn back', -3, -0.75], ['lengthened as they shrink', 0.5, 1],
  ])('are %s after the first eight', (_, ninth, moved) => {
    const { first } = scripted(listed(...eight(1), ninth), { start: 300 });
    expect(first.slice(0, 9)).toEqual([300, 301, 302, 303, 304, 305, 306, 307, 308]);
    expect(first[9] - 308).toBeCloseTo(moved, 9);
  });

  it('have their factor from the last factor and the last two full steps', () => {
    // 1·(1 + 1)/4 = 1/2; 1/2·(−1)(−1 − 0.5)/2.25 = 1/3.
    const { first } = scripted(listed(...eight(1), -1, 0.5), { start: 300 });
    expect(first[9] - 308).toBeCloseTo(-0.5, 9);
    expect(first[10] - first[9]).toBeCloseTo(0.5 / 3, 9);
  });
});

describe('bars on which a solve goes wrong first', () => {
  const [HIGH_VOLTAGE, FILM, AROUND, AREA] = [1e8, 8, 2 * (0.05 + 0.005), 0.05 * 0.005];
  const pole = (slotCount: number, alpha: number, second = 0.005): Pole => {
    const material = { ...COPPER, temperatureCoefficient: alpha, thermalConductivity: 1 };
    const section = (fromSlot: number, toSlot: number, thickness: number) => ({
      fromSlot, toSlot, material, plates: onePlate(0.05, thickness), emissivity: 0, openFaces: 2 as const });
    const half = Math.ceil(slotCount / 2);
    return { sections: [section(1, half, 0.005), section(half + 1, slotCount, second)], joints: [] };
  };
  const fixed = { films: filmsOf({ model: 'fixed', coefficient: FILM }), limits: {}, air: { inlet: 300 } };
  const far = scenarioOf([shelf(1), load(3)]);

  it('with no limit at all, carry what warms them to the highest temperature', () => {
    const rack = sampleRack({ slotCount: 3, pitch: 25, supply: pole(3, 0), return: pole(3, 0), setVoltage: HIGH_VOLTAGE, ...fixed });
    const rated = rateScenario(rack, far);
    const amps = Math.sqrt(((HIGHEST_TEMPERATURE - 300) * FILM * AROUND * AREA) / COPPER.resistivity20);
    expect(rated).toMatchObject({ limit: 'no-steady-state', slot: 0, pole: 'both', search: 'bracketed' });
    expect(rated.power / (HIGH_VOLTAGE * amps)).toBeCloseTo(1, 6);
  });

  it('begun so hot that their voltage collapses, settle at the cooler of the two rises that carry the power', () => {
    const wire = plainPole(2, { plates: onePlate(0.05, 0.005), emissivity: 0 });
    const ladder = new Ladder(sampleRack({ slotCount: 2, pitch: 20, supply: wire, return: wire, ...fixed }));
    ladder.mount(scenarioOf([shelf(1), load(2)]));
    // ½·I²·R = h·perimeter·pitch·rise, P = U·I − 2·I²·R.
    const resistance = (rise: number) => ((COPPER.resistivity20 * 20) / AREA) * (1 + 0.00393 * (rise + 6.85));
    const current = (rise: number) => Math.sqrt((2 * FILM * AROUND * 20 * rise) / resistance(rise));
    const power = (rise: number) => 50 * current(rise) - 2 * current(rise) ** 2 * resistance(rise);
    for (const rise of [1, 3, 5]) {
      for (const start of [250, 300, 700, 1273]) {
        ladder.setState(ladder.states[0]);
        ladder.thermal.temperature.fill(start);
        expect(ladder.solve(power(rise))).toBe('solved');
        for (const temperature of ladder.thermal.temperature) expect(temperature - 300).toBeCloseTo(rise, 7);
      }
    }
  });

  it('begun at their air, where a film of still air takes nothing away, settle where the film formula says', () => {
    const rack = sampleRack({
      slotCount: 3, pitch: 25, supply: pole(3, 0.00393), return: pole(3, 0.00393), setVoltage: HIGH_VOLTAGE, ...fixed,
      films: filmsOf({ model: 'handbook' }),
    });
    const ladder = new Ladder(rack);
    ladder.mount(far);
    ladder.setState(ladder.states[0]);
    ladder.thermal.temperature.fill(300);
    const amps = 300;
    expect(ladder.solve(amps * HIGH_VOLTAGE)).toBe('solved');
    const { temperature } = ladder.thermal;
    for (const p of [0, 1]) {
      const t = [0, 1, 2].map((i) => temperature[2 * i + p]);
      const segment = (a: number, b: number) => ((COPPER.resistivity20 * 25) / AREA) * (1 + 0.00393 * ((a + b) / 2 - 293.15));
      const joule = 0.5 * amps ** 2 * (segment(t[0], t[1]) + segment(t[1], t[2]));
      const conducted = ((2 * t[1] - t[0] - t[2]) * AREA) / 25;
      const lost = 7.66 * ((t[1] - 300) / 75_000) ** 0.25 * AROUND * 25 * (t[1] - 300);
      expect(joule / (conducted + lost)).toBeCloseTo(1, 6);
    }
  });

  it('that push current to and fro between two ways to a load, settle where both ways drop the same voltage', () => {
    // Each way's share falls as it warms: at rises of several hundred K what one sweep shifts, the next more than shifts back.
    const n = 9;
    const rack = sampleRack({
      slotCount: n, pitch: 20, supply: pole(n, 0.00393, 0.0049), return: pole(n, 0.00393), setVoltage: 1e6, sharing: { model: 'droop' }, ...fixed,
    });
    const soft = { droopResistance: 1e-6 };
    const scenario = scenarioOf([shelf(1, soft), load(5), shelf(n, soft)]);
    const model = new RackModel(rack);
    const solution = model.solutionAt(scenario, 2700e6, model.states(scenario)[0]);
    if (solution.status !== 'solved') throw new Error(`expected a solution, got ${solution.status}`);
    const rises = solution.supplyTemperature.map((t) => t - 300);
    expect(Math.max(...rises)).toBeGreaterThan(300);
    expect(solution.sweeps).toBeLessThan(60);
    const [left, right] = [solution.segmentCurrent[0], -solution.segmentCurrent[n - 2]];
    let drop = 1e-6 * (left - right);
    [solution.supplyTemperature, solution.returnTemperature].forEach((t, p) => {
      for (let i = 0; i < n - 1; i++) {
        const halves = [i, i + 1].map((slot) => (p === 0 && slot >= 5 ? 0.0049 : 0.005));
        const ohms = halves.reduce((sum, thickness) => sum + (COPPER.resistivity20 * 10) / (0.05 * thickness), 0);
        drop += solution.segmentCurrent[i] * ohms * (1 + 0.00393 * ((t[i] + t[i + 1]) / 2 - 293.15));
      }
    });
    expect(Math.abs(drop) / (solution.units[0].voltage)).toBeLessThan(1e-9);
    expect(left + right).toBeCloseTo(solution.units[1].current, 6);
    expect(Math.abs(solution.balance.heatResidual)).toBeLessThan(1e-9 * solution.balance.heatIn);
  });
});

describe('absurd racks', () => {
  it.each([
    // Cooling, retreats and relaxation of all lengths.
    ['936.1', 'voltage-collapse', 703], ['750.8', 'voltage-collapse', 215],
    // Far trials, a first loss after a carried power.
    ['988.1', 'voltage-collapse', 256],
    // The highest temperature, for a while or for good.
    ['528.7', 'source-current', 425], ['405.9', 'no-steady-state', 404], ['922.2', 'no-steady-state', 613], ['101.3', 'source-current', 15],
    // No M-matrix, once or as often as may be.
    ['511.1', 'bar-temperature', 110], ['472.0', 'bar-rise', 169], ['1222.6', 'source-power', 19], ['692.3', 'source-current', 25], ['330.2', 'contact-temperature', 12],
    // Solves that do not settle just beyond the last solution.
    ['1098.5', 'bar-rise', 4019],
    // Halving after slow secants; nothing carried; a jump of the use.
    ['923.0', 'contact-temperature', 293], ['690.3', 'contact-temperature', 143], ['835.1', 'lowest-load-voltage', 105], ['715.5', 'bar-rise', 730],
    // Another state that ends the search, or only the bracketed search rates.
    ['179.1', 'contact-temperature', 58], ['1121.4', 'source-current', 49], ['608.9', 'contact-temperature', 28], ['1034.6', 'bar-temperature', 104],
    ['409.6', 'source-power', 106],
  ])('%s is bound by %s, holds on both sides, and takes no more than %d sweeps and a tenth', (name, limit, sweeps) => {
    const [index, placement] = name.split('.').map(Number);
    const { rack, scenarios } = absurdRack(index, placement + 1);
    const rated = rateScenario(rack, scenarios[placement]);
    expect(rated.limit).toBe(limit);
    expect(bothSides(new RackModel(rack), scenarios[placement], rated.power)).toBeNull();
    expect(rated.sweeps).toBeLessThanOrEqual(1.1 * sweeps);
  });

  it('357.9, on which no solve settles within a hundred-thousandth of the last solution, says what is lost there', () => {
    const { rack, scenarios } = absurdRack(357, 10);
    const rated = rateScenario(rack, scenarios[9]);
    expect(rated.limit).toBe('voltage-collapse');
    expect(rated.sweeps).toBeLessThanOrEqual(1.1 * 7134);
    const model = new RackModel(rack);
    const at = (part: number) => model.states(scenarios[9]).map((state) => model.solutionAt(scenarios[9], part * rated.power, state));
    for (const solution of at(1 - 2e-5)) expect(solution).toMatchObject({ status: 'solved' });
    expect(at(1 + 2e-5).map(({ status }) => status)).toContain('voltage-collapse');
  });
});
