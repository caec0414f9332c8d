/** Heat-transfer correlations against worked examples and tables. */
import { describe, expect, it } from 'vitest';
import {
  airProperties, channelNusselt, churchillChuNusselt, currentForRise, flatPlateNusselt, handbookFilmFactor,
  horizontalPlateNusselt, pressureAtAltitude, resistancePerMetre,
} from '../../lib/ladder/index.js';
import type { LongBar } from '../../lib/ladder/index.js';
import { COPPER, filmsOf, onePlate } from '../ladder/sampleRack.js';

describe('correlations', () => {
  it('Churchill–Chu: Nu 147.162 at Pr 0.69, Gr 2.63e9 (Incropera, example 9.2)', () => {
    expect(churchillChuNusselt(0.69 * 2.63e9, 0.69)).toBeCloseTo(147.162, 3);
  });

  it('channel of facing plates: El 54.3 gives 1.307; narrow gaps tend to El/24 (Bar-Cohen & Rohsenow 1984)', () => {
    expect(channelNusselt(54.3)).toBeCloseTo(1.307, 3);
    expect(channelNusselt(1e-4) / (1e-4 / 24)).toBeCloseTo(1, 6);
    expect(channelNusselt(0)).toBe(0);
  });

  it('laminar flat plate: Re 9600, Pr 0.687 gives 57.4 (Incropera, example 7.1)', () => {
    expect(flatPlateNusselt(9600, 0.687)).toBeCloseTo(57.4, 1);
  });

  it('mixed flat plate joins the laminar one at Re 5e5 within 1 % (Incropera, eq. 7.38)', () => {
    expect(flatPlateNusselt(500_001, 0.7) / flatPlateNusselt(500_000, 0.7)).toBeCloseTo(1, 1);
  });

  it('horizontal plate facing up sheds twice what one facing down does (McAdams 1954)', () => {
    expect(horizontalPlateNusselt(1e6, 'up')).toBeCloseTo(0.54 * 1e6 ** 0.25, 10);
    expect(horizontalPlateNusselt(1e6, 'down')).toBeCloseTo(0.27 * 1e6 ** 0.25, 10);
  });

  it('handbook film: 7.66·θ^1.25/L^0.25 W/m² for vertical faces (CDA publication 22)', () => {
    expect(handbookFilmFactor(0.1, 'vertical') * 30 ** 1.25).toBeCloseTo((7.66 * 30 ** 1.25) / 100 ** 0.25, 10);
    expect(handbookFilmFactor(0.1, 'horizontal') * 30 ** 1.25).toBeCloseTo((5.92 * 30 ** 1.25) / 100 ** 0.25, 10);
  });
});

describe('air', () => {
  it.each([
    [300, 15.89e-6, 26.3e-3, 0.707],
    [350, 20.92e-6, 30.0e-3, 0.7],
    [400, 26.41e-6, 33.8e-3, 0.69],
  ])('at %d K within 1.5 % of the table (Incropera, table A.4, tabulated at 1e5 Pa)', (t, viscosity, conductivity, prandtl) => {
    const air = airProperties(t, 1e5);
    expect(Math.abs(air.kinematicViscosity / viscosity - 1)).toBeLessThan(0.015);
    expect(Math.abs(air.conductivity / conductivity - 1)).toBeLessThan(0.015);
    expect(Math.abs(air.prandtl / prandtl - 1)).toBeLessThan(0.015);
  });

  it('pressure at 3050 m is 69.7 kPa (ISO 2533, from the formula)', () => {
    expect(pressureAtAltitude(3050) / 1000).toBeCloseTo(69.7, 1);
    expect(() => pressureAtAltitude(20_000)).toThrow(/-500 m to 11000 m/);
  });
});

/** A telecom-style flat bar on edge, horizontal run. */
function flatBar(widthInch: number, thicknessInch: number, film: 'handbook' | 'still-air', emissivity: number): LongBar {
  return {
    section: { material: COPPER, plates: onePlate(widthInch * 0.0254, thicknessInch * 0.0254), emissivity, openFaces: 2 },
    films: filmsOf({ model: film }),
    run: 'horizontal',
    runLength: 3,
    air: 313.15,
    surroundings: 313.15,
    altitude: 0,
  };
}

describe('single copper bars, horizontal run on edge, 30 K over 40 °C, emissivity 0.40 (ATIS T1.311, table 5, column A)', () => {
  const rows: [number, number, number][] = [[1, 0.25, 409], [2, 0.25, 731], [4, 0.25, 1342], [6, 0.25, 1931], [4, 0.5, 1951]];
  for (const film of ['handbook', 'still-air'] as const) {
    it.each(rows)(`%d × %d inch: %d A within 3 % with the ${film} film`, (width, thickness, published) => {
      const { current } = currentForRise(flatBar(width, thickness, film, 0.4), 30);
      expect(Math.abs(current / published - 1)).toBeLessThan(0.03);
    });
  }
});

describe('resistance', () => {
  it('1/4 × 4 inch at 99 % IACS is 27.0 µΩ/m at 20 °C (ATIS T1.311)', () => {
    const material = { ...COPPER, resistivity20: COPPER.resistivity20 / 0.99 };
    const section = { material, plates: onePlate(4 * 0.0254, 0.25 * 0.0254), emissivity: 0.4, openFaces: 2 as const };
    expect(resistancePerMetre(section, 293.15) * 1e6).toBeCloseTo(27.0, 1);
  });
});
