/**
 * Film laws compiled for the solver: heat of one face along a run of slots, with its derivative. SI, kelvin.
 *
 * Every law adds area·h·(T − T_air) to `heat` and its derivative to T to `slope`, where h depends on
 * θ = |T − T_air| and on the film temperature (T + T_air)/2.
 */
import type { Film, Plates } from '../rack/model.js';
import { type AirProperties, airProperties, STANDARD_PRESSURE } from './airProperties.js';
import { churchillChuPrandtlTerm } from './churchillChu.js';
import { flatPlateNusselt } from './flatPlate.js';
import { handbookFilmFactor } from './handbookFilm.js';
import { horizontalPlateNusselt } from './horizontalPlate.js';
import { sixthRoot } from './sixthRoot.js';
import { slenderBarFactor, slenderBarLaw } from './slenderBar.js';
import { TABLE_LAST, TABLE_MIN, TABLE_STEP, temperatureTable } from './temperatureTable.js';

/** Which way a face looks; a vertical face is a `side`. */
export type Facing = 'side' | 'up' | 'down';

export interface FilmLaw {
  /**
   * Adds the face's heat, W per metre of run, for `count` slots from index `slot`. The entry of slot s is
   * s·stride + offset in all arrays but `air`, which is `[slot]`.
   *
   * @param area m² per metre of run
   */
  addHeat(
    area: number, temperature: Float64Array, air: Float64Array, slot: number, count: number, stride: number,
    offset: number, heat: Float64Array, slope: Float64Array,
  ): void;
}

/** Where a face stands: what its film law depends on besides the film. */
export interface FilmPlace {
  readonly facing: Facing;
  readonly vertical: boolean;
  /** m, height of the air's path along a vertical face. */
  readonly height: number;
  readonly plates: Plates;
  /** m, around the whole conductor. */
  readonly girth: number;
  /** Pa. */
  readonly pressure: number;
}

/** Laws that are kept: more than the sections and variants of a study have faces. */
const MOST_KEPT = 64;
const kept = new Map<string, FilmLaw>();

/**
 * Compiles one film for one face. A law holds no state and depends on nothing but these, and its tables take tens of
 * milliseconds: the last few are kept for the next model of the same bar.
 */
export function compileFilm(film: Film, place: FilmPlace): FilmLaw {
  const key = JSON.stringify([film, place]);
  const law = kept.get(key) ?? compiled(film, place);
  kept.delete(key);
  kept.set(key, law);
  for (const oldest of kept.keys()) {
    if (kept.size <= MOST_KEPT) break;
    kept.delete(oldest);
  }
  return law;
}

function compiled(film: Film, place: FilmPlace): FilmLaw {
  const { facing, height, plates, pressure } = place;
  const at = (temperature: number) => airProperties(temperature, pressure);
  switch (film.model) {
    case 'fixed':
      return new ConstantLaw(film.coefficient);
    case 'handbook': {
      const length = facing === 'side' ? height : plates.thickness;
      // Laminar natural convection follows the square root of the air's density; the handbook speaks of sea level.
      const scale = handbookFilmFactor(length, facing === 'side' ? 'vertical' : 'horizontal')
        * Math.sqrt(pressure / STANDARD_PRESSURE);
      return new QuarterPowerLaw(temperatureTable([() => scale]));
    }
    case 'channel':
      return new ChannelLaw(temperatureTable([
        (t) => at(t).conductivity / plates.gap,
        (t) => (at(t).rayleighFactor * plates.gap ** 4) / height,
      ]));
    case 'still-air':
      return facing === 'side'
        ? new ChurchillChuLaw(temperatureTable(churchillChuFunctions(height, at)))
        : new QuarterPowerLaw(horizontalEdgeTable(facing, plates.thickness, at));
    case 'slender-still-air': {
      if (!place.vertical) throw new RangeError('the film slender-still-air is for a vertical run');
      return new SlenderBarLaw(temperatureTable([
        ...churchillChuFunctions(height, at),
        (t) => {
          const { prandtl, rayleighFactor } = at(t);
          const grashofPerKelvin = (rayleighFactor * height ** 3) / prandtl;
          const slenderness = (Math.PI * height) / place.girth;
          return slenderBarFactor(grashofPerKelvin, prandtl, slenderness) - 1;
        },
        (t) => slenderBarLaw(at(t).prandtl).order / 4,
      ]));
    }
    case 'moving-air':
      return new MovingAirLaw(temperatureTable([
        ...churchillChuFunctions(height, at),
        (t) => {
          const { conductivity, kinematicViscosity, prandtl } = at(t);
          const reynolds = (film.speed * plates.depth) / kinematicViscosity;
          return (conductivity / plates.depth) * flatPlateNusselt(reynolds, prandtl);
        },
      ]));
  }
}

type PropertiesAt = (temperature: number) => AirProperties;

