/**
 * Upper bounds on the temperatures of one pole that are linear in the heats, for whole classes of placements at once.
 *
 * With θ the temperature above the unloaded local air, K the conduction along the bar and d ≥ 0 the rise of the air by
 * the loads' exhaust, the ladder's steady state obeys K·(θ + base) + loss(θ − d) = heat, node by node. A straight line
 * under the loss, loss(v) ≥ D·v + b for every rise v up to the limit, gives
 *
 *   (K + D)·θ ≤ heat + D·d − b − K·base  and so  θ_m ≤ Σ_j G_mj·(heat_j + D_j·d_j − b_j − (K·base)_j)
 *
 * since G = (K + D)⁻¹ has no negative entry: K + D is a symmetric tridiagonal M-matrix. See PROOF.md.
 * Arrays are `[slot]` unless said otherwise.
 */
import { ContactSpreading, patchMean, patchMiddle } from '../ladder/contactSpreading.js';
import { compileSegments, type PoleSegments } from '../ladder/segments.js';
import { Surface } from '../ladder/surface.js';
import { radiation } from '../ladder/radiation.js';
import { type Pole, type Rack, ZERO_CELSIUS } from '../rack/index.js';
import type { Range, ToleranceRanges } from './toleranceRanges.js';

/** What the bound has to hold for. */
export interface PoleCase {
  readonly rack: Rack;
  readonly pole: Pole;
  readonly ranges: ToleranceRanges;
  /** Part of the range of the area factor. */
  readonly areaFactor: Range;
  /** K, highest rise of the bar above its local air, `[slot]`: no limit is broken before. */
  readonly highestRise: Float64Array;
  /** K, most the air beside a slot may be warmed by loads. */
  readonly mostExhaust: number;
  /** K, lowest rise of the end of any unit's heat path above the local air, at most 0. */
  readonly coldestPath: number;
}

/** K between the rises at which the loss is looked at. */
const STEP = 2;

/** Rises at most {@link STEP} apart from the lowest to the highest, 0 among them: there the loss turns from concave to convex. */
function gridThroughZero(lowest: number, highest: number): Float64Array {
  const below = Math.ceil(-lowest / STEP);
  const above = Math.ceil(highest / STEP);
  return Float64Array.from({ length: below + above + 1 }, (_, k) => (
    Math.min(highest, Math.max(lowest, (k - below) * STEP))));
}

export class PoleBound {
  /** D, W/K, and b, W: loss(v) ≥ D·v + b. */
  readonly slope: Float64Array;
  readonly offset: Float64Array;
  readonly spreading: ContactSpreading;
  /** Ω, sheet resistance, and K/W, 1/(k·τ), at the worst area. */
  readonly sheetThermal: Float64Array;
  /** Factor on G for the smaller areas of the range. */
  readonly areaSpan: number;
  /** −b − K·base, W, rounded up to 0 where the area varies: what is there without any load. */
  readonly constant: Float64Array;
  private readonly rises: Float64Array[] = [];
  private readonly excess: Float64Array[] = [];
  private readonly segments: PoleSegments;
  private readonly surfaces: readonly Surface[];
  private readonly inverse: Float64Array;
  private readonly factor: Float64Array;
  private readonly conductance: Float64Array;

