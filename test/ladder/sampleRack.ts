import { NOMINAL_BUILD, type Build, type PlacedUnit, type Scenario } from '../../lib/draw/scenario.js';
import type { Film, Films, Material, Plates, Pole, Rack, Section } from '../../lib/rack/model.js';

export const COPPER: Material = {
  id: 'copper',
  resistivity20: 1.724138e-8,
  temperatureCoefficient: 0.00393,
  thermalConductivity: 391,
  density: 8890,
  specificHeat: 385,
  source: 'IEC 60028',
};

export function onePlate(depth: number, thickness: number): Plates {
  return { count: 1, depth, thickness, gap: 0 };
}

export function filmsOf(film: Film, factor = 1): Films {
  return { outerFaces: film, edges: film, facingFaces: { model: 'channel' }, factor };
}

export interface SamplePole {
  readonly plates?: Plates;
  readonly material?: Material;
  readonly emissivity?: number;
  readonly openFaces?: 0 | 1 | 2;
}

export function plainPole(slotCount: number, options: SamplePole = {}): Pole {
  const section: Section = {
    fromSlot: 1,
    toSlot: slotCount,
    material: options.material ?? COPPER,
    plates: options.plates ?? onePlate(0.187, 0.01),
    emissivity: options.emissivity ?? 0.2,
    openFaces: options.openFaces ?? 2,
  };
  return { sections: [section], joints: [] };
}

const NO_LIMITS = {
  barRise: Number.POSITIVE_INFINITY,
  barTemperature: Number.POSITIVE_INFINITY,
  contactTemperature: Number.POSITIVE_INFINITY,
  loadContactCurrent: Number.POSITIVE_INFINITY,
  lowestLoadVoltage: Number.NEGATIVE_INFINITY,
};

/** A 44-slot deep-bar rack of about 65 kg copper, limited by a bar rise of 30 K unless said otherwise. */
export function sampleRack(options: Partial<Omit<Rack, 'limits' | 'air'>>
  & { limits?: Partial<Rack['limits']>; air?: Partial<Rack['air']> } = {}): Rack {
  const slotCount = options.slotCount ?? 44;
  return {
    name: 'sample',
    slotCount,
    pitch: 0.04445,
    supply: plainPole(slotCount),
    return: plainPole(slotCount),
    films: filmsOf({ model: 'still-air' }),
    setVoltage: 50,
    sharing: { model: 'equal' },
    operatingStates: ['all-in-service'],
    ...options,
    limits: { ...NO_LIMITS, ...(options.limits ?? { barRise: 30 }) },
    air: {
      inlet: 298.15,
      profile: new Array<number>(slotCount).fill(0),
      exhaustRise: 0,
      altitude: 0,
      surroundings: null,
      ...options.air,
    },
  };
}

export type UnitOptions = Partial<Omit<PlacedUnit, 'kind' | 'bottomSlot'>>;

function unit(kind: PlacedUnit['kind'], slot: number, options: UnitOptions): PlacedUnit {
  return {
    kind,
    equipment: kind,
    bottomSlot: slot,
    heightSlots: 1,
    contactSlot: slot,
    power: 0,
    contactResistance: [0, 0],
    contactThermalResistance: 0,
    contactHeatShare: 1,
    contactEdgeHeight: 0,
    heatConductance: 0,
    heatRise: 0,
    sharingWeight: 1,
    maxCurrent: Number.POSITIVE_INFINITY,
    maxPower: Number.POSITIVE_INFINITY,
    droopResistance: 0,
    ...options,
  };
}

export const shelf = (slot: number, options: UnitOptions = {}): PlacedUnit => unit('power-shelf', slot, options);
export const battery = (slot: number, options: UnitOptions = {}): PlacedUnit => unit('battery-shelf', slot, options);
export const load = (slot: number, options: UnitOptions = {}): PlacedUnit => unit('load', slot, { power: 1, ...options });

export function scenarioOf(units: readonly PlacedUnit[], build: Partial<Build> = {}): Scenario {
  return {
    index: 0,
    units: [...units].sort((a, b) => a.bottomSlot - b.bottomSlot),
    build: { ...NOMINAL_BUILD, ...build },
  };
}

/** Slots from..to, inclusive. */
export function slots(from: number, to: number): number[] {
  return Array.from({ length: to - from + 1 }, (_, i) => from + i);
}
