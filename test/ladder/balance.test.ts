import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  airProperties, channelNusselt, churchillChuNusselt, flatPlateNusselt, type LadderSolution, pressureAtAltitude,
  RackModel, radiatedHeat, slenderBarFactor,
} from '../../lib/ladder/index.js';
import type { Film, Pole, Rack, Section } from '../../lib/rack/model.js';
import type { Scenario } from '../../lib/draw/scenario.js';
import { rackCase, racks } from './randomRack.js';
import { spreadingByHand } from './spreadingByHand.js';

/** Film coefficient from the textbook functions, for a vertical face; no tables. */
function filmCoefficient(film: Film, section: Section, rack: Rack, temperature: number, air: number): number {
  const theta = Math.abs(temperature - air);
  const height = rack.slotCount * rack.pitch;
  const properties = airProperties((temperature + air) / 2, pressureAtAltitude(rack.air.altitude));
  const { conductivity, kinematicViscosity, prandtl, rayleighFactor } = properties;
  const still = (conductivity / height) * churchillChuNusselt(rayleighFactor * theta * height ** 3, prandtl);
  switch (film.model) {
    case 'fixed':
      return film.coefficient;
    case 'handbook':
      return 7.66 * (theta / (height * 1000)) ** 0.25 * Math.sqrt(pressureAtAltitude(rack.air.altitude) / 101325);
    case 'still-air':
      return still;
    case 'slender-still-air': {
      const { depth, thickness, count, gap } = section.plates;
      const girth = 2 * (depth + count * thickness + (count - 1) * gap);
      return still * slenderBarFactor((rayleighFactor * theta * height ** 3) / prandtl, prandtl, (Math.PI * height) / girth);
    }
    case 'channel': {
      const { gap } = section.plates;
      return (conductivity / gap) * channelNusselt((rayleighFactor * theta * gap ** 4) / height);
    }
    case 'moving-air': {
      const { depth } = section.plates;
      const forced = (conductivity / depth) * flatPlateNusselt((film.speed * depth) / kinematicViscosity, prandtl);
      return (still ** 3 + forced ** 3) ** (1 / 3);
    }
  }
}

function heatPerMetre(rack: Rack, scenario: Scenario, section: Section, temperature: number, air: number): number {
  const { plates, openFaces, emissivity } = section;
  const factor = rack.films.factor * scenario.build.filmFactor;
  const gaps = plates.count - 1;
  const faces: [Film, number][] = [
    [rack.films.outerFaces, openFaces * plates.depth],
    [rack.films.edges, 2 * plates.count * plates.thickness],
    [rack.films.facingFaces, 2 * gaps * plates.depth],
  ];
  let heat = 0;
  for (const [film, area] of faces) {
    if (area > 0) heat += factor * area * filmCoefficient(film, section, rack, temperature, air) * (temperature - air);
  }
  const envelope = openFaces * plates.depth + 2 * (plates.count * plates.thickness + gaps * plates.gap);
  return heat + radiatedHeat(temperature, rack.air.surroundings ?? air, emissivity, envelope);
}

const sectionAt = (pole: Pole, slot: number): Section => {
  const found = pole.sections.find((s) => s.fromSlot <= slot && slot <= s.toSlot);
  if (!found) throw new Error(`no section at ${slot}`);
  return found;
};

/** The steady-state equation of every node written out anew from the solution's arrays: largest residual, W. */
function worstNodeResidual(rack: Rack, scenario: Scenario, solution: LadderSolution): number {
  let worst = 0;
  [rack.supply, rack.return].forEach((pole, p) => {
    const t = p === 0 ? solution.supplyTemperature : solution.returnTemperature;
    const residual = new Float64Array(rack.slotCount);
    for (let i = 0; i < rack.slotCount - 1; i++) {
      let resistance = 0;
      let thermal = 0;
      const mean = (t[i] + t[i + 1]) / 2;
      for (const slot of [i + 1, i + 2]) {
        const { material, plates } = sectionAt(pole, slot);
        const area = plates.count * plates.depth * plates.thickness * scenario.build.areaFactor;
        resistance += (material.resistivity20 * (1 + material.temperatureCoefficient * (mean - 293.15)) * rack.pitch) / 2 / area;
        thermal += rack.pitch / 2 / (material.thermalConductivity * area);
      }
      for (const joint of pole.joints) if (joint.aboveSlot === i + 1) resistance += joint.resistance;
      const half = 0.5 * solution.segmentCurrent[i] ** 2 * resistance;
      const flow = (t[i] - t[i + 1]) / thermal;
      residual[i] += half - flow;
      residual[i + 1] += half + flow;
    }
    spreadingByHand(rack, scenario, solution, p as 0 | 1).heat.forEach((watts, i) => {
      residual[i] += watts;
    });
    for (const { unit, current } of solution.units) {
      const i = unit.contactSlot - 1;
      residual[i] += current ** 2 * unit.contactResistance[p] * scenario.build.contactFactor * unit.contactHeatShare;
      residual[i] += unit.heatConductance * (solution.air[i] + unit.heatRise - t[i]);
    }
    for (let i = 0; i < rack.slotCount; i++) {
      residual[i] -= rack.pitch * heatPerMetre(rack, scenario, sectionAt(pole, i + 1), t[i], solution.air[i]);
      worst = Math.max(worst, Math.abs(residual[i]));
    }
  });
  return worst;
}

