/** Heat-transfer correlations, air and radiation against worked examples and tables. */
import { describe, expect, it } from 'vitest';
import {
  airProperties, channelNusselt, churchillChuNusselt, currentForRise, flatPlateNusselt, handbookFilmFactor,
  horizontalPlateNusselt, pressureAtAltitude, radiatedHeat,
} from '../../lib/ladder/index.js';
import type { LongBar } from '../../lib/ladder/index.js';
import type { Film } from '../../lib/rack/model.js';
import { COPPER, filmsOf, onePlate } from '../ladder/sampleRack.js';
import { publishedCheck } from './publishedCheck.js';

const COVERED: Film = { model: 'fixed', coefficient: 0 };

/** A plate on edge in a horizontal run, cooled on its broad faces alone. */
function plate(height: number, film: Film, openFaces: 1 | 2, air: number, altitude = 0): LongBar {
  return {
    section: { material: COPPER, plates: onePlate(height, 0.006), emissivity: 0, openFaces },
    films: { outerFaces: film, edges: COVERED, facingFaces: COVERED, factor: 1 },
    run: 'horizontal',
    runLength: 1,
    air,
    surroundings: air,
    altitude,
  };
}

describe('correlations', () => {
  it('Churchill–Chu at Pr 0.69, Gr 2.63e9, and the plate of that example through faces, air and film law', () => {
    publishedCheck({
      section: 'C',
      quantity: 'vertical plate, Churchill–Chu, Nu at Pr 0.69 and Gr 2.63e9',
      source: 'Churchill & Chu (1975), eq. 9; Incropera, example 9.2 (Nu 147)',
      unit: '1',
      published: 147.162,
      ours: churchillChuNusselt(0.69 * 2.63e9, 0.69),
      tolerance: { absolute: 5e-4 },
      why: 'digits of the correlation worked out by hand; the example prints 147',
      plot: { picture: 'churchill-chu', x: 0.69 * 2.63e9 },
    });
    publishedCheck({
      section: 'C',
      quantity: 'heat of a 0.71 m × 1.02 m vertical plate at 232 °C in air of 23 °C',
      source: 'Incropera, example 9.2',
      fromMemory: true,
      unit: 'W',
      published: 1060,
      ours: 1.02 * currentForRise(plate(0.71, { model: 'still-air' }, 1, 296.15), 232 - 23).convection,
      tolerance: { relative: 0.015 },
      why: 'air from Sutherland’s formulas stays within 1.5 % of the book’s table; three digits printed',
    });
  });

  it('channel of facing plates at El 54.3, and its limits for narrow and wide gaps', () => {
    const channel = {
      section: 'C', source: 'Bar-Cohen & Rohsenow (1984), J. Heat Transfer 106, 116', unit: '1',
    } as const;
    publishedCheck({
      ...channel,
      quantity: 'channel of facing plates, Nu at El 54.3',
      published: 1.307,
      ours: channelNusselt(54.3),
      tolerance: { absolute: 5e-4 },
      why: 'digits printed',
      plot: { picture: 'channel', x: 54.3 },
    });
    publishedCheck({
      ...channel,
      quantity: 'channel of facing plates, Nu at El 0.1 (narrow: El/24)',
      published: 0.1 / 24,
      ours: channelNusselt(0.1),
      tolerance: { relative: 1e-4 },
      why: 'closed form of the limit; the other term still takes 8e-5',
      plot: { picture: 'channel', x: 0.1 },
    });
    publishedCheck({
      ...channel,
      quantity: 'channel of facing plates, Nu/El^(1/4) at El 1e9 (wide: a single plate, 0.59)',
      fromMemory: true,
      published: 0.59,
      ours: channelNusselt(1e9) / 1e9 ** 0.25,
      tolerance: { absolute: 5e-3 },
      why: 'digits printed',
    });
    expect(channelNusselt(0)).toBe(0);
  });

  it('flat plate: laminar at Re 9600; the mixed law joins it at Re 5e5', () => {
    publishedCheck({
      section: 'C',
      quantity: 'flat plate, laminar, Nu at Re 9600 and Pr 0.687',
      source: 'Incropera, example 7.1 (eq. 7.30)',
      unit: '1',
      published: 57.4,
      ours: flatPlateNusselt(9600, 0.687),
      tolerance: { absolute: 0.05 },
      why: 'digits printed',
      plot: { picture: 'flat-plate', x: 9600 },
    });
    publishedCheck({
      section: 'C',
      quantity: 'flat plate, mixed over laminar Nu just beyond Re 5e5',
      source: 'Incropera, eq. 7.38: 871 is chosen so that both meet',
      unit: '1',
      published: 1,
      ours: flatPlateNusselt(500_001, 0.7) / flatPlateNusselt(500_000, 0.7),
      tolerance: { absolute: 0.01 },
      why: '871 is a rounded number',
    });
  });

  it('horizontal plate facing up sheds twice what one facing down does', () => {
    const common = {
      section: 'C', source: 'McAdams (1954); Incropera, eqs. 9.30 and 9.32 (5th edition)', unit: '1',
      tolerance: { relative: 1e-9 }, why: 'closed form',
    } as const;
    // Ra^(1/4) of 1e8 is 100.
    publishedCheck({
      ...common, quantity: 'horizontal plate facing up, Nu at Ra 1e8', published: 54,
      ours: horizontalPlateNusselt(1e8, 'up'),
    });
    publishedCheck({
      ...common, quantity: 'horizontal plate facing down, Nu at Ra 1e8', published: 27,
      ours: horizontalPlateNusselt(1e8, 'down'),
    });
  });

  it('edges of a horizontal run: one faces up, the other down', () => {
    // Faces covered; Ra on half the thickness, the area over perimeter of a long strip.
    const bar: LongBar = {
      ...plate(0.1, COVERED, 2, 313.15),
      section: { material: COPPER, plates: onePlate(0.1, 0.02), emissivity: 0, openFaces: 2 },
      films: { outerFaces: COVERED, edges: { model: 'still-air' }, facingFaces: COVERED, factor: 1 },
    };
    const { conductivity, rayleighFactor } = airProperties(313.15 + 25);
    const rayleigh = rayleighFactor * 50 * 0.01 ** 3;
    publishedCheck({
      section: 'C',
      quantity: 'edges 20 mm wide of a horizontal run at a rise of 50 K, heat',
      source: 'McAdams (1954): (0.54 + 0.27)·Ra^(1/4)·k/L on both edges',
      unit: 'W/m',
      published: ((0.54 + 0.27) * rayleigh ** 0.25 * conductivity * 0.02 * 50) / 0.01,
      ours: currentForRise(bar, 50).convection,
      tolerance: { relative: 1e-8 },
      why: 'closed form; the solver reads air from tables good to 1e-9',
    });
  });

  it('handbook film: 7.66·θ^1.25/L^0.25 W/m² for vertical faces, through the solver’s film law', () => {
    const common = {
      section: 'C', source: 'Copper Development Association, publication 22: 7.66·θ^1.25/L^0.25', unit: 'W/m²',
    } as const;
    for (const [length, rise] of [[0.1, 30], [0.1, 50], [0.05, 30]]) {
      publishedCheck({
        ...common,
        quantity: `vertical face of ${length * 1000} mm at a rise of ${rise} K, handbook film`,
        published: (7.66 * rise ** 1.25) / (length * 1000) ** 0.25,
        ours: currentForRise(plate(length, { model: 'handbook' }, 2, 313.15), rise).convection / (2 * length),
        tolerance: { relative: 1e-9 },
        why: 'closed form',
      });
    }
    publishedCheck({
      ...common,
      source: 'Copper Development Association, publication 22: 5.92·θ^1.25/L^0.25',
      fromMemory: true,
      quantity: 'horizontal face of 100 mm at a rise of 30 K, handbook film',
      published: (5.92 * 30 ** 1.25) / 100 ** 0.25,
      ours: handbookFilmFactor(0.1, 'horizontal') * 30 ** 1.25,
      tolerance: { relative: 1e-9 },
      why: 'closed form',
    });
  });

  it('films of natural convection fall with the square root of the air’s density', () => {
    // Laminar plates follow Ra^(1/4), and Ra the square of the density (Incropera, section 9.3).
    const at = (altitude: number) =>
      currentForRise(plate(0.1, { model: 'handbook' }, 2, 313.15, altitude), 30).convection;
    publishedCheck({
      section: 'C',
      quantity: 'handbook film at 3000 m over sea level',
      source: 'ISO 2533:1975, pressure 70.109 kPa at 3000 m; laminar Nu ∝ Ra^(1/4) (Incropera, section 9.3)',
      fromMemory: true,
      unit: '1',
      published: Math.sqrt(70.109 / 101.325),
      ours: at(3000) / at(0),
      tolerance: { absolute: 1e-4 },
      why: 'pressure printed to five digits',
    });
  });
});

