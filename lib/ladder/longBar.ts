/**
 * One long bar at uniform temperature: the current for a rise and the rise for a current, for checks by hand against
 * handbooks. SI, kelvin.
 */
import type { Films, Section } from '../rack/model.js';
import { ZERO_CELSIUS } from '../rack/model.js';
import { HIGHEST_TEMPERATURE } from './ladder.js';
import { radiatedHeat } from './radiation.js';
import { type Run, Surface } from './surface.js';

export interface LongBar {
  readonly section: Pick<Section, 'material' | 'plates' | 'emissivity' | 'openFaces'>;
  readonly films: Films;
  readonly run: Run;
  /** m: height of a vertical run, on which its films depend. */
  readonly runLength: number;
  /** K. */
  readonly air: number;
  /** K. */
  readonly surroundings: number;
  /** m. */
  readonly altitude: number;
}

/** Where the heat of one metre of bar goes, W/m. */
export interface LongBarBalance {
  readonly temperature: number;
  readonly current: number;
  /** Ω/m at the bar's temperature. */
  readonly resistance: number;
  readonly convection: number;
  readonly radiation: number;
}

/** A long bar that finds no steady temperature below {@link HIGHEST_TEMPERATURE}. */
export class NoSteadyStateError extends Error {
  constructor(readonly current: number) {
    super(`no steady state at ${current} A: resistance rises faster with temperature than cooling does`);
    this.name = 'NoSteadyStateError';
  }
}

/** Ω/m at a temperature in K. */
export function resistancePerMetre(section: LongBar['section'], temperature: number): number {
  const { material, plates } = section;
  const rise = temperature - ZERO_CELSIUS - 20;
  return (material.resistivity20 * (1 + material.temperatureCoefficient * rise))
    / (plates.count * plates.depth * plates.thickness);
}

/**
 * The current that holds a long bar at a rise above the air (K, > 0): I²·R(T) = convection + radiation.
 * @throws RangeError for a rise, air or surroundings outside the model, and for dimensions that cannot be computed with
 */
export function currentForRise(bar: LongBar, rise: number): LongBarBalance {
  if (!(rise > 0)) throw new RangeError(`rise ${rise} K: must be above 0`);
  checkAir(bar);
  if (!(bar.air + rise <= HIGHEST_TEMPERATURE)) {
    throw new RangeError(`a bar at ${bar.air + rise - ZERO_CELSIUS} °C: the model goes to 1000 °C`);
  }
  return balanceAt(bar, new Surface(geometry(bar), bar.films, bar.altitude), bar.air + rise);
}

/**
 * The rise of a long bar at a current (A, > 0), by bisection on the heat balance.
 * @throws NoSteadyStateError where no temperature up to 1000 °C balances; RangeError as currentForRise
 */
export function riseForCurrent(bar: LongBar, current: number): LongBarBalance {
  if (!(current > 0)) throw new RangeError(`current ${current} A: must be above 0`);
  checkAir(bar);
  const surface = new Surface(geometry(bar), bar.films, bar.altitude);
  const excess = (t: number): number => {
    const { resistance, convection, radiation } = balanceAt(bar, surface, t);
    return current * current * resistance - convection - radiation;
  };
  let low = Math.min(bar.air, bar.surroundings);
  // The lowest balanced temperature is the one a bar warming up from the air comes to rest at.
  let high = Number.NaN;
  for (let t = low + 1; t <= HIGHEST_TEMPERATURE; t += 1) {
    if (excess(t) <= 0) {
      high = t;
      break;
    }
    low = t;
  }
  if (Number.isNaN(high)) throw new NoSteadyStateError(current);
  for (let i = 0; i < 200 && high - low > 1e-12 * high; i++) {
    const middle = 0.5 * (low + high);
    if (excess(middle) > 0) low = middle;
    else high = middle;
  }
  return { ...balanceAt(bar, surface, 0.5 * (low + high)), current };
}

function checkAir({ air, surroundings }: LongBar): void {
  for (const temperature of [air, surroundings]) {
    if (!(temperature >= 173.15 && temperature < HIGHEST_TEMPERATURE)) {
      throw new RangeError(`air or surroundings at ${temperature - ZERO_CELSIUS} °C: the model goes from -100 °C to 1000 °C`);
    }
  }
}

function geometry(bar: LongBar) {
  const { plates, openFaces } = bar.section;
  return { plates, openFaces, run: bar.run, runLength: bar.runLength };
}

function balanceAt(bar: LongBar, surface: Surface, temperature: number): LongBarBalance {
  const heat = new Float64Array(1);
  surface.addConvection(Float64Array.of(temperature), Float64Array.of(bar.air), 0, 1, 1, 0, heat, new Float64Array(1));
  const convection = heat[0];
  const radiation = radiatedHeat(temperature, bar.surroundings, bar.section.emissivity, surface.envelope);
  const resistance = resistancePerMetre(bar.section, temperature);
  const current = Math.sqrt(Math.max(0, convection + radiation) / resistance);
  if (![resistance, convection, radiation, current].every(Number.isFinite)) {
    const { depth, thickness } = bar.section.plates;
    throw new RangeError(`a bar of ${depth * 1e3} mm × ${thickness * 1e3} mm: cannot be computed with`);
  }
  return { temperature, current, resistance, convection, radiation };
}