describe('every solution on random racks', () => {
  it('obeys Kirchhoff’s current law, the power balance and the heat balance to 1e-9', () => {
    fc.assert(
      fc.property(rackCase, fc.double({ min: 0.2, max: 1.2, noNaN: true }), ({ rack, scenario }, part) => {
        const model = new RackModel(rack);
        const rated = model.rate(scenario);
        for (const state of model.states(scenario)) {
          const solution = model.solutionAt(scenario, Math.max(1, part * rated.power), state);
          if (solution.status !== 'solved') continue;
          const { balance } = solution;
          const totalCurrent = solution.units.reduce((sum, u) => sum + (u.unit.kind === 'load' ? u.current : 0), 0);
          expect(balance.currentResidual).toBeLessThanOrEqual(1e-9 * totalCurrent);
          expect(Math.abs(balance.powerResidual)).toBeLessThanOrEqual(1e-9 * balance.sourcePower);
          const heat = Math.abs(balance.heatIn) + Math.abs(balance.convection) + Math.abs(balance.radiation);
          expect(Math.abs(balance.heatResidual)).toBeLessThanOrEqual(1e-9 * Math.max(heat, 1));
        }
      }),
      { numRuns: racks(200), seed: 11, endOnFailure: true },
    );
  });

  it('satisfies the steady-state equation of every node, written out anew from textbook functions', () => {
    let checked = 0;
    fc.assert(
      fc.property(rackCase, ({ rack, scenario }) => {
        const model = new RackModel(rack);
        const rated = model.rate(scenario);
        if (rated.power === 0) return;
        const solution = model.solutionAt(scenario, rated.power, rated.state);
        if (solution.status !== 'solved') return;
        checked++;
        const scale = (solution.balance.jouleHeat + solution.balance.contactHeat) / rack.slotCount + 1;
        expect(worstNodeResidual(rack, scenario, solution)).toBeLessThan(1e-7 * scale);
      }),
      { numRuns: racks(200), seed: 12, endOnFailure: true },
    );
    expect(checked).toBeGreaterThan(racks(150));
  });

  it('sources and loads obey their terminal laws', () => {
    fc.assert(
      fc.property(rackCase, ({ rack, scenario }) => {
        const model = new RackModel(rack);
        const rated = model.rate(scenario);
        if (rated.power === 0) return;
        const solution = model.solutionAt(scenario, rated.power, rated.state);
        if (solution.status !== 'solved') return;
        const beyond = ([0, 1] as const).map((p) => spreadingByHand(rack, scenario, solution, p));
        const feeding = solution.units.filter((u) => u.unit.kind !== 'load' && u.current !== 0);
        for (const { unit, voltage, current, power } of solution.units) {
          const contact = (unit.contactResistance[0] + unit.contactResistance[1]) * scenario.build.contactFactor;
          const i = unit.contactSlot - 1;
          const atContact = unit.contactEdgeHeight > 0 ? beyond[0].voltage[i] + beyond[1].voltage[i] : 0;
          const bar = solution.voltage[i] + atContact;
          if (unit.kind === 'load') {
            expect(voltage * current).toBeCloseTo(power, 6);
            expect(bar - current * contact).toBeCloseTo(voltage, 9);
          } else if (current !== 0) {
            expect(bar + current * contact).toBeCloseTo(voltage, 9);
            if (rack.sharing.model === 'droop') expect(voltage + current * unit.droopResistance).toBeCloseTo(50, 8);
          }
        }
        if (rack.sharing.model === 'equal') {
          const mean = feeding.reduce((sum, u) => sum + u.voltage, 0) / feeding.length;
          expect(mean).toBeCloseTo(50, 9);
          const perWeight = feeding.map((u) => u.current / u.unit.sharingWeight);
          for (const value of perWeight) expect(value).toBeCloseTo(perWeight[0], 6);
        }
      }),
      { numRuns: racks(100), seed: 13, endOnFailure: true },
    );
  });
});
