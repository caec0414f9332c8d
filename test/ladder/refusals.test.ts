/** What the formulas refuse, in words, and that what lies on the edge is still answered. */
import { describe, expect, it } from 'vitest';
import {
  airConductivity, airProperties, airViscosity, channelNusselt, churchillChuNusselt, currentForRise, edgePotential,
  flatPlateNusselt, handbookFilmFactor, horizontalPlateNusselt, type LongBar, NoSteadyStateError, overlapJointResistance,
  patchMean, patchMiddle, pressureAtAltitude, radiatedHeat, riseForCurrent, slenderBarFactor,
} from '../../lib/ladder/index.js';
import { COPPER, filmsOf, onePlate } from './sampleRack.js';

const NONE = [Number.NaN, Number.POSITIVE_INFINITY, 0, -1];

describe('formulas of air and films', () => {
  it.each([
    ['conductivity', () => airConductivity(-300), /conductivity of air at -300 K: no finite number/],
    ['viscosity', () => airViscosity(-200), /viscosity of air at -200 K: no finite number/],
    ['vertical plate', () => churchillChuNusselt(-1, 0.7), /plate at Ra = -1, Pr = 0.7: no finite/],
    ['slender bar', () => slenderBarFactor(0, 0.7, 40), /bar at Gr = 0, Pr = 0.7, L\/D = 40: no finite/],
    ['plate in parallel flow', () => flatPlateNusselt(-1, 0.7), /plate at Re = -1, Pr = 0.7: no finite/],
    ['horizontal plate', () => horizontalPlateNusselt(-1, 'up'), /plate at Ra = -1: no finite/],
    ['channel', () => channelNusselt(Number.POSITIVE_INFINITY), /channel at El = Infinity: no finite/],
    ['handbook', () => handbookFilmFactor(0, 'vertical'), /face of 0 m: no finite/],
    ['radiation', () => radiatedHeat(1e100, 300, 1, 1), /radiation from 1e\+100 K to 300 K: no finite/],
    ['contact beside itself', () => edgePotential(0, 0.1), /edge 0 m away, depth 0.1 m: no finite/],
    ['patch without height', () => patchMean(0, 0.1), /patch of 0 m on a depth of 0.1 m: no finite/],
    ['middle of a patch without height', () => patchMiddle(0, 0.1), /patch of 0 m on a depth of 0.1 m: no finite/],
  ])('%s', (_, call, words) => {
    expect(call).toThrow(RangeError);
    expect(call).toThrow(words);
  });

  it('a plate in parallel flow is laminar up to Re 5e5 itself, and mixed beyond', () => {
    expect(flatPlateNusselt(5e5, 1)).toBeCloseTo(0.664 * Math.sqrt(5e5), 9);
    // Incropera, eq. 7.38: (0.037·63095.734 − 871)·Pr^(1/3) at Re 1e6.
    expect(flatPlateNusselt(1e6, 1)).toBeCloseTo(1463.542, 3);
    expect(flatPlateNusselt(1e6, 0.729)).toBeCloseTo(0.9 * 1463.542, 3);
  });

  it('air is given from 150 K to 1400 K, both included', () => {
    for (const inside of [150, 1400]) expect(airProperties(inside).conductivity).toBe(airConductivity(inside));
    for (const outside of [149.99, 1400.01, Number.NaN]) {
      expect(() => airProperties(outside)).toThrow(/air at .* K: properties are given from 150 K to 1400 K/);
    }
  });

  it('the standard troposphere reaches from −500 m to 11 km, both included', () => {
    // ISO 2533:1975, from memory: 107.478 kPa at −500 m of geopotential altitude.
    expect(pressureAtAltitude(-500) / 1000).toBeCloseTo(107.478, 2);
    for (const outside of [-500.1, 11_000.1, Number.NaN]) expect(() => pressureAtAltitude(outside)).toThrow(/altitude .* m/);
  });
});

describe('overlap joint', () => {
  const joint = { resistancePerMetre: 1.7e-5, length: 0.1, width: 0.1, contactResistivity: 1e-9 };
  it.each(Object.keys(joint))('refuses a %s that is no positive number', (name) => {
    for (const value of NONE) {
      expect(() => overlapJointResistance({ ...joint, [name]: value })).toThrow(`${name} ${value}: must be above 0`);
    }
  });
});

