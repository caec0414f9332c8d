/** Loads over time on bars small enough for a pencil: two nodes, or nodes so far apart that each stands alone. */
import { describe, expect, it } from 'vitest';
import {
  adiabaticCurrent, followLoad, NoRoomForPeak, type OperatingState, type PeakQuestion, RatingError, ratedPeak, TransientLadder,
} from '../../lib/ladder/index.js';
import type { Pole } from '../../lib/rack/model.js';
import { battery, COPPER, filmsOf, load, onePlate, plainPole, sampleRack, scenarioOf, shelf } from './sampleRack.js';

const STATE: OperatingState = { rule: 'all-in-service', outSlot: 0, active: [1] };
const AIR = 300;
const FILM = 10;
/** Constant resistance, and so little conduction that the two halves have temperatures of their own. */
const metal = { ...COPPER, temperatureCoefficient: 0, thermalConductivity: 40 };
const thicknesses = [0.004, 0.012];

function poleOf(first: number, second: number): Pole {
  return {
    sections: [first, second].map((thickness, i) => (
      { fromSlot: i + 1, toSlot: i + 1, material: metal, plates: onePlate(0.05, thickness), emissivity: 0, openFaces: 2 as const })),
    joints: [],
  };
}

/** So high a voltage that a power is a current. */
const VOLTS = 1e6;
const pair = sampleRack({
  slotCount: 2, pitch: 0.1, supply: poleOf(thicknesses[0], thicknesses[1]), return: poleOf(thicknesses[0], thicknesses[0]),
  films: filmsOf({ model: 'fixed', coefficient: FILM }), limits: { barRise: 60 }, setVoltage: VOLTS, air: { inlet: AIR },
});
const placed = scenarioOf([shelf(1), load(2)]);

/** J/K, W/K to the air and W/K between both nodes; W per squared ampere into each. */
function nodesOf(plates: readonly number[]) {
  const area = plates.map((t) => 0.05 * t);
  const capacity = area.map((a) => 8890 * 385 * a * 0.1);
  const toAir = plates.map((t) => FILM * 2 * (0.05 + t) * 0.1);
  const between = 1 / area.reduce((sum, a) => sum + 0.05 / (40 * a), 0);
  const joule = 0.5 * area.reduce((sum, a) => sum + (1.724138e-8 * 0.05) / a, 0);
  return { capacity, toAir, between, joule };
}

/** Rises of both nodes after a stretch of constant current, by many small steps of the midpoint rule. */
function stepped(plates: readonly number[], from: readonly number[], current: number, seconds: number): number[] {
  const { capacity, toAir, between, joule } = nodesOf(plates);
  const rate = ([a, b]: readonly number[]) => [
    (joule * current ** 2 - toAir[0] * a - between * (a - b)) / capacity[0],
    (joule * current ** 2 - toAir[1] * b - between * (b - a)) / capacity[1],
  ];
  let [a, b] = from;
  const steps = 4000;
  const dt = seconds / steps;
  for (let k = 0; k < steps; k++) {
    const half = rate([a, b]);
    const [da, db] = rate([a + 0.5 * dt * half[0], b + 0.5 * dt * half[1]]);
    a += dt * da;
    b += dt * db;
  }
  return [a, b];
}

/** Rises of both nodes that last. */
function settled(plates: readonly number[], current: number): number[] {
  const { toAir: [p, q], between, joule } = nodesOf(plates);
  const watts = joule * current ** 2;
  const determinant = (p + between) * (q + between) - between ** 2;
  return [(watts * (q + 2 * between)) / determinant, (watts * (p + 2 * between)) / determinant];
}

function mounted(tolerance: number): TransientLadder {
  const transient = new TransientLadder(pair, tolerance);
  transient.mount(placed, STATE);
  return transient;
}

const rises = (transient: TransientLadder) => [...transient.temperature].map((t) => t - AIR);

