import { describe, expect, it } from 'vitest';
import type { PlacedUnit, Scenario } from '../../lib/draw/scenario.js';
import { scenarioSource } from '../../lib/draw/scenarioSource.js';
import { UnitRows } from '../../lib/draw/unitRows.js';
import { RackModel } from '../../lib/ladder/index.js';
import { loadStudy } from '../../lib/rack/index.js';

const STUDIES = ['deep-bar-anywhere', 'plain-bar-even', 'deep-bar-inventory'];
const DRAWN = 150;

/** A unit of which every number differs from every other. */
function unit(kind: PlacedUnit['kind'], from: number, more: Partial<PlacedUnit> = {}): PlacedUnit {
  const n = (k: number) => from + k / 100;
  return {
    kind, equipment: `${kind} ${from}`, bottomSlot: n(1), heightSlots: n(2), contactSlot: n(3), power: n(4),
    contactResistance: [n(5), n(6)], contactThermalResistance: n(7), contactHeatShare: n(8), contactEdgeHeight: n(9),
    heatConductance: n(10), heatRise: n(11), sharingWeight: n(12), maxCurrent: n(13), maxPower: n(14), droopResistance: n(15), ...more,
  };
}

describe('scenarios in rows of numbers', () => {
  it('come out as they went in, whatever stood there before', () => {
    const build = { contactFactor: 1.1, filmFactor: 0.9, emissivity: null, areaFactor: 1.01, inlet: 300 };
    const grounded = unit('power-shelf', 3, { groundContact: { resistance: 1e-3, maxCurrent: 50 } });
    const scenarios: Scenario[] = [
      { index: 4, units: [unit('load', 1), unit('battery-shelf', 2), grounded], build },
      { index: 9, units: [unit('load', 5, { maxCurrent: Number.POSITIVE_INFINITY })], build: { ...build, inlet: null, emissivity: 0.3 } },
    ];
    const rows = new UnitRows(3);
    for (const scenario of [...scenarios, ...scenarios]) {
      rows.take(scenario);
      expect(rows.scenario()).toEqual(scenario);
    }
  });

  it('hold no more units than the rack has slots, and keep what they held when there are more', () => {
    const rows = new UnitRows(2);
    const two: Scenario = { index: 1, units: [unit('load', 1), unit('load', 2)], build: rows.build };
    rows.take(two);
    expect(() => rows.take({ ...two, index: 7, units: [...two.units, unit('load', 3)] }))
      .toThrow('scenario 7: 3 units in a rack of 2 slots');
    expect(rows.scenario()).toEqual(two);
  });

  it.each(STUDIES)('are drawn and rated as the objects are, study %s', (name) => {
    const { study } = loadStudy(`data-demo/${name}.json`);
    const [source, other] = [scenarioSource(study), scenarioSource(study)];
    const [model, asObjects] = [new RackModel(study.rack), new RackModel(study.rack)];
    for (let index = 0; index < DRAWN; index++) {
      const { scenario, unitsLeftOut } = source.draw(index);
      expect(other.drawInto(model.rows, index)).toBe(unitsLeftOut);
      expect(model.rows.scenario()).toEqual(scenario);
      expect(model.rateRows()).toEqual(asObjects.rate(scenario));
    }
  });
});