  /**
   * @param near K, rise at which the line should be close to the loss, `[slot]`; the bound holds for any
   */
  constructor(private readonly given: PoleCase, near: Float64Array) {
    const { rack, pole, areaFactor } = given;
    const n = rack.slotCount;
    this.segments = compileSegments(rack, pole);
    this.spreading = new ContactSpreading(this.segments, rack.pitch);
    const runLength = n * rack.pitch;
    const surfaceOf = new Map(pole.sections.map((section) => [section, new Surface(
      { plates: section.plates, openFaces: section.openFaces, run: 'vertical', runLength }, rack.films, rack.air.altitude,
    )]));
    this.surfaces = this.segments.sectionAt.map((section) => surfaceOf.get(section) as Surface);
    this.slope = new Float64Array(n);
    this.offset = new Float64Array(n);
    for (let i = 0; i < n; i++) this.fitLine(i, near[i]);
    this.conductance = this.segments.conductance.map((g) => g * areaFactor.max);
    this.areaSpan = areaFactor.max / areaFactor.min;
    this.sheetThermal = Float64Array.from(this.segments.sectionAt, ({ material, plates }) => (
      1 / (material.thermalConductivity * plates.count * plates.thickness * areaFactor.min)));
    this.constant = new Float64Array(n);
    const { profile } = rack.air;
    for (let i = 0; i < n; i++) {
      let conducted = 0;
      if (i > 0) conducted += this.segments.conductance[i - 1] * (profile[i] - profile[i - 1]);
      if (i < n - 1) conducted += this.segments.conductance[i] * (profile[i] - profile[i + 1]);
      const constant = -this.offset[i] - conducted * (conducted > 0 ? areaFactor.min : areaFactor.max);
      this.constant[i] = this.areaSpan > 1 ? Math.max(0, constant) : constant;
    }
    this.inverse = new Float64Array(n);
    this.factor = new Float64Array(n);
    this.eliminate();
  }

  /** Ω of the segment above a slot index at temperatures K, `[slot]`, at the smallest area. */
  segmentResistance(i: number, temperature: ArrayLike<number>): number {
    const { conductorOffset, conductorSlope, jointResistance } = this.segments;
    const conductor = conductorOffset[i] + conductorSlope[i] * (temperature[i] + temperature[i + 1]);
    return conductor / this.given.areaFactor.min + jointResistance[i];
  }

  /** Ω, sheet resistance at a slot and a temperature, K, at the smallest area. */
  sheetResistance(i: number, temperature: number): number {
    const { material, plates } = this.segments.sectionAt[i];
    const resistivity = material.resistivity20
      * (1 + material.temperatureCoefficient * (temperature - ZERO_CELSIUS - 20));
    return resistivity / (plates.count * plates.thickness * this.given.areaFactor.min);
  }

  /** S and M of a contact of this height (m) in a slot; 0 where it grips the whole depth. */
  patch(i: number, height: number): { readonly mean: number; readonly middle: number } {
    const { depth } = this.segments.sectionAt[i].plates;
    return height > 0 ? { mean: patchMean(height, depth), middle: patchMiddle(height, depth) } : { mean: 0, middle: 0 };
  }

  /** G_m·, K/W, the row of a slot index, into `row`. */
  green(m: number, row: Float64Array): void {
    const { inverse, factor } = this;
    const n = row.length;
    row.fill(0);
    row[m] = 1;
    for (let i = m + 1; i < n; i++) row[i] = factor[i] * row[i - 1];
    row[n - 1] *= inverse[n - 1];
    for (let i = n - 2; i >= 0; i--) row[i] = row[i] * inverse[i] + factor[i + 1] * row[i + 1];
    for (let i = 0; i < n; i++) row[i] *= this.areaSpan;
  }

  private eliminate(): void {
    const { conductance, slope, inverse, factor } = this;
    const n = slope.length;
    let below = 0;
    let pivotBelow = 0;
    for (let i = 0; i < n; i++) {
      const above = i < n - 1 ? conductance[i] : 0;
      factor[i] = i > 0 ? below / pivotBelow : 0;
      const pivot = slope[i] + below + above - factor[i] * below;
      inverse[i] = 1 / pivot;
      pivotBelow = pivot;
      below = above;
    }
  }