/** h = scale·(0.825 + slope·θ^(1/6))²: the parts of Churchill–Chu that depend on the film temperature alone. */
function churchillChuFunctions(height: number, at: PropertiesAt): ((temperature: number) => number)[] {
  return [
    (t) => at(t).conductivity / height,
    (t) => (0.387 * (at(t).rayleighFactor * height ** 3) ** (1 / 6)) / churchillChuPrandtlTerm(at(t).prandtl),
  ];
}

/** A long strip's L = area/perimeter is half its width. */
function horizontalEdgeTable(facing: 'up' | 'down', width: number, at: PropertiesAt): Float64Array {
  const length = width / 2;
  return temperatureTable([
    (t) => (at(t).conductivity / length) * horizontalPlateNusselt(at(t).rayleighFactor * length ** 3, facing),
  ]);
}

class ConstantLaw implements FilmLaw {
  constructor(private readonly coefficient: number) {}

  addHeat(
    area: number, temperature: Float64Array, air: Float64Array, slot: number, count: number, stride: number,
    offset: number, heat: Float64Array, slope: Float64Array,
  ): void {
    const h = area * this.coefficient;
    for (let s = slot, e = slot * stride + offset; s < slot + count; s++, e += stride) {
      heat[e] += h * (temperature[e] - air[s]);
      slope[e] += h;
    }
  }
}

/** Interval of the table that holds a film temperature, in steps from its start; the ends hold beyond. */
function tablePlace(film: number): number {
  const t = (film - TABLE_MIN) * (1 / TABLE_STEP);
  return t < 0 ? 0 : t > TABLE_LAST + 1 ? TABLE_LAST + 1 : t;
}

/** Value of the cubic at c[k] at a distance x from its interval's lower end. */
function cubic(c: Float64Array, k: number, x: number): number {
  return c[k] + x * (c[k + 1] + x * (c[k + 2] + x * c[k + 3]));
}

function cubicSlope(c: Float64Array, k: number, x: number): number {
  return c[k + 1] + x * (2 * c[k + 2] + x * 3 * c[k + 3]);
}

/** h = scale(T_film)·θ^(1/4). */
class QuarterPowerLaw implements FilmLaw {
  constructor(private readonly table: Float64Array) {}

  addHeat(
    area: number, temperature: Float64Array, air: Float64Array, slot: number, count: number, stride: number,
    offset: number, heat: Float64Array, slope: Float64Array,
  ): void {
    const c = this.table;
    for (let s = slot, e = slot * stride + offset; s < slot + count; s++, e += stride) {
      const difference = temperature[e] - air[s];
      const place = tablePlace(0.5 * (temperature[e] + air[s]));
      const i = place > TABLE_LAST ? TABLE_LAST : place | 0;
      const x = (place - i) * TABLE_STEP;
      const k = 4 * i;
      const root = Math.sqrt(Math.sqrt(Math.abs(difference)));
      const h = cubic(c, k, x) * root;
      const byFilm = cubicSlope(c, k, x) * root;
      heat[e] += area * h * difference;
      slope[e] += area * (1.25 * h + 0.5 * difference * byFilm);
    }
  }
}

/** h = scale·(0.825 + rate·θ^(1/6))². */
class ChurchillChuLaw implements FilmLaw {
  constructor(private readonly table: Float64Array) {}

  addHeat(
    area: number, temperature: Float64Array, air: Float64Array, slot: number, count: number, stride: number,
    offset: number, heat: Float64Array, slope: Float64Array,
  ): void {
    const c = this.table;
    for (let s = slot, e = slot * stride + offset; s < slot + count; s++, e += stride) {
      const difference = temperature[e] - air[s];
      const place = tablePlace(0.5 * (temperature[e] + air[s]));
      const i = place > TABLE_LAST ? TABLE_LAST : place | 0;
      const x = (place - i) * TABLE_STEP;
      const k = 8 * i;
      const scale = cubic(c, k, x);
      const scaleSlope = cubicSlope(c, k, x);
      const rate = cubic(c, k + 4, x);
      const rateSlope = cubicSlope(c, k + 4, x);
      const sixth = sixthRoot(Math.abs(difference));
      const root = 0.825 + rate * sixth;
      const h = scale * root * root;
      // θ·∂h/∂θ is finite at θ = 0, where ∂h/∂θ is not.
      const byTheta = scale * root * rate * sixth * (1 / 3);
      const byFilm = root * (scaleSlope * root + 2 * scale * rateSlope * sixth);
      heat[e] += area * h * difference;
      slope[e] += area * (h + byTheta + 0.5 * difference * byFilm);
    }
  }
}

/** h = scale·(0.825 + rate·θ^(1/6))²·(1 + curvature·θ^(−order)), all four from the film temperature. */
class SlenderBarLaw implements FilmLaw {
  constructor(private readonly table: Float64Array) {}

