import type { Catalogue, LoadType, Pole, Rack, SourceKind, SourceType } from '../../lib/rack/model.js';
import type { Study } from '../../lib/rack/studyModel.js';

/** An invented source; every figure is a round number without a model in the trade. */
export function source(id: string, heightSlots: number, kind: SourceKind = 'power-shelf'): SourceType {
  return {
    id,
    name: id,
    kind,
    heightSlots,
    contactSlot: 1,
    maxCurrent: 500,
    maxPower: 25_000,
    contact: { resistance: 1e-5, thermalResistance: 0.1, heatShare: 1, edgeHeight: 0.02 },
    heatPath: { conductance: 0, rise: 0 },
    droopResistance: 1e-3,
    mass: 20,
  };
}

/** An invented load. */
export function load(id: string, heightSlots: number, power = { min: 500, max: 1500 }, mixWeight = 1): LoadType {
  return {
    id,
    name: id,
    heightSlots,
    contactSlot: heightSlots,
    power,
    mixWeight,
    contact: { resistance: 4e-5, thermalResistance: 0.2, heatShare: 1, edgeHeight: 0.02 },
    heatPath: { conductance: 0.5, rise: 10 },
    mass: 10,
  };
}

export const sampleCatalogue: Catalogue = {
  name: 'invented',
  sources: [source('shelf', 1), source('tall-shelf', 2), source('battery', 3, 'battery-shelf')],
  loads: [
    load('node', 1, { min: 400, max: 1200 }, 5),
    load('double', 2, { min: 1000, max: 4000 }, 3),
    load('quad', 4, { min: 3000, max: 3000 }, 1),
  ],
};

export function sampleRack(slotCount: number): Rack {
  const copper = {
    id: 'copper',
    resistivity20: 1.724e-8,
    temperatureCoefficient: 0.00393,
    thermalConductivity: 391,
    density: 8890,
    specificHeat: 385,
    source: 'IEC 60028',
  };
  const plates = { count: 1, depth: 0.1, thickness: 0.006, gap: 0 };
  const pole: Pole = {
    sections: [{ fromSlot: 1, toSlot: slotCount, material: copper, plates, emissivity: 0.3, openFaces: 2 }],
    joints: [],
  };
  const film = { model: 'still-air' } as const;
  return {
    name: 'invented',
    slotCount,
    pitch: 0.0445,
    supply: pole,
    return: pole,
    films: { outerFaces: film, edges: film, facingFaces: film, factor: 1 },
    air: { inlet: 300, profile: new Array<number>(slotCount).fill(0), exhaustRise: 0, altitude: 0, surroundings: null },
    limits: {
      barRise: 30,
      barTemperature: Infinity,
      contactTemperature: Infinity,
      loadContactCurrent: Infinity,
      lowestLoadVoltage: -Infinity,
    },
    setVoltage: 50,
    sharing: { model: 'equal' },
    operatingStates: ['all-in-service'],
  };
}

/** A study with two one-slot sources, three even one-slot loads, no rules and nothing uncertain. */
export function sampleStudy(slotCount: number, changes: Partial<Study> = {}): Study {
  return {
    name: 'invented',
    rack: sampleRack(slotCount),
    catalogue: sampleCatalogue,
    seed: 'sample',
    scenarios: 1000,
    sources: { units: [{ id: 'shelf', count: 2 }], positions: { draw: 'uniform' } },
    loads: { draw: 'even', id: 'node', count: { min: 3, max: 3 }, totalPower: 3000 },
    rules: [],
    candidateRules: [],
    uncertain: { perScenario: {}, sourceContact: null, loadContact: null, sharingWeight: null },
    correlations: [],
    sampling: { design: 'plain' },
    percentiles: [0.01, 0.5],
    percentileDefinition: 'type-8',
    confidence: 0.95,
    mostNotRated: 0.01,
    stopping: null,
    ...changes,
  };
}
