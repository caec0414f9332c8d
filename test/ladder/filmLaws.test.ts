/** The film laws as the solver has them, against the textbook functions, difference quotients and each other. */
import { describe, expect, it } from 'vitest';
import {
  airProperties, channelNusselt, churchillChuNusselt, flatPlateNusselt, handbookFilmFactor, horizontalPlateNusselt,
  pressureAtAltitude, slenderBarFactor,
} from '../../lib/ladder/index.js';
import { compileFilm } from '../../lib/ladder/filmLaw.js';
import { Surface } from '../../lib/ladder/surface.js';
import type { Film, Films } from '../../lib/rack/model.js';

const PLATES = { count: 2, depth: 0.12, thickness: 0.008, gap: 0.01 };
const ALTITUDE = 1500;
const HEIGHT = 1.8;
/** m, around both plates and the gap between them. */
const GIRTH = 2 * (0.12 + 0.016 + 0.01);
const NONE: Film = { model: 'fixed', coefficient: 0 };
const ALL: readonly Film[] = [
  { model: 'fixed', coefficient: 6 }, { model: 'handbook' }, { model: 'still-air' }, { model: 'slender-still-air' },
  { model: 'moving-air', speed: 0.7 }, { model: 'moving-air', speed: 90 }, { model: 'channel' },
];
const FLAT = ALL.filter(({ model }) => model !== 'slender-still-air');

/** W/(m²·K) of one face, from the textbook functions alone; a vertical face is as high as its run, or as deep as the plate. */
function textbook(film: Film, facing: 'side' | 'up' | 'down', height: number, rise: number, mean: number): number {
  const air = airProperties(mean, pressureAtAltitude(ALTITUDE));
  const rayleigh = air.rayleighFactor * Math.abs(rise) * height ** 3;
  const still = (air.conductivity / height) * churchillChuNusselt(rayleigh, air.prandtl);
  switch (film.model) {
    case 'fixed':
      return film.coefficient;
    case 'handbook':
      return handbookFilmFactor(facing === 'side' ? height : 0.008, facing === 'side' ? 'vertical' : 'horizontal')
        * Math.abs(rise) ** 0.25 * Math.sqrt(pressureAtAltitude(ALTITUDE) / 101325);
    case 'still-air':
      return facing === 'side' ? still
        : (air.conductivity / 0.004) * horizontalPlateNusselt(air.rayleighFactor * Math.abs(rise) * 0.004 ** 3, facing);
    case 'slender-still-air':
      return still * slenderBarFactor(rayleigh / air.prandtl, air.prandtl, (Math.PI * height) / GIRTH);
    case 'moving-air': {
      const forced = (air.conductivity / 0.12) * flatPlateNusselt((film.speed * 0.12) / air.kinematicViscosity, air.prandtl);
      return Math.cbrt(still ** 3 + forced ** 3);
    }
    case 'channel':
      return (air.conductivity / 0.01) * channelNusselt((air.rayleighFactor * Math.abs(rise) * 0.01 ** 4) / height);
  }
}

function lossOf(surface: Surface, temperature: number, air: number): { heat: number; slope: number } {
  const [heat, slope] = [new Float64Array(1), new Float64Array(1)];
  surface.addConvection(Float64Array.of(temperature), Float64Array.of(air), 0, 1, 1, 0, heat, slope);
  return { heat: heat[0], slope: slope[0] };
}

function surfaceOf(films: Partial<Films>, run: 'vertical' | 'horizontal', openFaces: 0 | 1 | 2 = 2): Surface {
  return new Surface({ plates: PLATES, openFaces, run, runLength: HEIGHT },
    { outerFaces: NONE, edges: NONE, facingFaces: NONE, factor: 1, ...films }, ALTITUDE);
}

const RISES = [-40, 0.5, 8, 60, 250];
const AIRS = [260, 310, 400];