it('an overlap joint beyond any number is named with its figures', () => {
  const huge = { resistancePerMetre: 1e300, length: 1e300, width: 1, contactResistivity: 1 };
  expect(() => overlapJointResistance(huge)).toThrow(/joint \{"resistancePerMetre":1e\+300,.*: no finite number/);
});

describe('long bar', () => {
  const bar: LongBar = {
    section: { material: COPPER, plates: onePlate(0.05, 0.005), emissivity: 0, openFaces: 2 },
    films: filmsOf({ model: 'fixed', coefficient: 8 }), run: 'horizontal', runLength: 1, air: 300, surroundings: 300, altitude: 0,
  };

  it('refuses rises and currents that are not above 0', () => {
    for (const none of [0, -1, Number.NaN]) {
      expect(() => currentForRise(bar, none)).toThrow(`rise ${none} K: must be above 0`);
      expect(() => riseForCurrent(bar, none)).toThrow(`current ${none} A: must be above 0`);
    }
  });

  it('goes from −100 °C of air or surroundings up to a bar of 1000 °C, both included', () => {
    const cold = { ...bar, air: 173.15, surroundings: 173.15 };
    expect(currentForRise(cold, 10).convection).toBeCloseTo(8 * 0.11 * 10, 9);
    expect(currentForRise(bar, 1273.15 - 300).temperature).toBe(1273.15);
    expect(() => currentForRise(bar, 973.2)).toThrow(/a bar at 1000.05\d* °C: the model goes to 1000 °C/);
    expect(() => currentForRise({ ...bar, air: 173.1 }, 10)).toThrow(/at -100.04\d* °C/);
    for (const wrong of [173.1, 1273.15, Number.NaN]) {
      for (const place of ['air', 'surroundings'] as const) {
        expect(() => currentForRise({ ...bar, [place]: wrong }, 10)).toThrow(/air or surroundings at .* °C: the model goes from -100 °C/);
        expect(() => riseForCurrent({ ...bar, [place]: wrong }, 100)).toThrow(/air or surroundings at/);
      }
    }
  });

  it('refuses dimensions that cannot be computed with', () => {
    const flat = { ...bar, section: { ...bar.section, plates: onePlate(0.05, 0) } };
    expect(() => currentForRise(flat, 10)).toThrow(/a bar of 50 mm × 0 mm: cannot be computed with/);
  });

  it('says at which current no steady state is left', () => {
    let thrown: unknown = null;
    try {
      riseForCurrent(bar, 5000);
    } catch (error) {
      thrown = error;
    }
    expect(thrown).toBeInstanceOf(NoSteadyStateError);
    expect(thrown).toMatchObject({ name: 'NoSteadyStateError', current: 5000 });
    expect(String(thrown)).toContain('no steady state at 5000 A');
  });
});

describe('the rise of a long bar at a current', () => {
  const radiating: LongBar = {
    section: { material: COPPER, plates: onePlate(0.1, 0.01), emissivity: 0.9, openFaces: 2 },
    films: filmsOf({ model: 'fixed', coefficient: 4 }), run: 'vertical', runLength: 2, air: 310, surroundings: 260, altitude: 0,
  };

  it.each([1, 200, 900, 2000])('balances I²·R with what a bar between warm air and cold surroundings loses, at %d A', (current) => {
    const { temperature, resistance, convection, radiation } = riseForCurrent(radiating, current);
    const area = 0.22;
    expect(convection).toBeCloseTo(4 * area * (temperature - 310), 9);
    expect(radiation).toBeCloseTo(0.9 * 5.670374e-8 * area * (temperature ** 4 - 260 ** 4), 9);
    expect(resistance).toBeCloseTo((1.724138e-8 * (1 + 0.00393 * (temperature - 293.15))) / 1e-3, 15);
    // The bisection ends within 1e-12 of the temperature, which is 1e-9 W/m here.
    expect(convection + radiation).toBeCloseTo(current ** 2 * resistance, 8);
    // At 1 A the surroundings hold it below the air.
    if (current === 1) expect(temperature).toBeLessThan(310);
    if (current === 2000) expect(temperature).toBeGreaterThan(310);
  });

  it('is the inverse of the current for a rise', () => {
    const { current } = currentForRise(radiating, 41.5);
    const found = riseForCurrent(radiating, current);
    expect(found.temperature).toBeCloseTo(310 + 41.5, 8);
    expect(found.current).toBe(current);
  });
});