  addHeat(
    area: number, temperature: Float64Array, air: Float64Array, slot: number, count: number, stride: number,
    offset: number, heat: Float64Array, slope: Float64Array,
  ): void {
    const c = this.table;
    for (let s = slot, e = slot * stride + offset; s < slot + count; s++, e += stride) {
      const difference = temperature[e] - air[s];
      const place = tablePlace(0.5 * (temperature[e] + air[s]));
      const i = place > TABLE_LAST ? TABLE_LAST : place | 0;
      const x = (place - i) * TABLE_STEP;
      const k = 16 * i;
      const scale = cubic(c, k, x);
      const scaleSlope = cubicSlope(c, k, x);
      const rate = cubic(c, k + 4, x);
      const rateSlope = cubicSlope(c, k + 4, x);
      const curvature = cubic(c, k + 8, x);
      const curvatureSlope = cubicSlope(c, k + 8, x);
      const order = cubic(c, k + 12, x);
      const orderSlope = cubicSlope(c, k + 12, x);
      // Without rise there is no layer of finite thickness: heat still goes to zero, the factor does not exist.
      const theta = Math.max(Math.abs(difference), 1e-9);
      const sixth = sixthRoot(theta);
      const root = 0.825 + rate * sixth;
      const plate = scale * root * root;
      const power = theta ** -order;
      const factor = 1 + curvature * power;
      const byTheta = scale * root * rate * sixth * (1 / 3) * factor - plate * order * curvature * power;
      const byFilm = root * (scaleSlope * root + 2 * scale * rateSlope * sixth) * factor
        + plate * power * (curvatureSlope - curvature * orderSlope * Math.log(theta));
      heat[e] += area * plate * factor * difference;
      slope[e] += area * (plate * factor + byTheta + 0.5 * difference * byFilm);
    }
  }
}

/** h = scale·Nu(El), El = rate·θ; Nu of facing plates. */
class ChannelLaw implements FilmLaw {
  constructor(private readonly table: Float64Array) {}

  addHeat(
    area: number, temperature: Float64Array, air: Float64Array, slot: number, count: number, stride: number,
    offset: number, heat: Float64Array, slope: Float64Array,
  ): void {
    const c = this.table;
    for (let s = slot, e = slot * stride + offset; s < slot + count; s++, e += stride) {
      const difference = temperature[e] - air[s];
      const place = tablePlace(0.5 * (temperature[e] + air[s]));
      const i = place > TABLE_LAST ? TABLE_LAST : place | 0;
      const x = (place - i) * TABLE_STEP;
      const k = 8 * i;
      const scale = cubic(c, k, x);
      const scaleSlope = cubicSlope(c, k, x);
      const rate = cubic(c, k + 4, x);
      const rateSlope = cubicSlope(c, k + 4, x);
      const theta = Math.abs(difference);
      const elenbaas = rate * theta;
      const power = 2.873 * elenbaas * Math.sqrt(elenbaas);
      const inverse = 1 / (576 + power);
      // Nu/El, and the order of Nu in El: 1 for narrow channels, 1/4 for wide ones.
      const perElenbaas = Math.sqrt(inverse);
      const order = 1 - 0.75 * power * inverse;
      const nusselt = elenbaas * perElenbaas;
      const h = scale * nusselt;
      const byFilm = scaleSlope * nusselt + scale * perElenbaas * order * rateSlope * theta;
      heat[e] += area * h * difference;
      slope[e] += area * (h + h * order + 0.5 * difference * byFilm);
    }
  }
}

/** h = (h_still³ + h_forced³)^(1/3): the cube rule for still and moving air together (Churchill 1977). */
class MovingAirLaw implements FilmLaw {
  constructor(private readonly table: Float64Array) {}

  addHeat(
    area: number, temperature: Float64Array, air: Float64Array, slot: number, count: number, stride: number,
    offset: number, heat: Float64Array, slope: Float64Array,
  ): void {
    const c = this.table;
    for (let s = slot, e = slot * stride + offset; s < slot + count; s++, e += stride) {
      const difference = temperature[e] - air[s];
      const place = tablePlace(0.5 * (temperature[e] + air[s]));
      const i = place > TABLE_LAST ? TABLE_LAST : place | 0;
      const x = (place - i) * TABLE_STEP;
      const k = 12 * i;
      const scale = cubic(c, k, x);
      const scaleSlope = cubicSlope(c, k, x);
      const rate = cubic(c, k + 4, x);
      const rateSlope = cubicSlope(c, k + 4, x);
      const forced = cubic(c, k + 8, x);
      const forcedSlope = cubicSlope(c, k + 8, x);
      const sixth = sixthRoot(Math.abs(difference));
      const root = 0.825 + rate * sixth;
      const still = scale * root * root;
      const stillByTheta = scale * root * rate * sixth * (1 / 3);
      const stillByFilm = root * (scaleSlope * root + 2 * scale * rateSlope * sixth);
      const h = Math.cbrt(still * still * still + forced * forced * forced);
      const stillWeight = (still * still) / (h * h);
      const forcedWeight = (forced * forced) / (h * h);
      const byTheta = stillWeight * stillByTheta;
      const byFilm = stillWeight * stillByFilm + forcedWeight * forcedSlope;
      heat[e] += area * h * difference;
      slope[e] += area * (h + byTheta + 0.5 * difference * byFilm);
    }
  }
}
