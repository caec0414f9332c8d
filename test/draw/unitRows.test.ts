/** A scenario as rows of numbers and back. */
import { describe, expect, it } from 'vitest';
import type { PlacedUnit, Scenario } from '../../lib/draw/scenario.js';
import { BATTERY_SHELF, LOAD, POWER_SHELF, UNIT, UNIT_FIELDS, UNIT_KINDS, UnitRows, unitTemplate } from '../../lib/draw/unitRows.js';

/** A unit of which every number is another one, a sixteenth more than the last. */
function distinct(kind: PlacedUnit['kind'], from: number): PlacedUnit {
  let last = from;
  const next = () => (last += 0.0625);
  return {
    kind, equipment: `${kind} ${from}`, bottomSlot: next(), heightSlots: next(), contactSlot: next(), power: next(),
    contactResistance: [next(), next()], contactThermalResistance: next(), contactHeatShare: next(), contactEdgeHeight: next(),
    heatConductance: next(), heatRise: next(), sharingWeight: next(), maxCurrent: next(), maxPower: next(), droopResistance: next(),
  };
}

const build = { contactFactor: 1.5, filmFactor: 0.8, emissivity: 0.3, areaFactor: 0.97, inlet: 301 };
const scenario: Scenario = {
  index: 17, build,
  units: [
    distinct('load', 1), { ...distinct('power-shelf', 2), groundContact: { resistance: 0.02, maxCurrent: 30 } }, distinct('battery-shelf', 3),
    { ...distinct('load', 4), groundContact: { resistance: 0, maxCurrent: Number.POSITIVE_INFINITY } },
  ],
};

describe('rows of units', () => {
  it('give back the scenario that they took, ground contacts only where there are some', () => {
    const rows = new UnitRows(4);
    rows.take(scenario);
    expect(rows).toMatchObject({ index: 17, count: 4, build });
    const back = rows.scenario();
    expect(back).toStrictEqual(scenario);
    expect('groundContact' in back.units[0]).toBe(false);
  });

  it('hold sixteen numbers a unit, in the order that the kernel reads', () => {
    const rows = new UnitRows(4);
    rows.take(scenario);
    expect(UNIT_FIELDS).toBe(16);
    expect(rows.numbers.length).toBe(64);
    expect([...rows.numbers]).toEqual([0, 1, 2, 0].flatMap((kind, k) => [kind, ...Array.from({ length: 15 }, (_, field) => k + 1 + 0.0625 * (field + 1))]));
    expect(Object.values(UNIT)).toEqual(Array.from({ length: 16 }, (_, field) => field));
    expect([UNIT_KINDS[LOAD], UNIT_KINDS[POWER_SHELF], UNIT_KINDS[BATTERY_SHELF]]).toEqual(['load', 'power-shelf', 'battery-shelf']);
    expect(rows.names).toEqual([
      { id: 'load 1', groundContact: null }, { id: 'power-shelf 2', groundContact: { resistance: 0.02, maxCurrent: 30 } },
      { id: 'battery-shelf 3', groundContact: null }, { id: 'load 4', groundContact: { resistance: 0, maxCurrent: Number.POSITIVE_INFINITY } },
    ]);
  });

  it('filled anew forget what they held', () => {
    const rows = new UnitRows(4);
    rows.take(scenario);
    const fewer = { ...scenario, index: 18, units: [distinct('battery-shelf', 9)] };
    rows.take(fewer);
    expect(rows.scenario()).toStrictEqual(fewer);
  });

  it('start as no scenario, with the build as in the files', () => {
    expect(new UnitRows(2).names).toEqual([]);
    expect(new UnitRows(2).scenario()).toStrictEqual({
      index: -1, units: [], build: { contactFactor: 1, filmFactor: 1, emissivity: null, areaFactor: 1, inlet: null },
    });
  });

  it('write into the numbers that they are given', () => {
    const numbers = new Float64Array(16);
    const rows = new UnitRows(1, numbers);
    rows.take({ ...scenario, units: [distinct('load', 5)] });
    expect(numbers[UNIT.bottomSlot]).toBe(5.0625);
    expect(rows.numbers).toBe(numbers);
  });

  it('take as many units as there are slots, and no more', () => {
    expect(() => new UnitRows(3).take(scenario)).toThrow(RangeError);
    expect(() => new UnitRows(3).take(scenario)).toThrow('scenario 17: 4 units in a rack of 3 slots');
    expect(() => new UnitRows(4).take(scenario)).not.toThrow();
  });

  it('of one unit are its template', () => {
    expect([...unitTemplate(scenario.units[2])]).toEqual([2, ...Array.from({ length: 15 }, (_, field) => 3 + 0.0625 * (field + 1))]);
  });
});