describe('air', () => {
  it.each([
    [300, 15.89e-6, 26.3e-3, 0.707],
    [350, 20.92e-6, 30.0e-3, 0.7],
    [400, 26.41e-6, 33.8e-3, 0.69],
  ])('at %d K as in the table', (t, viscosity, conductivity, prandtl) => {
    const air = airProperties(t, 1e5);
    const common = {
      section: 'C', source: 'Incropera, table A.4 (tabulated at 1e5 Pa)', tolerance: { relative: 0.015 },
      why: 'Sutherland’s formulas are stated to within 2 % (White, tables 1-2 and 1-3)',
    } as const;
    publishedCheck({
      ...common, quantity: `air at ${t} K, kinematic viscosity`, unit: 'mm²/s', published: viscosity * 1e6,
      ours: air.kinematicViscosity * 1e6,
    });
    publishedCheck({
      ...common, quantity: `air at ${t} K, conductivity`, unit: 'mW/(m·K)', published: conductivity * 1e3,
      ours: air.conductivity * 1e3,
    });
    publishedCheck({
      ...common, quantity: `air at ${t} K, Prandtl number`, unit: '1', published: prandtl, ours: air.prandtl,
    });
  });

  it('thinner air is more viscous for its mass', () => {
    publishedCheck({
      section: 'C',
      quantity: 'air at 437 K and 6 kPa, kinematic viscosity',
      source: 'Incropera, example 7.1: 30.84e-6 m²/s at 437 K, brought from the table’s 1e5 Pa to 6 kPa',
      fromMemory: true,
      unit: 'mm²/s',
      // The example itself brings it from 101 325 Pa and prints 521.
      published: 30.84 * (1e5 / 6e3),
      ours: airProperties(437, 6e3).kinematicViscosity * 1e6,
      tolerance: { relative: 0.015 },
      why: 'Sutherland’s formulas are stated to within 2 % (White, tables 1-2 and 1-3)',
    });
  });

  it.each([
    [1000, 89.875], [3050, 69.7], [5000, 54.02], [11_000, 22.632],
  ])('pressure at %d m of geopotential altitude', (altitude, published) => {
    publishedCheck({
      section: 'C',
      quantity: `pressure of the standard atmosphere at ${altitude} m`,
      source: 'ISO 2533:1975',
      fromMemory: true,
      unit: 'kPa',
      published,
      ours: pressureAtAltitude(altitude) / 1000,
      tolerance: { absolute: altitude === 3050 ? 0.05 : 0.005 },
      why: altitude === 3050 ? 'digits printed' : 'digits printed; the constants of the formula have six',
    });
  });

  it('is refused above the troposphere', () => {
    expect(() => pressureAtAltitude(20_000)).toThrow(/-500 m to 11000 m/);
  });
});

