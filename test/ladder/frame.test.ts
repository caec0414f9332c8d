/** The frame as a third path, against circuits small enough for a pencil. */
import { describe, expect, it } from 'vitest';
import { scenarioSource } from '../../lib/draw/index.js';
import { type LadderSolution, RackModel } from '../../lib/ladder/index.js';
import { loadStudy, parseCatalogue, parseRack, type Rack } from '../../lib/rack/index.js';
import { proveFloor, toleranceRanges } from '../../lib/worst/index.js';
import { racks } from './randomRack.js';
import { battery, COPPER, load, plainPole, sampleRack, scenarioOf, shelf } from './sampleRack.js';

const UNLIMITED = Number.POSITIVE_INFINITY;
/** No feedback of temperature on resistance: what the pencil takes for granted. */
const steadyCopper = { ...COPPER, temperatureCoefficient: 0 };
const pole = plainPole(11, { material: steadyCopper });
const PITCH = 0.1;
/** Ω of the ten segments of one pole. */
const POLE = (10 * COPPER.resistivity20 * PITCH) / (0.187 * 0.01);

function rackWith(frame: Rack['frame'], limits: Partial<Rack['limits']> = {}): Rack {
  return sampleRack({ slotCount: 11, pitch: PITCH, supply: pole, return: pole, limits, ...(frame === undefined ? {} : { frame }) });
}

function solved(rack: Rack, scenario: ReturnType<typeof scenarioOf>, power = 10_000): LadderSolution {
  const model = new RackModel(rack);
  const solution = model.solutionAt(scenario, power, model.states(scenario)[0]);
  if (solution.status !== 'solved') throw new Error(`expected a solution, got ${solution.status}`);
  // What enters each pole leaves it, with the current that it carries.
  expect(Math.abs(solution.balance.heatResidual)).toBeLessThan(1e-8 * solution.balance.heatIn);
  return solution;
}

const close = (found: number, wanted: number, relative = 1e-9) => expect(Math.abs(found / wanted - 1)).toBeLessThan(relative);

