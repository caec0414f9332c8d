/**
 * Currents and voltages along the two poles, resistances given.
 *
 * Each load takes from the supply pole what it gives to the return pole and each source does the reverse, so the two
 * poles carry equal and opposite segment currents and the voltage between them obeys one ladder with the loop
 * resistance (supply + return) of each segment.
 *
 * A load draws I from U = P/I + I·R_contact, the root with the higher voltage: I = 2P/(U + √(U² − 4·P·R_contact)).
 * Spreading beneath a contact adds to R_contact; what the spreading beneath others adds to U is held while the currents are
 * found.
 * Where no solution exists the voltage has collapsed.
 *
 * Equal sharing: shooting from the bottom slot. The unknowns are the bottom voltage and the total current; one march up the
 * bar accumulates current (Kirchhoff's current law holds to rounding by construction) and voltage, with the derivatives to
 * both; Newton closes the current above the top slot to zero and the mean terminal voltage of the sources in service to
 * the set voltage (kernel/assembly/currents.ts).
 *
 * Another operating state at the power and nearly the voltages of the last one: the loads' currents at those voltages give all
 * others and the new voltages by two sums along the bar; the loads then move along their slopes, and the sums are taken once
 * more. What the second round moves, and the square of what the first did, bound what is left; where that is more than
 * asked for, shooting takes over.
 *
 * Droop: each source's voltage is the set voltage less current times droop resistance. Newton on the drops of all slots
 * below the set voltage, a tridiagonal system: shooting would multiply every rounding from one stiff source to the next
 * (kernel/assembly/droop.ts).
 */
import type { Kernel } from './kernel/kernel.js';

/** Closure relative to the total current and to the set voltage where temperatures are to settle to rounding. */
export const FINE_CLOSURE = 1e-12;

export class ElectricalLadder {
  /** A upwards on the supply pole, `[slot − 1]`. */
  readonly segmentCurrent: Float64Array;
  /** V between the poles, `[slot]`. */
  readonly voltage: Float64Array;
  /** V at the contacts above the bar's mean over the depth that other contacts make, `[slot]`. */
  readonly contactVoltage: Float64Array;

  /** 1 for a source in service, `[source]`. */
  private readonly inService: Int32Array;

  constructor(private readonly kernel: Kernel) {
    const { slotCount } = kernel;
    this.segmentCurrent = kernel.numbers('segmentCurrent', Math.max(0, slotCount - 1));
    this.contactVoltage = kernel.numbers('contactVoltage');
    this.voltage = kernel.numbers('voltage');
    this.inService = kernel.wholes('active');
  }

  /**
   * Puts sources in and out of service; `active` is `[source]`. Earlier solutions are forgotten, unless the next one is
   * to start from the last and has the same unknowns.
   */
  setState(active: readonly number[], startFromLast = false): void {
    for (let k = 0; k < active.length; k++) this.inService[k] = active[k];
    this.kernel.call.setState(startFromLast);
  }

  /**
   * Solves for a total load power (W) at the present resistances.
   *
   * @param closure how nearly current and voltage must close, relative
   * @returns false where the voltage has collapsed
   */
  solve(power: number, closure: number = FINE_CLOSURE): boolean {
    return this.kernel.call.solveCurrents(power, closure) !== 0;
  }
}