describe('each film', () => {
  it.each(ALL)('$model gives every vertical face of a vertical run what the textbook functions say', (film) => {
    const outer = surfaceOf({ outerFaces: film, factor: 0.8 }, 'vertical', 1);
    const facing = surfaceOf({ facingFaces: film }, 'vertical');
    const edges = surfaceOf({ edges: film }, 'vertical');
    for (const air of AIRS) {
      for (const rise of RISES) {
        const perArea = textbook(film, 'side', HEIGHT, rise, air + rise / 2) * rise;
        expect(lossOf(outer, air + rise, air).heat / (0.8 * 0.12 * perArea)).toBeCloseTo(1, 8);
        expect(lossOf(facing, air + rise, air).heat / (0.24 * perArea)).toBeCloseTo(1, 8);
        expect(lossOf(edges, air + rise, air).heat / (0.032 * perArea)).toBeCloseTo(1, 8);
      }
    }
  });

  it.each(FLAT)('$model gives a horizontal run’s faces, as high as the plate is deep, and its edges what they say', (film) => {
    const faces = surfaceOf({ outerFaces: film }, 'horizontal');
    const edges = surfaceOf({ edges: film }, 'horizontal');
    for (const air of AIRS) {
      for (const rise of RISES) {
        const mean = air + rise / 2;
        expect(lossOf(faces, air + rise, air).heat / (0.24 * textbook(film, 'side', 0.12, rise, mean) * rise)).toBeCloseTo(1, 8);
        if (film.model !== 'handbook' && film.model !== 'still-air') continue;
        const both = textbook(film, 'up', 0.12, rise, mean) + textbook(film, 'down', 0.12, rise, mean);
        expect(lossOf(edges, air + rise, air).heat / (0.016 * both * rise)).toBeCloseTo(1, 8);
      }
    }
  });

  it.each(ALL)('$model has as its slope the difference quotient of its heat', (film) => {
    const surface = surfaceOf({ outerFaces: film, facingFaces: film }, 'vertical');
    for (const air of AIRS) {
      for (const rise of RISES) {
        const step = 1e-4 * Math.abs(rise);
        const [below, above] = [-step, step].map((d) => lossOf(surface, air + rise + d, air).heat);
        expect(lossOf(surface, air + rise, air).slope / ((above - below) / (2 * step))).toBeCloseTo(1, 5);
      }
    }
  });

  it.each(ALL)('$model takes from a colder bar what it takes from a warmer one the other way', (film) => {
    const surface = surfaceOf({ outerFaces: film, edges: film }, 'vertical');
    const [warm, cold] = [lossOf(surface, 340, 300), lossOf(surface, 300, 340)];
    expect(cold.heat).toBeCloseTo(-warm.heat, 9);
    expect(lossOf(surface, 320, 320).heat).toBeCloseTo(0, 12);
    expect(Number.isFinite(lossOf(surface, 320, 320).slope)).toBe(true);
  });

  it.each(ALL)('$model keeps the air of 160 K below that and of 1360 K above', (film) => {
    const surface = surfaceOf({ outerFaces: film }, 'vertical');
    const at = (mean: number) => lossOf(surface, mean + 10, mean - 10).heat;
    expect(at(155)).toBeCloseTo(at(160), 9);
    expect(at(1365)).toBeCloseTo(at(1360), 9);
    if (film.model !== 'fixed' && film.model !== 'handbook') {
      expect(at(165) / at(160)).not.toBeCloseTo(1, 3);
      expect(at(1355) / at(1360)).not.toBeCloseTo(1, 5);
    }
  });

  it.each(ALL)('$model adds to the slots asked for and to no other', (film) => {
    const surface = surfaceOf({ outerFaces: film, edges: film }, 'vertical');
    const n = 6;
    const air = Float64Array.from({ length: n }, (_, i) => 300 + i);
    const temperature = Float64Array.from({ length: 2 * n }, (_, e) => 330 + 2 * e);
    const [heat, slope] = [new Float64Array(2 * n).fill(7), new Float64Array(2 * n).fill(5)];
    surface.addConvection(temperature, air, 2, 3, 2, 1, heat, slope);
    for (let e = 0; e < 2 * n; e++) {
      const i = e >> 1;
      const added = e % 2 === 1 && i >= 2 && i < 5 ? lossOf(surface, temperature[e], air[i]) : { heat: 0, slope: 0 };
      expect(heat[e]).toBeCloseTo(7 + added.heat, 9);
      expect(slope[e]).toBeCloseTo(5 + added.slope, 9);
    }
  });
});