describe('a bar of two nodes', () => {
  it('begins at rises that balance, and has the slower pole’s slowest time constant', () => {
    const transient = mounted(0.01);
    expect(transient.beginSteady(900 * VOLTS)).toBe('solved');
    const [supply, back] = [settled(thicknesses, 900), settled([0.004, 0.004], 900)];
    [supply[0], back[0], supply[1], back[1]].forEach((rise, e) => {
      expect(rises(transient)[e] / rise).toBeCloseTo(1, 6);
    });
    // Roots of a quadratic: the smaller is the slower.
    const slowest = (plates: readonly number[]) => {
      const { capacity: [c, d], toAir: [p, q], between } = nodesOf(plates);
      const [a, b] = [(p + between) / c, (q + between) / d];
      return 1 / ((a + b) / 2 - Math.sqrt(((a - b) / 2) ** 2 + between ** 2 / (c * d)));
    };
    expect(slowest(thicknesses)).toBeGreaterThan(slowest([0.004, 0.004]));
    expect(transient.timeConstant() / slowest(thicknesses)).toBeCloseTo(1, 8);
    const swapped = new TransientLadder({ ...pair, supply: pair.return, return: pair.supply }, 0.01);
    swapped.mount(placed, STATE);
    swapped.beginSteady(0);
    expect(swapped.timeConstant() / slowest(thicknesses)).toBeCloseTo(1, 8);
  });

  it('answers steps of the load as the two equations do, on both poles', () => {
    const transient = mounted(1e-4);
    transient.beginSteady(300 * VOLTS);
    let [supply, back] = [settled(thicknesses, 300), settled([0.004, 0.004], 300)];
    for (const [current, seconds] of [[900, 300], [0, 200], [1200, 90]]) {
      expect(transient.advance(current * VOLTS, seconds)).toEqual({ status: 'solved', reached: seconds });
      [supply, back] = [stepped(thicknesses, supply, current, seconds), stepped([0.004, 0.004], back, current, seconds)];
      [supply[0], back[0], supply[1], back[1]].forEach((rise, e) => {
        expect(Math.abs(rises(transient)[e] - rise)).toBeLessThan(2e-3);
      });
    }
  });

  it('with twice the area as in its build factor answers half as fast', () => {
    const times = [1, 2].map((areaFactor) => {
      const transient = new TransientLadder(pair);
      transient.mount(scenarioOf([shelf(1), load(2)], { areaFactor }), STATE);
      transient.beginSteady(0);
      return transient.timeConstant();
    });
    expect(times[1] / times[0]).toBeGreaterThan(1.9);
    expect(times[1] / times[0]).toBeLessThan(2.1);
  });
});

