/**
 * Temperatures of both poles, currents given. Node i of a pole stands for one pitch of conductor around mid-slot i:
 *
 *   Σ_j G_ij·(T_j − T_i) + ½·Σ I_seg²·R_seg(T) + contact heat + G_unit·(T_unit − T_i)
 *     − pitch·[filmFactor·convection(T_i) + radiation(T_i)] = 0
 *
 * with R_seg at the mean of its two ends. The negative Jacobian is symmetric and tridiagonal with negative
 * off-diagonals; while all pivots are positive it is an M-matrix, so more heat anywhere warms every node. A pivot
 * that is not positive means that resistance rises faster with temperature than cooling does.
 *
 * Arrays are `[slot × pole]`, entry 2·slot + pole: the two poles are eliminated side by side, which hides the
 * latency of the divisions. Segment arrays are `[segment × pole]`, segment i above slot i.
 */
import type { ConvectionTable } from './convectionTable.js';
import { radiatedHeat, STEFAN_BOLTZMANN } from './radiation.js';

/** Surface shared by `count` slots from index `slot` of one pole. */
export interface SurfaceRun {
  readonly convection: ConvectionTable;
  /** m² per metre of run that radiates. */
  readonly envelope: number;
  readonly pole: 0 | 1;
  readonly slot: number;
  readonly count: number;
}

/** What surrounds the bar in one linearisation. */
export interface Surroundings {
  /** K, `[slot]`. */
  readonly air: Float64Array;
  /** K/W of total load, `[slot]`. */
  readonly airSlope: Float64Array;
  /** K, or 0 where the bar radiates to the local air. */
  readonly radiant: number;
  readonly filmFactor: number;
  /** W/K, `[slot]`, to each pole; K above the local air. */
  readonly unitConductance: Float64Array;
  readonly unitRise: Float64Array;
}

export class ThermalLadder {
  /** K. */
  readonly temperature: Float64Array;
  /** Heat of contacts entering the bar, spreading included, W, and its derivative to the temperature, W/K; set by the caller. */
  readonly contactHeat: Float64Array;
  readonly contactHeatSlope: Float64Array;
  /** Ω and Ω/K: R = segmentOffset + segmentSlope·(T_i + T_{i+1}); W/K along the bar. Set by the caller. */
  readonly segmentOffset: Float64Array;
  readonly segmentSlope: Float64Array;
  readonly segmentConductance: Float64Array;
  /** Emissivity, set by the caller. */
  readonly emissivity: Float64Array;
  /** Newton step of the last linearisation at constant power, K. */
  readonly change: Float64Array;
  /** dT/dP of the last linearisation, K/W. */
  readonly rate: Float64Array;

  private readonly envelope: Float64Array;
  private readonly heat: Float64Array;
  private readonly heatSlope: Float64Array;
  private readonly inversePivot: Float64Array;
  private readonly multiplier: Float64Array;
  /** The same with frozen films. */
  private readonly frozenPivot: Float64Array;
  private readonly frozenMultiplier: Float64Array;

  constructor(
    private readonly slotCount: number,
    private readonly pitch: number,
    private readonly runs: readonly SurfaceRun[],
  ) {
    const nodes = 2 * slotCount;
    const array = () => new Float64Array(nodes);
    this.temperature = array();
    this.contactHeat = array();
    this.contactHeatSlope = array();
    this.segmentOffset = array();
    this.segmentSlope = array();
    this.segmentConductance = array();
    this.emissivity = array();
    this.change = array();
    this.rate = array();
    this.envelope = array();
    this.heat = array();
    this.heatSlope = array();
    this.inversePivot = array();
    this.multiplier = array();
    this.frozenPivot = array();
    this.frozenMultiplier = array();
    for (const { envelope, pole, slot, count } of runs) {
      for (let i = slot; i < slot + count; i++) this.envelope[2 * i + pole] = envelope;
    }
  }

  /** Ω of the segment above slot index i of a pole, at the present temperatures. */
  segmentResistance(i: number, pole: 0 | 1): number {
    const e = 2 * i + pole;
    return this.segmentOffset[e] + this.segmentSlope[e] * (this.temperature[e] + this.temperature[e + 2]);
  }