describe('the gain of a slender bar over a flat plate', () => {
  // Popiel, Wojtkowiak & Bober (2007), worked out by hand at L/D·Gr^(−1/4) = 1/2; coefficients from memory.
  it.each([[0.01, 4.906558], [1, 1.672038], [100, 1.225105]])('at Pr %d is %d', (prandtl, gain) => {
    expect(slenderBarFactor(1e8, prandtl, 50)).toBeCloseTo(gain, 5);
  });

  it('is in air that of the same authors’ formula for air alone, 1 + 0.3·[√32·Gr^(−1/4)·L/D]^0.909', () => {
    // Popiel (2008), Heat Transfer Eng. 29, 521; from memory, two digits.
    for (const slenderness of [1, 10, 50, 200]) {
      const inAir = 0.3 * ((Math.sqrt(32) * slenderness) / 100) ** 0.909;
      expect((slenderBarFactor(1e8, 0.7, slenderness) - 1) / inAir).toBeCloseTo(0.98, 2);
    }
  });

  it('is about 5 % where D/L is 35/Gr^(1/4), which is where a cylinder counts as a plate', () => {
    // Sparrow & Gregg (1956), Trans. ASME 78, 1823; from memory, a rounded criterion.
    expect(Math.abs(slenderBarFactor(1e8, 0.72, 100 / 35) - 1.05)).toBeLessThan(0.01);
  });
});

describe('the faces of a section', () => {
  it('radiate from the envelope: open faces, outer edges and the mouths of the gaps', () => {
    expect(surfaceOf({}, 'vertical', 1).envelope).toBeCloseTo(0.12 + 2 * (2 * 0.008 + 0.01), 12);
    expect(surfaceOf({}, 'horizontal', 2).envelope).toBeCloseTo(0.24 + 2 * (2 * 0.008 + 0.01), 12);
    expect(surfaceOf({}, 'vertical', 0).envelope).toBeCloseTo(2 * (2 * 0.008 + 0.01), 12);
  });

  it('are cooled each by its own film, and one plate has no faces that face each other', () => {
    const films = { outerFaces: 5, edges: 7, facingFaces: 11 };
    const fixed = Object.fromEntries(Object.entries(films).map(([name, coefficient]) => [name, { model: 'fixed', coefficient }]));
    expect(lossOf(surfaceOf(fixed, 'vertical'), 310, 300).heat).toBeCloseTo(10 * (5 * 0.24 + 7 * 0.032 + 11 * 0.24), 9);
    expect(lossOf(surfaceOf(fixed, 'horizontal'), 310, 300).heat).toBeCloseTo(10 * (5 * 0.24 + 7 * 0.032 + 11 * 0.24), 9);
    const single = new Surface({ plates: { ...PLATES, count: 1 }, openFaces: 2, run: 'vertical', runLength: HEIGHT },
      { ...surfaceFilms(fixed), factor: 1 }, 0);
    expect(lossOf(single, 310, 300).heat).toBeCloseTo(10 * (5 * 0.24 + 7 * 0.016), 9);
  });

  it('that face each other are two to a gap', () => {
    const three = new Surface({ plates: { ...PLATES, count: 3 }, openFaces: 2, run: 'vertical', runLength: HEIGHT },
      { ...surfaceFilms({ facingFaces: { model: 'fixed', coefficient: 4 } }), factor: 1 }, 0);
    expect(lossOf(three, 310, 300).heat).toBeCloseTo(4 * 4 * 0.12 * 10, 9);
  });

  it('of a horizontal run are not a slender bar', () => {
    expect(() => surfaceOf({ outerFaces: { model: 'slender-still-air' } }, 'horizontal')).toThrow(/for a vertical run/);
    const place = { facing: 'side', vertical: false, height: 0.1, plates: PLATES, girth: GIRTH, pressure: 1e5 } as const;
    expect(() => compileFilm({ model: 'slender-still-air' }, place)).toThrow('the film slender-still-air is for a vertical run');
  });
});

function surfaceFilms(films: Partial<Films>): Omit<Films, 'factor'> {
  return { outerFaces: NONE, edges: NONE, facingFaces: NONE, ...films };
}
