/**
 * A rack whose rated power is known in closed form: a long bar that carries one current from a source at one end to a load
 * at the other, fixed film h, no radiation, resistance that does not follow the temperature. Far from the ends
 * rise = I²·r/(h·p), with r = ρ/(depth·thickness) and p = 2·(depth + thickness) for each pole.
 */
import { parseCatalogue, parseRack, parseStudy, type Study } from '../../../lib/rack/index.js';

export const SLOTS = 200;
export const PITCH = 0.05;
export const RHO = 20e-9;
export const DENSITY = 9000;
export const FILM = 30;
export const RISE = 30;
export const VOLTS = 1000;

const contact = { microOhm: 0, thermalResistanceKPerW: 0, grip: 'whole-depth' };

export function longBarStudy({ depthMm = 100, thicknessMm = 10, scenarios = 400 } = {}): Study {
  const rack = parseRack({
    format: 'slotcast-rack/1',
    name: 'long bar',
    slots: { count: SLOTS, pitchMm: PITCH * 1e3 },
    materials: {
      flat: {
        resistivityNanoOhmM: RHO * 1e9, temperatureCoefficientPerK: 0, thermalConductivityWPerMK: 390,
        densityKgPerM3: DENSITY, specificHeatJPerKgK: 385, source: 'round numbers for a closed form',
      },
    },
    poles: {
      both: {
        sections: [{
          fromSlot: 1, toSlot: SLOTS, material: 'flat', plates: { count: 1, depthMm, thicknessMm }, emissivity: 0,
        }],
        joints: [{ aboveSlot: 100, microOhm: 0 }],
      },
    },
    film: { model: 'fixed', coefficientWPerM2K: FILM },
    air: { inletC: 20 },
    limits: { barRiseK: RISE },
    feed: { setV: VOLTS, sharing: 'equal' },
    operatingStates: ['all-in-service'],
  });
  const catalogue = parseCatalogue({
    format: 'slotcast-catalogue/1',
    name: 'ends',
    sources: [{ id: 'feed', name: 'Feed', kind: 'power-shelf', heightSlots: 1, contactSlot: 1, contact, massKg: 50 }],
    loads: [{
      id: 'load', name: 'Load', heightSlots: 2, contactSlot: 2, powerKw: { min: 1, max: 1 }, mixWeight: 1, contact,
      massKg: 20,
    }],
  });
  return parseStudy({
    format: 'slotcast-study/1',
    name: 'long bar',
    seed: 'long bar',
    scenarios,
    sources: { positions: { draw: 'fixed', units: [{ id: 'feed', bottomSlot: 1 }] } },
    loads: { draw: 'fixed', units: [{ id: 'load', bottomSlot: SLOTS - 1, powerKw: 1 }] },
    uncertain: { filmFactor: { distribution: 'uniform', min: 0.7, max: 1.3 } },
    percentilesPercent: [1],
    confidencePercent: 95,
  }, { rack, catalogue });
}

/** W at the load's terminals where the middle of the bar reaches the limit. */
export function powerOf(depth: number, thickness: number, filmFactor: number): number {
  const area = depth * thickness;
  const perimeter = 2 * (depth + thickness);
  const current = Math.sqrt((RISE * FILM * filmFactor * perimeter * area) / RHO);
  return current * (VOLTS - (current * 2 * RHO * (SLOTS - 1) * PITCH) / area);
}
