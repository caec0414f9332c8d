/**
 * Conduction benchmarks posed through the ladder: the bar is the rod, a unit's heat path of large conductance holds its
 * first slot at a temperature, and a microwatt of load keeps Joule heat out of it.
 */
import { describe, it } from 'vitest';
import { type LadderSolution, RackModel } from '../../lib/ladder/index.js';
import type { Pole, Rack } from '../../lib/rack/model.js';
import { COPPER, filmsOf, load, onePlate, sampleRack, scenarioOf, shelf } from '../ladder/sampleRack.js';
import { publishedCheck } from './publishedCheck.js';

/** The rack's state with slot 1 of both poles held at a rise above the air, K. */
function heldAt(rack: Rack, rise: number): LadderSolution {
  const model = new RackModel(rack);
  const scenario = scenarioOf([shelf(1, { heatConductance: 1e6, heatRise: rise }), load(2)]);
  const solution = model.solutionAt(scenario, 1e-6, model.states(scenario)[0]);
  if (solution.status !== 'solved') throw new Error(`expected a solution, got ${solution.status}`);
  return solution;
}

describe('rod as a fin: 5 mm, k 398, base 100 °C, film 100 W/m²K, air 25 °C', () => {
  const diameter = 0.005;
  const side = Math.sqrt(Math.PI / 4) * diameter;
  /** A square bar of the rod's area has more perimeter; the film makes up for it. */
  const coefficient = (100 * Math.PI * diameter) / (4 * side);

  /** Base heat (W) and tip temperature (°C) of a fin whose base is mid-slot 1 and whose tip is the end of the bar. */
  function fin(length: number, slotCount: number): { heat: number; tip: number } {
    const pitch = length / (slotCount - 0.5);
    const pole: Pole = {
      sections: [{
        fromSlot: 1, toSlot: slotCount, material: { ...COPPER, thermalConductivity: 398 }, plates: onePlate(side, side),
        emissivity: 0, openFaces: 2,
      }],
      joints: [],
    };
    const solution = heldAt(sampleRack({
      slotCount, pitch, supply: pole, return: pole, films: filmsOf({ model: 'fixed', coefficient }), limits: {},
      air: { inlet: 298.15 },
    }), 75);
    // Half of slot 1 lies before the base.
    const before = 0.5 * pitch * coefficient * 4 * side * 75;
    const tip = solution.supplyTemperature[slotCount - 1] - 273.15;
    return { heat: solution.balance.convection / 2 - before, tip };
  }

  /** About half the step, then to step zero along its square. */
  function limit(length: number, slotCount: number): { heat: number; tip: number } {
    const coarse = fin(length, slotCount);
    const fine = fin(length, 2 * slotCount);
    const ratio = ((2 * slotCount - 0.5) / (slotCount - 0.5)) ** 2;
    const toZero = (a: number, b: number) => b + (b - a) / (ratio - 1);
    return { heat: toZero(coarse.heat, fine.heat), tip: toZero(coarse.tip, fine.tip) };
  }

  const common = { section: 'C', source: 'Incropera, example 3.9', why: 'digits of the closed form' } as const;

  it('loses 8.310 W when infinitely long', () => {
    publishedCheck({
      ...common, quantity: 'fin, rod 5 mm, k 398, 100 °C in 25 °C air, infinitely long, heat',
      unit: 'W', published: 8.31, ours: limit(1.2, 240).heat, tolerance: { absolute: 5e-4 },
    });
  });

  it('loses 7.388 W when 100 mm long with an insulated tip, which is at 59.32 °C', () => {
    const { heat, tip } = limit(0.1, 40);
    publishedCheck({
      ...common, quantity: 'the same fin, 100 mm with insulated tip, heat', unit: 'W', published: 7.388, ours: heat,
      tolerance: { absolute: 5e-4 },
    });
    publishedCheck({
      ...common, quantity: 'the same fin, 100 mm with insulated tip, temperature of its tip', unit: '°C',
      published: 59.32, ours: tip, tolerance: { absolute: 5e-3 },
    });
  });
});

describe('NAFEMS T2: rod of 0.1 m, k 55.6, one end at 1000 K, the other radiating to 300 K', () => {
  it('is at 927.0 K at the radiating end', () => {
    const slotCount = 11;
    const pitch = 0.01;
    const plates = onePlate(0.1, 0.01);
    const material = { ...COPPER, thermalConductivity: 55.6 };
    // The last slot's sides radiate what the end face would.
    const emissivity = (0.98 * plates.depth * plates.thickness) / (2 * (plates.depth + plates.thickness) * pitch);
    const pole: Pole = {
      sections: [
        { fromSlot: 1, toSlot: slotCount - 1, material, plates, emissivity: 0, openFaces: 2 },
        { fromSlot: slotCount, toSlot: slotCount, material, plates, emissivity, openFaces: 2 },
      ],
      joints: [],
    };
    const solution = heldAt(sampleRack({
      slotCount, pitch, supply: pole, return: pole, films: filmsOf({ model: 'fixed', coefficient: 0 }), limits: {},
      air: { inlet: 300, surroundings: 300 },
    }), 700);
    publishedCheck({
      section: 'C', quantity: 'rod heated to 1000 K at one end, radiating at the other, temperature there',
      source: 'NAFEMS benchmark T2', fromMemory: true, unit: 'K', published: 927.0,
      ours: solution.supplyTemperature[slotCount - 1], tolerance: { absolute: 0.05 }, why: 'digits printed',
    });
  });
});
