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
 * Arrays are `[slot × pole]`, entry 2·slot + pole, in the kernel's memory: the two poles are eliminated side by side.
 * Segment arrays are `[segment × pole]`, segment i above slot i. The loops are in kernel/assembly/temperatures.ts and
 * films.ts.
 */
import type { ConvectionTable } from './convectionTable.js';
import type { Kernel } from './kernel/kernel.js';
import { radiatedHeat, STEFAN_BOLTZMANN } from './radiation.js';

/** Surface shared by `count` slots from index `slot` of one pole. */
export interface SurfaceRun {
  readonly convection: ConvectionTable;
  /** Byte address of its table in the kernel. */
  readonly address: number;
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
  /** Heat of contacts entering the bar, spreading included, W. */
  readonly contactHeat: Float64Array;
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
  /** Rise of the last {@link coarseRise}, K/W². */
  readonly coarse: Float64Array;

  private readonly envelope: Float64Array;
  private readonly heat: Float64Array;
  private readonly heatSlope: Float64Array;
  /** `[slot × pole]`. */
  private readonly tableAt: ConvectionTable[] = [];

  constructor(
    private readonly kernel: Kernel, private readonly pitch: number, private readonly runs: readonly SurfaceRun[],
  ) {
    this.temperature = kernel.numbers('temperature');
    this.contactHeat = kernel.numbers('contactHeat');
    this.segmentOffset = kernel.numbers('segmentOffset');
    this.segmentSlope = kernel.numbers('segmentSlope');
    this.segmentConductance = kernel.numbers('segmentConductance');
    this.emissivity = kernel.numbers('emissivity');
    this.change = kernel.numbers('change');
    this.rate = kernel.numbers('rate');
    this.coarse = kernel.numbers('coarseRise');
    this.envelope = kernel.numbers('envelope');
    this.heat = kernel.numbers('heat');
    this.heatSlope = kernel.numbers('heatSlope');
    const tableOf = kernel.wholes('tableOf', 2 * kernel.slotCount);
    for (const { convection, address, envelope, pole, slot, count } of runs) {
      for (let i = slot; i < slot + count; i++) {
        this.envelope[2 * i + pole] = envelope;
        this.tableAt[2 * i + pole] = convection;
        tableOf[2 * i + pole] = address;
      }
    }
  }

  /** Ω of the segment above slot index i of a pole, at the present temperatures. */
  segmentResistance(i: number, pole: 0 | 1): number {
    const e = 2 * i + pole;
    return this.segmentOffset[e] + this.segmentSlope[e] * (this.temperature[e] + this.temperature[e + 2]);
  }

  /**
   * Linearises at the present temperatures, for which {@link assembleLoss} was called, and solves for `change` (Newton
   * step at constant power) and `rate` (dT/dP, where currents follow the power as P^order and heat as P^(2·order)).
   *
   * @returns false where the matrix is no M-matrix; change and rate are then unusable
   */
  linearise(power: number, order: number): boolean {
    return this.kernel.call.linearise(this.pitch, power, order) !== 0;
  }

  /**
   * Prepares {@link coarseRise}: films frozen at their value for `referenceRise`, eliminated once for all operating
   * states. Temperatures are overwritten.
   * @returns false where the frozen ladder has no steady state at all
   */
  freezeFilms(around: Surroundings, referenceRise: number): boolean {
    const { kernel, pitch, temperature, heat } = this;
    for (let e = 0; e < temperature.length; e++) temperature[e] = around.air[e >> 1] + referenceRise;
    for (const { convection, envelope, pole, slot, count } of this.runs) {
      // The film hardly differs between the slots of a section: its lowest slot stands for all.
      const first = 2 * slot + pole;
      const convected = around.filmFactor * convection.convection(temperature[first], around.air[slot]).heat;
      const radiated = radiatedHeat(temperature[first], around.air[slot], this.emissivity[first], envelope);
      const perKelvin = Math.max(0, (pitch * (convected + radiated)) / referenceRise);
      for (let i = slot; i < slot + count; i++) heat[2 * i + pole] = perKelvin;
    }
    return kernel.call.freeze() !== 0;
  }

  /**
   * Rise per W² of total load with the films as {@link freezeFilms} left them, K/W², into `coarse`: the start of a
   * rating. The kernel's segment currents and contact heats are those of 1 W, resistances those of the present
   * temperatures.
   */
  coarseRise(): void {
    this.kernel.call.solveFrozen();
  }

  /** Convection and radiation per metre and their slopes at the present temperatures. */
  assembleLoss(around: Surroundings): void {
    const { call } = this.kernel;
    let first = 0;
    let filled = -1;
    while (call.assembleLoss(first, around.filmFactor, around.radiant) === 0) {
      const slot = call.missingSlot.value;
      // A cell without any heat looks empty however often it is filled.
      if (slot !== filled && this.fillTables(slot, around.air[slot])) {
        filled = slot;
        first = slot;
      } else {
        this.assembleByLaws(slot, around);
        first = slot + 1;
      }
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

  /** Fills the cells that a slot needs. @returns false where one of its poles lies outside the table */
  private fillTables(slot: number, air: number): boolean {
    const { tableAt, temperature } = this;
    return tableAt[2 * slot].fillFor(temperature[2 * slot], air)
      && tableAt[2 * slot + 1].fillFor(temperature[2 * slot + 1], air);
  }

  private assembleByLaws(slot: number, { air, radiant, filmFactor }: Surroundings): void {
    const { tableAt, temperature, heat, heatSlope, emissivity, envelope } = this;
    for (let e = 2 * slot; e < 2 * slot + 2; e++) {
      const t = temperature[e];
      const convected = tableAt[e].convection(t, air[slot]);
      const other = radiant > 0 ? radiant : air[slot];
      heat[e] = filmFactor * convected.heat + radiatedHeat(t, other, emissivity[e], envelope[e]);
      heatSlope[e] = filmFactor * convected.slope + 4 * emissivity[e] * STEFAN_BOLTZMANN * envelope[e] * t ** 3;
    }
  }
}