describe('return current between a source at the bottom and a load at the top', () => {
  const R = 50e-6;
  const units = (ground: number) => scenarioOf([
    shelf(1, { contactResistance: [R, R], groundContact: { resistance: ground, maxCurrent: UNLIMITED } }),
    load(11, { contactResistance: [R, R], groundContact: { resistance: ground, maxCurrent: UNLIMITED } }),
  ]);

  it.each([[1e-4, 2e-4], [1e-6, 1e-3], [5e-3, 1e-5]])('divides as resistances in parallel: ground %d Ω, frame %d Ω/m', (ground, perMetre) => {
    const solution = solved(rackWith({ resistancePerMetre: perMetre, bonds: [] }), units(ground));
    const [source, taken] = solution.units;
    const byPole = 2 * R + POLE;
    const byFrame = 2 * ground + 10 * PITCH * perMetre;
    const current = taken.current;
    close(taken.groundCurrent ?? 0, (current * byPole) / (byPole + byFrame));
    close(source.groundCurrent ?? 0, taken.groundCurrent ?? 0, 1e-8);
    close(solution.frame?.returnCurrent[5] ?? 0, (current * byFrame) / (byPole + byFrame));
    // The loop of both poles, its return half in parallel with the frame.
    const loop = 2 * R + POLE + (byPole * byFrame) / (byPole + byFrame);
    close(source.voltage - taken.voltage, current * loop);
    close(solution.balance.sourcePower, 10_000 + current ** 2 * loop);
    expect(Math.abs(solution.balance.powerResidual)).toBeLessThan(1e-6);
    // What the frame and both ground contacts lose, and the voltage between the poles before and after the contacts.
    const [byGround, byReturn] = [(current * byPole) / (byPole + byFrame), (current * byFrame) / (byPole + byFrame)];
    close(solution.balance.frameHeat, byGround ** 2 * byFrame, 1e-8);
    close(solution.voltage[10], taken.voltage + (current + byReturn) * R);
    close(solution.voltage[0], source.voltage - (current + byReturn) * R);
    expect(solution.frame?.returnCurrent.length).toBe(10);
    expect(solution.frame?.frameCurrent.length).toBe(10);
    close(solution.frame?.frameCurrent[3] ?? 0, byGround, 1e-8);
    close(solution.balance.contactHeat, 2 * R * (current ** 2 + byReturn ** 2), 1e-8);
  });

  it('warms the return contact by what it leaves to it', () => {
    const spot = { contactResistance: [R, R] as const, contactThermalResistance: 3, groundContact: { resistance: 1e-4, maxCurrent: UNLIMITED } };
    const solution = solved(rackWith({ resistancePerMetre: 2e-4, bonds: [] }), scenarioOf([shelf(1, spot), load(11, spot)]));
    for (const { unit, current, groundCurrent, contactTemperature: [supply, back] } of solution.units) {
      const i = unit.contactSlot - 1;
      close(supply - solution.supplyTemperature[i], current ** 2 * R * 3);
      close(back - solution.returnTemperature[i], (current - (groundCurrent ?? 0)) ** 2 * R * 3, 1e-8);
    }
  });

  it('goes by bonds where only the bar is tied to the frame, and leaves the ends of the bar alone', () => {
    const frame = { resistancePerMetre: 1e-4, bonds: [2, 10].map((slot) => ({ slot, resistance: 3e-5, maxCurrent: UNLIMITED })) };
    const contact = { contactResistance: [R, R] as const };
    const { units: [, taken], frame: found, balance } = solved(rackWith(frame), scenarioOf([shelf(1, contact), load(11, contact)]));
    const between = 0.8 * POLE;
    const around = 6e-5 + 8 * PITCH * 1e-4;
    close(found?.bonds[1].current ?? 0, (taken.current * between) / (between + around));
    close(found?.bonds[0].current ?? 0, (-taken.current * between) / (between + around));
    close(found?.returnCurrent[0] ?? 0, taken.current);
    close(found?.returnCurrent[9] ?? 0, taken.current);
    close(found?.returnCurrent[4] ?? 0, (taken.current * around) / (between + around));
    expect(taken.groundCurrent).toBeNull();
    const wanted = (taken.current * between) / (between + around);
    expect(found?.bonds.map(({ slot }) => slot)).toEqual([2, 10]);
    close(balance.frameHeat, wanted ** 2 * around, 1e-8);
    expect(found?.frameCurrent[0]).toBeCloseTo(0, 6);
    close(found?.frameCurrent[1] ?? 0, wanted, 1e-8);
  });

  it('is not changed by a frame that nothing touches', () => {
    const contact = { contactResistance: [R, R] as const };
    const scenario = scenarioOf([shelf(1, contact), load(11, contact)]);
    const [alone, beside] = [undefined, { resistancePerMetre: 1e-6, bonds: [] }].map((frame) => solved(rackWith(frame), scenario));
    expect(beside.voltage).toEqual(alone.voltage);
    expect([...beside.returnTemperature]).toEqual([...alone.returnTemperature]);
    expect(beside.balance.frameHeat).toBe(0);
  });

  it('flows through an idle source that touches the frame', () => {
    const ground = { groundContact: { resistance: 1e-4, maxCurrent: UNLIMITED }, contactResistance: [R, R] as const };
    const frame = { resistancePerMetre: 1e-5, bonds: [] };
    const at = (slot: number) => solved(rackWith(frame), scenarioOf([shelf(1, ground), battery(slot, ground), load(11, ground)])).units;
    // In the middle between two alike the bridge is balanced.
    expect(Math.abs(at(6)[1].groundCurrent ?? 1)).toBeLessThan(1e-9);
    const units = at(3);
    expect(units[1].current).toBe(0);
    expect(Math.abs(units[1].groundCurrent ?? 0)).toBeGreaterThan(0.1);
    const [source, idle, taken] = units.map(({ groundCurrent }) => groundCurrent ?? 0);
    expect(Math.abs(taken - idle - source)).toBeLessThan(1e-6 * taken);
  });

  it('goes less through the ground contacts the more resistive they are, and warms the return pole more', () => {
    const at = [1e-5, 1e-4, 1e-3].map((ground) => solved(rackWith({ resistancePerMetre: 1e-4, bonds: [] }), units(ground)));
    const shares = at.map(({ units: [, taken] }) => (taken.groundCurrent ?? 0) / taken.current);
    expect(shares[0]).toBeGreaterThan(shares[1]);
    expect(shares[1]).toBeGreaterThan(shares[2]);
    const warm = at.map(({ returnTemperature }) => Math.max(...returnTemperature));
    expect(warm[0]).toBeLessThan(warm[1]);
    expect(warm[1]).toBeLessThan(warm[2]);
    // The supply pole carries what it did.
    for (const { supplyTemperature, returnTemperature } of at) expect(Math.max(...supplyTemperature)).toBeGreaterThan(Math.max(...returnTemperature));
  });
});