describe('steps in time', () => {
  it('solve two stages each, at 1 − 1/√2 of the step and at its end', () => {
    const asked: number[] = [];
    const seen: number[] = [];
    const transient = mounted(0.01);
    transient.beginSteady(0);
    transient.advance(900 * VOLTS, 500, (time) => seen.push(time), (time) => asked.push(time));
    expect(asked[0]).toBeCloseTo((1 - Math.SQRT1_2) * 0.5, 9);
    expect(asked[1]).toBeCloseTo(0.5, 9);
    expect(seen[0]).toBeCloseTo(0.5, 9);
    expect(seen.at(-1)).toBe(500);
    expect(asked.at(-1)).toBeCloseTo(500, 9);
    for (let k = 1; k < seen.length; k++) expect(seen[k]).toBeGreaterThan(seen[k - 1]);
    const lengths = seen.map((time, k) => time - (seen[k - 1] ?? 0));
    // None is a sliver: the last is no shorter than the one before.
    expect(lengths.at(-1)).toBeGreaterThanOrEqual((lengths.at(-2) ?? 0) * (1 - 1e-9));
    // The step before has a say in the next: at most four times as long.
    for (let k = 1; k < lengths.length - 1; k++) expect(lengths[k]).toBeLessThan(4.001 * lengths[k - 1]);
  });

  it('grow in number with the square root of what the tolerance shrinks by', () => {
    const counts = [1e-2, 1e-4].map((tolerance) => {
      let count = 0;
      const transient = mounted(tolerance);
      transient.beginSteady(0);
      transient.advance(900 * VOLTS, 500, () => { count++; });
      return count;
    });
    expect(counts[1] / counts[0]).toBeGreaterThan(5);
    expect(counts[1] / counts[0]).toBeLessThan(14);
    expect(counts[0]).toBeLessThan(60);
  });

  it('are taken again where they were too long to begin with', () => {
    const transient = mounted(1e-3);
    transient.beginSteady(0);
    const seen: number[] = [];
    // A thousandth of the stretch is longer than the bar takes to warm.
    transient.advance(900 * VOLTS, 2e6, (time) => {
      seen.push(time);
      if (seen.length === 1) expect(rises(transient)[1]).toBeCloseTo(stepped([0.004, 0.004], [0, 0], 900, time)[0], 2);
    });
    expect(seen[0]).toBeLessThan(500);
  });

  it('are as long as the embedded method of first order allows: √(tolerance/error), less a tenth', () => {
    const bar = plainPole(3, { plates: onePlate(0.05, 0.005), material: { ...COPPER, temperatureCoefficient: 0, thermalConductivity: 1 }, emissivity: 0 });
    const apart = sampleRack({
      slotCount: 3, pitch: 25, supply: bar, return: bar, films: filmsOf({ model: 'fixed', coefficient: 8 }), limits: {}, setVoltage: 1e8,
      air: { inlet: AIR },
    });
    const tau = (8890 * 385 * 2.5e-4) / (8 * 0.11);
    const final = 60;
    const seen: number[] = [];
    const transient = new TransientLadder(apart, 0.01);
    transient.mount(scenarioOf([shelf(1), load(3)]), STATE);
    transient.beginSteady(0);
    transient.advance(1e8 * Math.sqrt((final * 8 * 0.11 * 2.5e-4) / 1.724138e-8), 4000, (time) => seen.push(time));
    const gamma = 1 - Math.SQRT1_2;
    let rise = 0;
    for (let k = 0; k < seen.length - 3; k++) {
      // One step on τ·dθ/dt = final − θ: rates at both stages, their difference, the next step.
      const h = seen[k] - (seen[k - 1] ?? 0);
      const first = (final - rise) / (tau + gamma * h);
      const second = (final - rise - (1 - gamma) * h * first) / (tau + gamma * h);
      const error = (0.5 - gamma) * h * Math.abs(second - first);
      rise += h * ((1 - gamma) * first + gamma * second);
      expect(error).toBeLessThanOrEqual(0.01);
      expect((seen[k + 1] - seen[k]) / (h * Math.min(4, 0.9 * Math.sqrt(0.01 / error)))).toBeCloseTo(1, 2);
    }
    expect(seen.length).toBeGreaterThan(10);
  });

  it('refuse what is no tolerance, power or time, and a bar on which nothing is placed', () => {
    for (const none of [0, -1, Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(() => new TransientLadder(pair, none)).toThrow(`tolerance ${none} K: must be above 0`);
      expect(() => mounted(0.01).advance(1, none)).toThrow(`duration ${none} s: must be above 0`);
    }
    for (const none of [-1, Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(() => mounted(0.01).advance(none, 1)).toThrow(`power ${none} W: must not be negative`);
      expect(() => mounted(0.01).beginSteady(none)).toThrow(`power ${none} W: must not be negative`);
    }
    const bare = new TransientLadder(pair);
    for (const call of [() => bare.advance(1, 1), () => bare.beginSteady(1), () => bare.estimate()]) {
      expect(call).toThrow('mount a scenario first');
    }
  });
});

describe('a load followed over time', () => {
  const history = {
    name: '', before: 300 * VOLTS, cycles: 2, steps: [{ duration: 300, power: 900 * VOLTS }, { duration: 200, power: 100 * VOLTS }],
  };

  it('has its points, its hottest place and its worst moment where the equations have them', () => {
    const { points, worst, ...found } = followLoad(new TransientLadder(pair, 1e-3), placed, history, STATE);
    expect(found).toMatchObject({ status: 'solved', reached: 1000, state: STATE });
    expect(points[0]).toMatchObject({ time: 0, power: 300 * VOLTS });
    let back = settled([0.004, 0.004], 300);
    expect(points[0].hottest - AIR).toBeCloseTo(back[0], 3);
    let passed = 0;
    for (const { duration, power } of [...history.steps, ...history.steps]) {
      passed += duration;
      back = stepped([0.004, 0.004], back, power / VOLTS, duration);
      const at = points.find(({ time }) => Math.abs(time - passed) < 1e-6);
      expect(at).toMatchObject({ power, pole: 'return', binding: { limit: 'bar-rise' } });
      expect(at?.hottest).toBeCloseTo(AIR + back[0], 1);
      expect(at?.utilisation).toBeCloseTo(back[0] / 60, 2);
    }
    expect(worst).toEqual(points.reduce((most, point) => (point.utilisation > most.utilisation ? point : most)));
    expect(worst?.time).toBeCloseTo(800, 6);
    expect([...found.temperature].length).toBe(4);
    expect(found.temperature[1]).toBeCloseTo(AIR + back[0], 1);
    for (let k = 1; k < points.length; k++) expect(points[k].time).toBeGreaterThan(points[k - 1].time);
    expect(found.timeConstant).toBeGreaterThan(100);
  });

  it('names slot and pole of the hottest point, the supply pole where both are alike', () => {
    const alike = { ...pair, return: pair.supply };
    const top = { ...pair, supply: poleOf(0.012, 0.004), return: poleOf(0.012, 0.012) };
    const at = (rack: typeof pair) => followLoad(new TransientLadder(rack), placed, history, STATE).worst;
    expect(at(alike)).toMatchObject({ slot: 1, pole: 'supply' });
    expect(at(top)).toMatchObject({ slot: 2, pole: 'supply' });
  });

  // 10 mΩ between source and bar at 50 V carry 62.5 kW at most.
  const weak = sampleRack({ slotCount: 2, sharing: { model: 'droop' }, limits: { barRise: 500 } });
  const behind = scenarioOf([shelf(1, { contactResistance: [5e-3, 5e-3], contactHeatShare: 0 }), load(2)]);

  it('ends where the voltage collapses, and knows up to when it was carried', () => {
    const steps = [{ duration: 10, power: 30e3 }, { duration: 10, power: 64e3 }, { duration: 10, power: 20e3 }];
    const found = followLoad(new TransientLadder(weak), behind, { name: '', before: 0, steps, cycles: 3 }, STATE);
    expect(found).toMatchObject({ status: 'voltage-collapse', reached: 10 });
    expect(found.points.at(-1)).toMatchObject({ time: 10, power: 30e3 });
    expect(found.worst?.power).toBe(30e3);
  });

  it('ends where the bar has warmed so far that the voltage collapses: U² = 4·P·R(T)', () => {
    const covered = plainPole(2, { plates: onePlate(0.05, 0.005), emissivity: 0 });
    const warming = sampleRack({
      slotCount: 2, pitch: 20, supply: covered, return: covered, films: filmsOf({ model: 'fixed', coefficient: 0.1 }), limits: {}, air: { inlet: AIR },
    });
    const loop = (t: number) => (2 * 1.724138e-8 * 20 * (1 + 0.00393 * (t - 293.15))) / 2.5e-4;
    const power = 50 ** 2 / (4 * loop(AIR + 40));
    const steps = [{ duration: 5000, power }];
    const found = followLoad(new TransientLadder(warming), placed, { name: '', before: 0, steps, cycles: 1 }, STATE);
    expect(found.status).toBe('voltage-collapse');
    expect(found.reached).toBeGreaterThan(1);
    expect(found.reached).toBeLessThan(5000);
    expect(found.points.at(-1)?.time).toBeCloseTo(found.reached, 9);
    expect(Math.max(...found.temperature) - AIR).toBeCloseTo(40, 1);
  });

  it('has its worst moment first where all are alike, and temperatures that stay as they were', () => {
    const transient = new TransientLadder({ ...pair, limits: { ...pair.limits, barRise: Number.POSITIVE_INFINITY } });
    const { worst, temperature } = followLoad(transient, placed, history, STATE);
    expect(worst?.time).toBe(0);
    const kept = [...temperature];
    transient.advance(900 * VOLTS, 100);
    expect([...temperature]).toEqual(kept);
  });

  it('has no point where the load before it is not carried', () => {
    const found = followLoad(new TransientLadder(weak), behind, { name: '', before: 64e3, steps: [{ duration: 10, power: 1 }], cycles: 1 }, STATE);
    expect(found).toMatchObject({ status: 'voltage-collapse', reached: 0, points: [], worst: null, timeConstant: null });
  });

  it('of none at all leaves a bar at the temperature of its air', () => {
    const transient = mounted(0.01);
    transient.beginSteady(0);
    expect(Math.max(...rises(transient).map(Math.abs))).toBeLessThan(1e-6);
    expect(transient.utilisation(0).utilisation).toBeCloseTo(0, 6);
  });
});

describe('peaks on nodes 25 m apart', () => {
  // At the conductivity of copper the cooler ends would take 2e-4 of the heat of the middle.
  const alone = { ...COPPER, temperatureCoefficient: 0, thermalConductivity: 1 };
  const bar = plainPole(3, { plates: onePlate(0.05, 0.005), material: alone, emissivity: 0 });
  const apart = sampleRack({
    slotCount: 3, pitch: 25, supply: bar, return: bar, films: filmsOf({ model: 'fixed', coefficient: 8 }),
    limits: { barRise: 50 }, setVoltage: 1e8, air: { inlet: AIR },
  });
  const two = scenarioOf([shelf(1), load(3)]);
  const lost = 8 * 0.11;
  const tau = (8890 * 385 * 2.5e-4) / lost;
  const watts = (rise: number) => 1e8 * Math.sqrt((rise * lost * 2.5e-4) / 1.724138e-8);
  const peakOf = (question: PeakQuestion) => ratedPeak(apart, two, question, 1e-3);
  /** Part of the way that an exponential goes. */
  const part = (seconds: number) => 1 - Math.exp(-seconds / tau);

  it.each([[400, 900, 20, 0], [900, 400, 5, 10], [1, 3, 0, 0]])('of %d s after every %d s at a load that settles at %d K', (on, off, between, before) => {
    const rest = { duration: off, power: watts(between) };
    const peak = peakOf({ before: watts(before), duration: on, rest });
    // At its end: [final·(1 − a) + between·(1 − b)·a]/(1 − a·b) with a, b what is left after peak and rest.
    const final = (50 * part(on + off) - between * part(off) * (1 - part(on))) / part(on);
    expect(peak.power / watts(final)).toBeCloseTo(1, 4);
    expect(peak.binding).toMatchObject({ limit: 'bar-rise', slot: 2 });
  });

  it('counts the first of many where the load before is the warmest of all', () => {
    const rest = { duration: 5000, power: 0 };
    const first = peakOf({ before: watts(40), duration: 300, rest });
    expect(first.power / watts(40 + 10 / part(300))).toBeCloseTo(1, 4);
    expect(first.power / peakOf({ before: watts(40), duration: 300 }).power).toBeCloseTo(1, 5);
  });

  it('has no room where the load before or between breaks the limit, and says which', () => {
    const found = (question: PeakQuestion): unknown => {
      try {
        peakOf(question);
      } catch (error) {
        return error;
      }
      return null;
    };
    const before = found({ before: watts(51), duration: 10 });
    expect(before).toBeInstanceOf(NoRoomForPeak);
    expect(before).toMatchObject({ name: 'NoRoomForPeak', power: watts(51), binding: { limit: 'bar-rise', slot: 2 } });
    expect(String(before)).toContain(`the load of ${(watts(51) / 1e3).toFixed(3)} kW beside the peak breaks a limit itself: bar rise`);
    const rest = found({ before: 0, duration: 10, rest: { duration: 5000, power: watts(55) } });
    expect(rest).toMatchObject({ name: 'NoRoomForPeak', power: watts(55) });
  });

  it('of a microsecond on a bar that hardly cools is the adiabatic current', () => {
    const wire = plainPole(2, { plates: onePlate(0.005, 0.0005), material: alone, emissivity: 0 });
    const covered = sampleRack({
      slotCount: 2, pitch: 0.1, supply: wire, return: wire, films: filmsOf({ model: 'fixed', coefficient: 1e-4 }), limits: { barRise: 50 },
      setVoltage: 1e6, air: { inlet: AIR },
    });
    const peak = ratedPeak(covered, scenarioOf([shelf(1), load(2)]), { before: 0, duration: 1e-6 });
    // Each node has half of the segment's heat for the metal of a whole pitch: half the heat of the adiabatic formula.
    const wanted = 1e6 * adiabaticCurrent(alone, 2.5e-6, AIR, AIR + 100, 1e-6);
    expect(peak.power / wanted).toBeCloseTo(1, 3);
  });

  it('is nothing where the air alone breaks a limit', () => {
    const hot = { ...apart, limits: { ...apart.limits, barTemperature: AIR - 1 } };
    expect(ratedPeak(hot, two, { before: 0, duration: 10 })).toMatchObject({ power: 0, binding: { limit: 'bar-temperature' } });
  });

  it('is the lowest over the states, whichever comes first', () => {
    const soft = { contactResistance: [5e-3, 5e-3] as const, contactHeatShare: 0 };
    const weak = sampleRack({ slotCount: 3, limits: { barRise: 500 }, operatingStates: ['all-in-service', 'batteries-alone'], sharing: { model: 'droop' } });
    const fed = scenarioOf([shelf(1), battery(2, soft), load(3)]);
    const both = ratedPeak(weak, fed, { before: 0, duration: 1 });
    expect(both.state.rule).toBe('batteries-alone');
    expect(both.binding.limit).toBe('voltage-collapse');
    expect(both.power / 62_500).toBeCloseTo(1, 2);
    const swapped = ratedPeak({ ...weak, operatingStates: ['batteries-alone', 'all-in-service'] }, fed, { before: 0, duration: 1 });
    expect(swapped.state.rule).toBe('batteries-alone');
    expect(swapped.power / both.power).toBeCloseTo(1, 4);
  });

  it('is an error where nothing limits it or no state is asked for', () => {
    const free = { ...apart, limits: { ...apart.limits, barRise: Number.POSITIVE_INFINITY }, supply: perfect(), return: perfect() };
    expect(() => ratedPeak(free, two, { before: 0, duration: 1 })).toThrow(RatingError);
    expect(() => ratedPeak(free, two, { before: 0, duration: 1 })).toThrow('nothing limits the peak load of this rack');
    expect(() => ratedPeak({ ...apart, operatingStates: [] }, two, { before: 0, duration: 1 })).toThrow('no operating state to rate');
  });

  it('refuses times that are not above 0 and powers that are negative, of peak and rest', () => {
    for (const none of [0, -1, Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(() => peakOf({ before: 0, duration: none })).toThrow(`duration ${none} s: must be above 0`);
      expect(() => peakOf({ before: 0, duration: 1, rest: { duration: none, power: 0 } })).toThrow(`duration ${none} s: must be above 0`);
    }
    for (const none of [-1, Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(() => peakOf({ before: none, duration: 1 })).toThrow(`power ${none} W: must not be negative`);
      expect(() => peakOf({ before: 0, duration: 1, rest: { duration: 1, power: none } })).toThrow(`power ${none} W: must not be negative`);
    }
  });

  function perfect(): Pole {
    return plainPole(3, { material: { ...COPPER, resistivity20: 1e-40 } });
  }
});
