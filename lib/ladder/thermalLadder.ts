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
 * films.ts; what films the kernel does not know yet it asks for here.
 */
import type { ConvectionTable } from './convectionTable.js';
import type { Kernel } from './kernel/kernel.js';
import { radiation, STEFAN_BOLTZMANN } from './radiation.js';

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

export class ThermalLadder {
  /** K. */
  readonly temperature: Float64Array;
  /** Ω and Ω/K: R = segmentOffset + segmentSlope·(T_i + T_{i+1}); W/K along the bar. Set by the caller. */
  readonly segmentOffset: Float64Array;
  readonly segmentSlope: Float64Array;
  readonly segmentConductance: Float64Array;
  /** Emissivity, set by the caller. */
  readonly emissivity: Float64Array;
  /** Newton step of the last linearisation at constant power, K. */
  readonly change: Float64Array;

  private readonly envelope: Float64Array;
  private readonly heat: Float64Array;
  private readonly heatSlope: Float64Array;
  private readonly airPull: Float64Array;
  private readonly air: Float64Array;
  /** `[slot × pole]`. */
  private readonly tableAt: ConvectionTable[] = [];
  private filmFactor = 1;

  constructor(kernel: Kernel, runs: readonly SurfaceRun[]) {
    this.temperature = kernel.numbers('temperature');
    this.segmentOffset = kernel.numbers('segmentOffset');
    this.segmentSlope = kernel.numbers('segmentSlope');
    this.segmentConductance = kernel.numbers('segmentConductance');
    this.emissivity = kernel.numbers('emissivity');
    this.change = kernel.numbers('change');
    this.envelope = kernel.numbers('envelope');
    this.heat = kernel.numbers('heat');
    this.heatSlope = kernel.numbers('heatSlope');
    this.airPull = kernel.numbers('airPull');
    this.air = kernel.numbers('air');
    const tableOf = kernel.wholes('tableOf');
    const sectionFirst = kernel.wholes('sectionFirst');
    for (const { convection, address, envelope, pole, slot, count } of runs) {
      for (let i = slot; i < slot + count; i++) {
        this.envelope[2 * i + pole] = envelope;
        this.tableAt[2 * i + pole] = convection;
        tableOf[2 * i + pole] = address;
        sectionFirst[2 * i + pole] = slot;
      }
    }
    kernel.films = (slot, surroundings) => this.fillTables(slot) || this.setByLaws(slot, surroundings);
  }

  /** Takes what multiplies convection in the scenario just mounted. */
  mount(filmFactor: number): void {
    this.filmFactor = filmFactor;
  }

  /** Ω of the segment above slot index i of a pole, at the present temperatures. */
  segmentResistance(i: number, pole: 0 | 1): number {
    const e = 2 * i + pole;
    return this.segmentOffset[e] + this.segmentSlope[e] * (this.temperature[e] + this.temperature[e + 2]);
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
  private fillTables(slot: number): boolean {
    const { tableAt, temperature, air } = this;
    return tableAt[2 * slot].fillFor(temperature[2 * slot], air[slot])
      && tableAt[2 * slot + 1].fillFor(temperature[2 * slot + 1], air[slot]);
  }

  /** Loss of a slot outside the tables, from the film laws. @returns false: the tables hold nothing for it */
  private setByLaws(slot: number, surroundings: number): false {
    const { tableAt, temperature, air, filmFactor, heat, heatSlope, airPull, emissivity, envelope } = this;
    for (let e = 2 * slot; e < 2 * slot + 2; e++) {
      const t = temperature[e];
      const convected = tableAt[e].convection(t, air[slot]);
      const other = surroundings > 0 ? surroundings : air[slot];
      heat[e] = filmFactor * convected.heat + radiation(t, other, emissivity[e], envelope[e]);
      const black = 4 * emissivity[e] * STEFAN_BOLTZMANN * envelope[e];
      heatSlope[e] = filmFactor * convected.slope + black * t ** 3;
      airPull[e] = filmFactor * convected.slope + (surroundings > 0 ? 0 : black * air[slot] ** 3);
    }
    return false;
  }
}
