/** A bar of two sections as the ladder compiles it, against figures worked out by hand. */
import { describe, expect, it } from 'vitest';
import { ContactSpreading } from '../../lib/ladder/contactSpreading.js';
import { edgePotential, heatCapacities, RackModel } from '../../lib/ladder/index.js';
import { compileSegments } from '../../lib/ladder/segments.js';
import type { Material, Pole } from '../../lib/rack/model.js';
import { COPPER, load, onePlate, plainPole, sampleRack, scenarioOf, shelf } from './sampleRack.js';

const ALUMINIUM: Material = {
  id: 'aluminium', resistivity20: 2.8e-8, temperatureCoefficient: 0.004, thermalConductivity: 230, density: 2700,
  specificHeat: 900, source: 'round figures',
};
/** Two plates of copper below, one of aluminium from slot 3 on. */
const pole: Pole = {
  sections: [
    { fromSlot: 1, toSlot: 2, material: COPPER, plates: { count: 2, depth: 0.1, thickness: 0.005, gap: 0.01 }, emissivity: 0.2, openFaces: 2 },
    { fromSlot: 3, toSlot: 4, material: ALUMINIUM, plates: onePlate(0.06, 0.01), emissivity: 0.3, openFaces: 2 },
  ],
  joints: [{ aboveSlot: 2, resistance: 3e-6 }, { aboveSlot: 2, resistance: 1e-6 }, { aboveSlot: 3, resistance: 5e-6 }],
};
const rack = sampleRack({ slotCount: 4, pitch: 0.05, supply: pole, return: plainPole(4) });
/** m² and Ω at 20 °C of half a pitch. */
const [copperArea, aluminiumArea] = [2 * 0.1 * 0.005, 0.06 * 0.01];
const [copperHalf, aluminiumHalf] = [(1.724138e-8 * 0.025) / copperArea, (2.8e-8 * 0.025) / aluminiumArea];

describe('segments between slots', () => {
  it('are half of the section below and half of the one above, at the mean of both temperatures', () => {
    const segments = compileSegments(rack, pole);
    const at = (i: number, below: number, above: number) => segments.conductorOffset[i] + segments.conductorSlope[i] * (below + above);
    const warm = (half: number, alpha: number, mean: number) => half * (1 + alpha * (mean - 293.15));
    expect(at(0, 340, 350) / (2 * warm(copperHalf, 0.00393, 345))).toBeCloseTo(1, 12);
    expect(at(1, 340, 360) / (warm(copperHalf, 0.00393, 350) + warm(aluminiumHalf, 0.004, 350))).toBeCloseTo(1, 12);
    expect(at(2, 293.15, 293.15) / (2 * aluminiumHalf)).toBeCloseTo(1, 12);
    expect(segments.conductorOffset.length).toBe(3);
  });

  it('conduct heat as both halves one after the other', () => {
    const segments = compileSegments(rack, pole);
    expect(segments.conductance[0]).toBeCloseTo((391 * copperArea) / 0.05, 9);
    expect(1 / segments.conductance[1]).toBeCloseTo(0.025 / (391 * copperArea) + 0.025 / (230 * aluminiumArea), 9);
  });

  it('have the joints above their slot, added up', () => {
    expect([...compileSegments(rack, pole).jointResistance]).toEqual([0, 3e-6 + 1e-6, 5e-6]);
  });

  it('need a section at every slot', () => {
    for (const sections of [pole.sections, [...pole.sections].reverse()]) {
      const { sectionAt } = compileSegments(rack, { ...pole, sections });
      expect(sectionAt.map(({ material }) => material.id)).toEqual(['copper', 'copper', 'aluminium', 'aluminium']);
    }
    const short: Pole = { sections: [{ ...pole.sections[0], toSlot: 3 }], joints: [] };
    expect(() => compileSegments(rack, short)).toThrow('slot 4 has no section');
    const one = compileSegments(sampleRack({ slotCount: 1 }), plainPole(1));
    expect([one.sectionAt.length, one.conductance.length]).toEqual([1, 0]);
  });

  it('hold as much heat as their metal weighs', () => {
    const wanted = [8890 * 385 * copperArea, 2700 * 900 * aluminiumArea, 8890 * 385 * 0.187 * 0.01].map((heat) => heat * 0.05);
    const found = heatCapacities(rack);
    [0, 0, 1, 1].forEach((section, slot) => {
      expect(found[2 * slot] / wanted[section]).toBeCloseTo(1, 12);
      expect(found[2 * slot + 1] / wanted[2]).toBeCloseTo(1, 12);
    });
    expect([...heatCapacities(rack, 1.1)].map((heat, e) => heat / found[e])).toEqual(found.length === 8 ? Array(8).fill(expect.closeTo(1.1, 12)) : []);
  });
});

