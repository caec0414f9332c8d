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
import { STATES_AT_ONCE } from './kernel/layout.js';

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
  private readonly sharingWeight: Float64Array;
  /** Part of the current that a source feeds in a state, `[source × STATES_AT_ONCE]`. */
  private readonly stateWeight: Float64Array;
  private readonly squares: Float64Array;
  /** W: what states looked at seem to carry, and what they surely do, `[STATES_AT_ONCE]`. */
  private readonly seems: Float64Array;
  private readonly surely: Float64Array;

  constructor(private readonly kernel: Kernel) {
    const { slotCount } = kernel;
    this.segmentCurrent = kernel.numbers('segmentCurrent', Math.max(0, slotCount - 1));
    this.contactVoltage = kernel.numbers('contactVoltage');
    this.voltage = kernel.numbers('voltage');
    this.inService = kernel.wholes('active');
    this.sharingWeight = kernel.numbers('sharingWeight');
    this.stateWeight = kernel.numbers('stateWeight');
    this.squares = kernel.numbers('squares');
    this.seems = kernel.numbers('seems');
    this.surely = kernel.numbers('surely');
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
   * How much current the bar carries in some states, STATES_AT_ONCE at most from the state `first` on: the sum of its squares
   * along the bar, A² per W² and V². Overwritten by the next call.
   */
  squaredCurrents(states: readonly { readonly active: readonly number[] }[], first: number): Float64Array {
    this.layWeights(states, first);
    this.kernel.call.squaredCurrents();
    return this.squares;
  }

  /**
   * What states other than the one last searched seem to carry and what they surely do, W, as linearised with that one's last sweep; 0
   * where that cannot be told.
   * @returns false where each must be solved for by itself
   */
  lookAround(
    states: readonly { readonly active: readonly number[] }[], except: number, seems: number[], surely: number[],
  ): boolean {
    const { call } = this.kernel;
    if (call.beginLooks() === 0) return false;
    for (let first = 0; first < states.length; first += STATES_AT_ONCE) {
      const count = Math.min(STATES_AT_ONCE, states.length - first);
      this.layWeights(states, first);
      call.lookAround(count, except - first);
      for (let s = 0; s < count; s++) {
        seems[first + s] = this.seems[s];
        surely[first + s] = this.surely[s];
      }
    }
    return true;
  }

  /** Lays out what each source feeds in some states. */
  private layWeights(states: readonly { readonly active: readonly number[] }[], first: number): void {
    const { stateWeight, sharingWeight } = this;
    const end = Math.min(first + STATES_AT_ONCE, states.length);
    for (let s = first; s < end; s++) {
      const { active } = states[s];
      let sum = 0;
      for (let k = 0; k < active.length; k++) if (active[k] === 1) sum += sharingWeight[k];
      for (let k = 0; k < active.length; k++) {
        stateWeight[STATES_AT_ONCE * k + s - first] = active[k] === 1 ? sharingWeight[k] / sum : 0;
      }
    }
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