describe('limits of ground contacts and bonds', () => {
  const R = 50e-6;
  const frame = { resistancePerMetre: 1e-4, bonds: [{ slot: 3, resistance: 1e-4, maxCurrent: UNLIMITED }] };
  const scenario = (most: number) => scenarioOf([
    shelf(1, { contactResistance: [R, R], groundContact: { resistance: 1e-4, maxCurrent: UNLIMITED } }),
    load(9, { contactResistance: [R, R], groundContact: { resistance: 2e-4, maxCurrent: most } }),
    load(11, { contactResistance: [R, R] }),
  ]);

  it('bind where they are reached first, at exactly that current', () => {
    const rack = rackWith(frame, { barRise: 60 });
    const model = new RackModel(rack);
    const free = model.rate(scenario(UNLIMITED));
    expect(free.limit).toBe('bar-rise');
    const bound = model.rate(scenario(30));
    expect(bound).toMatchObject({ limit: 'ground-contact-current', slot: 9, pole: 'both' });
    expect(bound.power).toBeLessThan(free.power);
    const solution = model.solutionAt(scenario(30), bound.power, bound.state);
    if (solution.status !== 'solved') throw new Error('expected a solution');
    expect(Math.abs((solution.units[1].groundCurrent ?? 0) / 30 - 1)).toBeLessThan(1e-6);
    expect(solution.utilisation).toBeCloseTo(1, 6);
  });

  it('of bonds bind as well', () => {
    const rack = rackWith({ ...frame, bonds: [{ ...frame.bonds[0], maxCurrent: 5 }] }, { barRise: 60 });
    expect(new RackModel(rack).rate(scenario(UNLIMITED))).toMatchObject({ limit: 'bond-current', slot: 3 });
    const both = { ...frame, bonds: [{ ...frame.bonds[0], maxCurrent: 1e6 }, { slot: 8, resistance: 1e-4, maxCurrent: 5 }] };
    const second = new RackModel(rackWith(both, { barRise: 60 }));
    const rated = second.rate(scenario(UNLIMITED));
    expect(rated).toMatchObject({ limit: 'bond-current', slot: 8 });
    const at = second.solutionAt(scenario(UNLIMITED), rated.power, rated.state);
    expect(Math.abs(at.status === 'solved' ? (at.frame?.bonds[1].current ?? 0) : 0)).toBeCloseTo(5, 5);
  });

  it('are met on both sides of the rated power over the draw of a demonstration rack', () => {
    const { study } = loadStudy('data-demo/deep-bar-anywhere.json');
    const groundContact = { resistance: 3e-4, maxCurrent: 60 };
    const grounded = {
      ...study, rack: { ...study.rack, frame: { resistancePerMetre: 6e-5, bonds: [{ slot: 1, resistance: 5e-5, maxCurrent: 300 }] } },
      catalogue: {
        ...study.catalogue, sources: study.catalogue.sources.map((one) => ({ ...one, groundContact: { ...groundContact, maxCurrent: 400 } })),
        loads: study.catalogue.loads.map((one) => ({ ...one, groundContact })),
      },
    };
    const source = scenarioSource(grounded);
    const model = new RackModel(grounded.rack);
    const limits = new Set<string>();
    for (let i = 0; i < racks(40); i++) {
      const { scenario: drawn } = source.draw(i);
      const rated = model.rate(drawn);
      limits.add(rated.limit);
      // Contacts at the front edge feel each other: both ways of the return current end at the same potential.
      const at = model.solutionAt(drawn, rated.power, rated.state);
      if (at.status === 'solved') expect(Math.abs(at.balance.powerResidual)).toBeLessThan(1e-9 * at.balance.sourcePower);
      const utilisation = (power: number) => Math.max(...model.states(drawn).map((state) => {
        const solution = model.solutionAt(drawn, power, state);
        return solution.status === 'solved' ? solution.utilisation : Number.POSITIVE_INFINITY;
      }));
      expect(utilisation(rated.power * (1 - 1e-6))).toBeLessThanOrEqual(1);
      expect(utilisation(rated.power * (1 + 1e-6))).toBeGreaterThan(1);
    }
    if (racks(40) === 40) expect(limits.has('ground-contact-current') || limits.has('bond-current')).toBe(true);
  });

  it('have no floor yet, and say so', () => {
    const { study } = loadStudy('data-demo/deep-bar-anywhere.json');
    const framed = { ...study, rack: { ...study.rack, frame } };
    expect(() => proveFloor(framed, toleranceRanges(framed, null), { below: 1e5, mostClasses: 1 }, () => 0)).toThrow(/two poles alone/);
  });
});

describe('a frame in files', () => {
  const read = (change: (rack: Record<string, unknown>) => void) => {
    const json = JSON.parse(JSON.stringify(require('../../data-demo/deep-bar.json')));
    change(json);
    return parseRack(json);
  };

  it('is read with its bonds, and a unit with its ground contact', () => {
    const rack = read((json) => { json.frame = { microOhmPerM: 60, bonds: [{ slot: 1, microOhm: 50, maxA: 300 }, { slot: 44, microOhm: 50 }] }; });
    expect(rack.frame).toEqual({
      resistancePerMetre: 6e-5,
      bonds: [{ slot: 1, resistance: 5e-5, maxCurrent: 300 }, { slot: 44, resistance: 5e-5, maxCurrent: UNLIMITED }],
    });
    const json = JSON.parse(JSON.stringify(require('../../data-demo/equipment.json')));
    json.loads[0].groundContact = { microOhm: 300, maxA: 60 };
    expect(parseCatalogue(json).loads[0].groundContact).toEqual({ resistance: expect.closeTo(3e-4, 12), maxCurrent: 60 });
  });

  it.each([
    ['a bond beyond the rack', { microOhmPerM: 60, bonds: [{ slot: 45, microOhm: 50 }] }, /bonds\[0\]\.slot.*1 to 44/],
    ['two bonds in a slot', { microOhmPerM: 60, bonds: [{ slot: 4, microOhm: 50 }, { slot: 4, microOhm: 60 }] }, /a second time/],
    ['no resistance', { microOhmPerM: 0 }, /above 0/],
  ])('is refused with %s', (_, frame, words) => {
    expect(() => read((json) => { json.frame = frame; })).toThrow(words);
  });
});