  /**
   * Linearises at the present temperatures, for which {@link assembleLoss} was called, and solves for `change` (Newton step at constant power) and `rate`
   * (dT/dP, where currents follow the power as P^order and heat as P^(2·order)).
   *
   * @param current A, `[segment]`, both poles carry it
   * @returns false where the matrix is no M-matrix; change and rate are then unusable
   */
  linearise(current: Float64Array, around: Surroundings, power: number, order: number): boolean {
    const { slotCount, pitch, temperature, segmentOffset, segmentSlope, segmentConductance } = this;
    const { heat, heatSlope, change, rate, inversePivot, multiplier, contactHeat, contactHeatSlope } = this;
    const heatRate = (2 * order) / power;
    const { air, airSlope, unitConductance, unitRise } = around;
    const last = slotCount - 1;
    // What the segment below leaves at this node: residual, diagonal, heat for the rate; per pole.
    let below0 = 0;
    let below1 = 0;
    let belowDiagonal0 = 0;
    let belowDiagonal1 = 0;
    let belowRate0 = 0;
    let belowRate1 = 0;
    let coupling0 = 0;
    let coupling1 = 0;
    let inverse0 = 0;
    let inverse1 = 0;
    let forward0 = 0;
    let forward1 = 0;
    let forwardRate0 = 0;
    let forwardRate1 = 0;
    for (let i = 0; i < slotCount; i++) {
      const e = 2 * i;
      const g = unitConductance[i];
      const conductive = g * (air[i] + unitRise[i]);
      const slope0 = pitch * heatSlope[e] + g;
      const slope1 = pitch * heatSlope[e + 1] + g;
      let residual0 = contactHeat[e] + conductive - g * temperature[e] - pitch * heat[e] + below0;
      let residual1 = contactHeat[e + 1] + conductive - g * temperature[e + 1] - pitch * heat[e + 1] + below1;
      let diagonal0 = slope0 - contactHeatSlope[e] + belowDiagonal0;
      let diagonal1 = slope1 - contactHeatSlope[e + 1] + belowDiagonal1;
      let source0 = heatRate * contactHeat[e] + slope0 * airSlope[i] + belowRate0;
      let source1 = heatRate * contactHeat[e + 1] + slope1 * airSlope[i] + belowRate1;
      const multiplier0 = coupling0 * inverse0;
      const multiplier1 = coupling1 * inverse1;
      if (i > 0) {
        multiplier[e - 2] = multiplier0;
        multiplier[e - 1] = multiplier1;
      }
      const lower0 = coupling0;
      const lower1 = coupling1;
      if (i < last) {
        const halfSquare = 0.5 * current[i] * current[i];
        const t0 = temperature[e];
        const t1 = temperature[e + 1];
        const next0 = temperature[e + 2];
        const next1 = temperature[e + 3];
        const joule0 = halfSquare * (segmentOffset[e] + segmentSlope[e] * (t0 + next0));
        const joule1 = halfSquare * (segmentOffset[e + 1] + segmentSlope[e + 1] * (t1 + next1));
        const jouleSlope0 = halfSquare * segmentSlope[e];
        const jouleSlope1 = halfSquare * segmentSlope[e + 1];
        const along0 = segmentConductance[e];
        const along1 = segmentConductance[e + 1];
        const flow0 = along0 * (t0 - next0);
        const flow1 = along1 * (t1 - next1);
        residual0 += joule0 - flow0;
        residual1 += joule1 - flow1;
        below0 = joule0 + flow0;
        below1 = joule1 + flow1;
        belowDiagonal0 = along0 - jouleSlope0;
        belowDiagonal1 = along1 - jouleSlope1;
        diagonal0 += belowDiagonal0;
        diagonal1 += belowDiagonal1;
        belowRate0 = heatRate * joule0;
        belowRate1 = heatRate * joule1;
        source0 += belowRate0;
        source1 += belowRate1;
        coupling0 = along0 + jouleSlope0;
        coupling1 = along1 + jouleSlope1;
      }
      const pivot0 = diagonal0 - lower0 * multiplier0;
      const pivot1 = diagonal1 - lower1 * multiplier1;
      if (!(pivot0 > 0 && pivot1 > 0)) return false;
      inverse0 = 1 / pivot0;
      inverse1 = 1 / pivot1;
      inversePivot[e] = inverse0;
      inversePivot[e + 1] = inverse1;
      forward0 = residual0 + multiplier0 * forward0;
      forward1 = residual1 + multiplier1 * forward1;
      forwardRate0 = source0 + multiplier0 * forwardRate0;
      forwardRate1 = source1 + multiplier1 * forwardRate1;
      change[e] = forward0;
      change[e + 1] = forward1;
      rate[e] = forwardRate0;
      rate[e + 1] = forwardRate1;
    }
    backSubstitute(slotCount, inversePivot, multiplier, change);
    backSubstitute(slotCount, inversePivot, multiplier, rate);
    return true;
  }