  /** The line under the loss of one node: its slope near the rise given, its offset as high as every rise allows. */
  private fitLine(i: number, near: number): void {
    const { rack, highestRise, mostExhaust } = { ...this.given, highestRise: this.given.highestRise[i] };
    const lowest = this.lowestRise(i);
    const rises = gridThroughZero(lowest, highestRise);
    const count = rises.length;
    const at = Math.min(highestRise, Math.max(1, near));
    let slope = Number.POSITIVE_INFINITY;
    const airs = new Set<number>();
    for (const inlet of [this.given.ranges.inlet.min, this.given.ranges.inlet.max]) {
      for (const exhaust of [0, mostExhaust / 2, mostExhaust]) airs.add(inlet + rack.air.profile[i] + exhaust);
    }
    const curves = [...airs].flatMap((air) => this.emissivities(i).map((emissivity) => ({ air, emissivity })));
    for (const { air, emissivity } of curves) slope = Math.min(slope, this.loss(i, Float64Array.of(at), air, emissivity).slope[0]);
    // What the loss has above D·v at least, by rise.
    const excess = new Float64Array(count).fill(Number.POSITIVE_INFINITY);
    for (const { air, emissivity } of curves) {
      const { heat, slope: slopes } = this.loss(i, rises, air, emissivity);
      excess[0] = Math.min(excess[0], heat[0] - slope * rises[0]);
      for (let k = 1; k < count; k++) {
        // From one rise to the next, whose slope grows or falls all the way, a curve stays above the lower of its ends less
        // a quarter of the step times the change of its slope.
        const step = rises[k] - rises[k - 1];
        const ends = Math.min(heat[k - 1] - slope * rises[k - 1], heat[k] - slope * rises[k]);
        excess[k] = Math.min(excess[k], ends - 0.25 * step * Math.abs(slopes[k] - slopes[k - 1]));
      }
    }
    if (!(slope > 0)) throw new RangeError(`slot ${i + 1}: the film falls as the bar warms; a floor needs one that does not`);
    this.slope[i] = slope;
    this.offset[i] = excess.reduce((least, watts) => Math.min(least, watts), Number.POSITIVE_INFINITY);
    this.rises.push(rises);
    this.excess.push(excess);
  }

  /** K: the bar is nowhere colder than the coldest thing it touches. */
  private lowestRise(i: number): number {
    const { rack, ranges, mostExhaust, coldestPath } = this.given;
    const { profile, surroundings } = rack.air;
    const coldest = Math.min(...profile) + coldestPath - profile[i] - mostExhaust;
    const radiant = surroundings === null ? 0 : surroundings - ranges.inlet.max - profile[i] - mostExhaust;
    return Math.min(-1, coldest, radiant);
  }

  /**
   * W that the heat path of a unit standing in a slot brings at most, beyond what the line under the loss leaves room
   * for: b less the same with the path counted as a loss.
   */
  pathHeat(i: number, path: { readonly conductance: number; readonly rise: number }): number {
    if (path.conductance === 0) return 0;
    const { rises, excess } = { rises: this.rises[i], excess: this.excess[i] };
    let least = Number.POSITIVE_INFINITY;
    for (let k = 0; k < rises.length; k++) {
      // Between two rises the path may bring as much as at the lower one.
      const rise = k > 0 ? rises[k - 1] : rises[k];
      least = Math.min(least, excess[k] + path.conductance * (rise - path.rise));
    }
    const heat = this.offset[i] - least;
    return this.areaSpan > 1 ? Math.max(0, heat) : heat;
  }

  private emissivities(i: number): number[] {
    const { emissivity } = this.given.ranges;
    return emissivity === null ? [this.segments.sectionAt[i].emissivity] : [emissivity.min, emissivity.max];
  }

  /** W lost by one node at these rises, and its slope, W/K. */
  private loss(i: number, rises: Float64Array, air: number, emissivity: number): { heat: Float64Array; slope: Float64Array } {
    const { rack, ranges } = this.given;
    const surface = this.surfaces[i];
    const count = rises.length;
    const temperature = rises.map((rise) => air + rise);
    const around = new Float64Array(count).fill(air);
    const heat = new Float64Array(count);
    const slope = new Float64Array(count);
    surface.addConvection(temperature, around, 0, count, 1, 0, heat, slope);
    const radiant = rack.air.surroundings ?? air;
    for (let k = 0; k < count; k++) {
      const radiated = radiation(temperature[k], radiant, emissivity, surface.envelope);
      const radiatedSlope = 4 * radiation(temperature[k], 0, emissivity, surface.envelope) / temperature[k];
      // A factor below its mean cools less while the bar is warmer than the air, and warms it less while it is colder.
      const { min, max } = ranges.filmFactor;
      const film = rises[k] < 0 ? max : min;
      heat[k] = rack.pitch * (film * heat[k] + radiated);
      slope[k] = rack.pitch * (film * slope[k] + radiatedSlope);
    }
    return { heat, slope };
  }
}