describe('spreading along a bar of two depths', () => {
  const compiled = () => {
    const spreading = new ContactSpreading(compileSegments(rack, pole), 0.05);
    return { ...spreading, felt: (j: number, k: number) => spreading.mutual[4 * j + k] };
  };

  it('is felt across the step on the mean depth, and from the images beyond both ends', () => {
    const { felt } = compiled();
    // Slot centres at 0.025, 0.075, 0.125 and 0.175 m of a bar 0.2 m high.
    expect(felt(0, 0)).toBeCloseTo(edgePotential(0.05, 0.1), 14);
    expect(felt(0, 1)).toBeCloseTo(edgePotential(0.05, 0.1) + edgePotential(0.1, 0.1), 14);
    expect(felt(1, 2)).toBeCloseTo(edgePotential(0.05, 0.08), 14);
    expect(felt(0, 2)).toBeCloseTo(edgePotential(0.1, 0.08), 14);
    expect(felt(3, 3)).toBeCloseTo(edgePotential(0.05, 0.06), 14);
    expect(felt(2, 3)).toBeCloseTo(edgePotential(0.05, 0.06), 14);
    expect(felt(0, 3)).toBe(0);
    for (let j = 0; j < 4; j++) for (let k = 0; k < 4; k++) expect(felt(j, k)).toBe(felt(k, j));
  });

  it('adds up to what a slot feels at most, from the slots within reach', () => {
    const { felt, ...spreading } = compiled();
    for (let j = 0; j < 4; j++) {
      expect(spreading.feltAtMost[j]).toBeCloseTo([0, 1, 2, 3].reduce((sum, k) => sum + felt(j, k), 0), 14);
    }
    expect([...spreading.from]).toEqual([0, 0, 0, 1]);
    expect([...spreading.to]).toEqual([2, 3, 3, 3]);
    expect([...spreading.depth]).toEqual([0.1, 0.1, 0.06, 0.06]);
  });

  it('reaches one and a half depths and no further', () => {
    expect(edgePotential(0.15, 0.1)).toBeCloseTo(Math.exp(-1.5 * Math.PI) / Math.PI, 4);
    expect(edgePotential(0.1501, 0.1)).toBe(0);
  });
});

describe('temperatures beyond the tables of convection', () => {
  /** 25 m between contacts: the middle of the bar knows nothing of its ends. Temperatures there, K. */
  const n = 21;
  const long = (film: number, emissivity: number, air: number, surroundings: number | null) => {
    const bar = plainPole(n, { plates: onePlate(0.05, 0.005), material: { ...COPPER, temperatureCoefficient: 0 }, emissivity });
    const model = new RackModel(sampleRack({
      slotCount: n, pitch: 25, supply: bar, return: bar, limits: {}, setVoltage: 1e8, air: { inlet: air, surroundings },
      films: { outerFaces: { model: 'fixed', coefficient: film }, edges: { model: 'fixed', coefficient: film }, facingFaces: { model: 'channel' }, factor: 1 },
    }));
    const scenario = scenarioOf([shelf(1), load(n)], { filmFactor: 0.9 });
    return (current: number) => {
      const solution = model.solutionAt(scenario, current * 1e8, model.states(scenario)[0]);
      if (solution.status !== 'solved') throw new Error(`expected a solution, got ${solution.status}`);
      // Newton's method keeps its speed where the film laws answer themselves.
      expect(solution.sweeps).toBeLessThan(7);
      return { drawn: solution.segmentCurrent[10], middle: [solution.supplyTemperature[10], solution.returnTemperature[10]] };
    };
  };
  const AREA = 0.11;
  const SIGMA = 5.670374e-8;
  /** W/m that come in at a current less those that leave at a temperature. */
  const open = (t: number, current: number, film: number, emissivity: number, air: number, surroundings: number) =>
    (current ** 2 * 1.724138e-8) / 2.5e-4 - 0.9 * film * AREA * (t - air) - emissivity * SIGMA * AREA * (t ** 4 - surroundings ** 4);

  it.each([
    ['a rise of less than 2 K', 60, 8, 0.3, 300, null],
    ['a rise of more than 300 K', 2600, 8, 0.3, 300, null],
    ['a bar colder than the air', 10, 3, 0.9, 310, 200],
    ['air below −53 °C', 600, 8, 0.5, 210, 230],
    ['air above 167 °C', 600, 8, 0.5, 450, null],
  ] as const)('%s: heat made is heat lost, node by node', (_, current, film, emissivity, air, surroundings) => {
    const { drawn, middle } = long(film, emissivity, air, surroundings)(current);
    for (const t of middle) {
      expect(open(t, drawn, film, emissivity, air, surroundings ?? air)).toBeCloseTo(0, 7);
      if (current === 10) expect(t).toBeLessThan(310);
      if (current === 2600) expect(t - air).toBeGreaterThan(300);
      if (current === 60) expect(t - air).toBeLessThan(2);
    }
  });
});