  /**
   * Prepares {@link coarseRise}: films frozen at their value for `referenceRise`, eliminated once for all operating
   * states. Temperatures are overwritten.
   * @returns false where the frozen ladder has no steady state at all
   */
  freezeFilms(around: Surroundings, referenceRise: number): boolean {
    const { slotCount, pitch, temperature, heat, heatSlope, frozenPivot, frozenMultiplier, segmentConductance } = this;
    for (let i = 0; i < slotCount; i++) {
      temperature[2 * i] = around.air[i] + referenceRise;
      temperature[2 * i + 1] = temperature[2 * i];
    }
    for (let r = 0; r < this.runs.length; r++) {
      const { convection, envelope, pole, slot, count } = this.runs[r];
      // The film hardly differs between the slots of a section: its lowest slot stands for all.
      convection.setConvection(temperature, around.air, slot, 1, 2, pole, heat, heatSlope);
      const first = 2 * slot + pole;
      const radiated = radiatedHeat(temperature[first], around.air[slot], this.emissivity[first], envelope);
      const perKelvin = Math.max(0, (pitch * (around.filmFactor * heat[first] + radiated)) / referenceRise);
      for (let i = slot; i < slot + count; i++) heat[2 * i + pole] = perKelvin;
    }
    let coupling0 = 0;
    let coupling1 = 0;
    let inverse0 = 0;
    let inverse1 = 0;
    for (let i = 0, e = 0; i < slotCount; i++, e += 2) {
      const multiplier0 = coupling0 * inverse0;
      const multiplier1 = coupling1 * inverse1;
      if (i > 0) {
        frozenMultiplier[e - 2] = multiplier0;
        frozenMultiplier[e - 1] = multiplier1;
      }
      let pivot0 = heat[e] + around.unitConductance[i] + coupling0 - coupling0 * multiplier0;
      let pivot1 = heat[e + 1] + around.unitConductance[i] + coupling1 - coupling1 * multiplier1;
      if (i < slotCount - 1) {
        coupling0 = segmentConductance[e];
        coupling1 = segmentConductance[e + 1];
        pivot0 += coupling0;
        pivot1 += coupling1;
      }
      if (!(pivot0 > 0 && pivot1 > 0)) return false;
      inverse0 = 1 / pivot0;
      inverse1 = 1 / pivot1;
      frozenPivot[e] = inverse0;
      frozenPivot[e + 1] = inverse1;
    }
    return true;
  }

  /**
   * Rise per W² of total load with the films as {@link freezeFilms} left them, K/W², into `out`: the start of a rating.
   * `current` and `contactHeat` are those of 1 W, resistances those of the present temperatures.
   */
  coarseRise(current: Float64Array, out: Float64Array): void {
    const { slotCount, temperature, segmentOffset, segmentSlope, contactHeat, frozenPivot, frozenMultiplier } = this;
    let below0 = 0;
    let below1 = 0;
    let forward0 = 0;
    let forward1 = 0;
    for (let i = 0, e = 0; i < slotCount; i++, e += 2) {
      let source0 = contactHeat[e] + below0;
      let source1 = contactHeat[e + 1] + below1;
      if (i < slotCount - 1) {
        const halfSquare = 0.5 * current[i] * current[i];
        below0 = halfSquare * (segmentOffset[e] + segmentSlope[e] * (temperature[e] + temperature[e + 2]));
        below1 = halfSquare * (segmentOffset[e + 1] + segmentSlope[e + 1] * (temperature[e + 1] + temperature[e + 3]));
        source0 += below0;
        source1 += below1;
      }
      forward0 = i > 0 ? source0 + frozenMultiplier[e - 2] * forward0 : source0;
      forward1 = i > 0 ? source1 + frozenMultiplier[e - 1] * forward1 : source1;
      out[e] = forward0;
      out[e + 1] = forward1;
    }
    backSubstitute(slotCount, frozenPivot, frozenMultiplier, out);
  }

  /** Convection and radiation per metre and their slopes, into `heat` and `heatSlope`. */
  assembleLoss(around: Surroundings): void {
    const { slotCount, temperature, heat, heatSlope, emissivity, envelope } = this;
    for (let r = 0; r < this.runs.length; r++) {
      const { convection, pole, slot, count } = this.runs[r];
      convection.setConvection(temperature, around.air, slot, count, 2, pole, heat, heatSlope);
    }
    const { filmFactor, radiant } = around;
    for (let e = 0; e < 2 * slotCount; e++) {
      const black = emissivity[e] * STEFAN_BOLTZMANN * envelope[e];
      const t = temperature[e];
      const other = radiant > 0 ? radiant : around.air[e >> 1];
      const t2 = t * t;
      const other2 = other * other;
      heat[e] = filmFactor * heat[e] + black * (t2 * t2 - other2 * other2);
      heatSlope[e] = filmFactor * heatSlope[e] + 4 * black * t2 * t;
    }
  }

  /** W per metre of run lost to air and surroundings at entry 2·slot + pole, as last assembled. */
  lossPerMetre(entry: number): number {
    return this.heat[entry];
  }

  /** m² per metre of run that radiates, at entry 2·slot + pole. */
  envelopeAt(entry: number): number {
    return this.envelope[entry];
  }
}

/** x_i ← x_i/pivot_i + multiplier_i·x_{i+1} from the top down, both poles side by side. */
function backSubstitute(slotCount: number, inversePivot: Float64Array, multiplier: Float64Array, x: Float64Array): void {
  let e = 2 * (slotCount - 1);
  let x0 = x[e] * inversePivot[e];
  let x1 = x[e + 1] * inversePivot[e + 1];
  x[e] = x0;
  x[e + 1] = x1;
  for (e -= 2; e >= 0; e -= 2) {
    x0 = x[e] * inversePivot[e] + multiplier[e] * x0;
    x1 = x[e + 1] * inversePivot[e + 1] + multiplier[e + 1] * x1;
    x[e] = x0;
    x[e + 1] = x1;
  }
}