describe('radiation', () => {
  it('pipe of 70 mm at 200 °C, emissivity 0.8, film 15 W/m²K, in a room at 25 °C', () => {
    // A flat bar of the pipe's perimeter.
    const perimeter = Math.PI * 0.07;
    const bar: LongBar = {
      ...plate(0.1, { model: 'fixed', coefficient: 15 }, 2, 298.15),
      section: { material: COPPER, plates: onePlate(0.1, perimeter / 2 - 0.1), emissivity: 0.8, openFaces: 2 },
      films: filmsOf({ model: 'fixed', coefficient: 15 }),
    };
    const { convection, radiation } = currentForRise(bar, 175);
    const common = {
      section: 'C', source: 'Incropera, example 1.2', fromMemory: true, unit: 'W/m',
      why: 'three digits printed; the example takes 0 °C as 273 K',
    } as const;
    publishedCheck({
      ...common, quantity: 'steam pipe, convection', published: 577, ours: convection, tolerance: { absolute: 1 },
    });
    publishedCheck({
      ...common, quantity: 'steam pipe, radiation', published: 421, ours: radiation, tolerance: { absolute: 1 },
    });
    publishedCheck({
      section: 'C',
      quantity: 'black body at 1000 K, emitted heat',
      source: 'Stefan–Boltzmann law, σ 5.670374e-8 (CODATA 2018)',
      fromMemory: true,
      unit: 'kW/m²',
      published: 56.70374,
      ours: radiatedHeat(1000, 0, 1, 1) / 1000,
      tolerance: { absolute: 5e-6 },
      why: 'digits printed',
    });
  });
});
