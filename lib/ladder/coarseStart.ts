/**
 * Where the search for a rated power starts: one linear solve per operating state with the films frozen. It depends on
 * the mounted scenario alone, never on the one before, so that results do not depend on their order.
 */
import type { Ladder } from './ladder.js';
import type { OperatingState } from './operatingState.js';

/** Rise assumed where no temperature is limited, K. */
const NO_LIMIT_RISE = 50;
/** K; a start above this rise is held there. */
const HIGHEST_START = 300;

export class CoarseStart {
  /** K/W², `[slot × pole]`, and V per W at the contacts, `[slot]`: of the state last solved. */
  private readonly rise: Float64Array;
  private readonly voltage: Float64Array;
  /** Rise above the air to which the films are frozen, K; whether the frozen ladder has a solution; for which mounting. */
  private reference = NO_LIMIT_RISE;
  private hasSolution = false;
  private mounted = -1;

  constructor(private readonly ladder: Ladder) {
    this.rise = ladder.thermal.coarse;
    this.voltage = ladder.kernel.numbers('coarseVoltage', ladder.rack.slotCount);
  }

  /**
   * Solves for a state that is set on the ladder: where {@link begin} begins. Temperatures are overwritten.
   * @returns an estimate of the rated power, W
   */
  solve(state: OperatingState): number {
    const { ladder, rise, voltage } = this;
    const { mounting, rack, thermal, around, edge, kernel } = ladder;
    const { segmentCurrent } = ladder.electrical;
    const { loads, sources, share, sharingWeight, loadAt, sourceAt } = mounting;
    const { limits, setVoltage } = rack;
    ladder.setAir(0);
    this.freeze();
    let weights = 0;
    for (let k = 0; k < sources.count; k++) if (state.active[k] === 1) weights += sharingWeight[k];
    let estimate = Number.POSITIVE_INFINITY;
    let current = 0;
    for (let i = 0; i < rack.slotCount; i++) {
      const k = sourceAt[i];
      if (k >= 0) {
        const part = state.active[k] === 1 ? sharingWeight[k] / weights : 0;
        sources.current[k] = part / setVoltage;
        if (part > 0) {
          current += part / setVoltage;
          estimate = Math.min(estimate, (mounting.maxCurrent[k] * setVoltage) / part, mounting.maxPower[k] / part);
        }
      }
      const l = loadAt[i];
      if (l >= 0) {
        loads.current[l] = share[l] / setVoltage;
        current -= share[l] / setVoltage;
        if (share[l] > 0) estimate = Math.min(estimate, (limits.loadContactCurrent * setVoltage) / share[l]);
      }
      if (i < rack.slotCount - 1) segmentCurrent[i] = current;
    }
    const { temperature } = thermal;
    for (let e = 0; e < rise.length; e++) temperature[e] = around.air[e >> 1] + this.reference;
    ladder.updateContacts();
    voltage.set(edge.voltage);
    if (this.hasSolution) {
      thermal.coarseRise();
    } else {
      rise.fill(0);
    }
    kernel.call.updateEdgeHeatOfLoad();
    let steepest = 0;
    for (let e = 0; e < rise.length; e++) if (rise[e] > steepest) steepest = rise[e];
    // A hot spot adds a tenth at most as a rule: cooler slots do not matter for an estimate.
    const near = 0.9 * steepest;
    for (let e = 0; e < rise.length; e++) {
      if (rise[e] >= near) steepest = Math.max(steepest, rise[e] + edge.hotSpotAt(e));
    }
    if (steepest > 0) estimate = Math.min(estimate, Math.sqrt(this.reference / steepest));
    return Number.isFinite(estimate) && estimate > 0 ? estimate : 100 * setVoltage;
  }

  /**
   * The state in which the bar carries most, as the sum of the squares of its currents has it: often the one with the
   * lowest rated power, and then the others are passed over soonest.
   */
  heaviest(states: readonly OperatingState[]): number {
    const { mounting, rack } = this.ladder;
    const { sources, share, sharingWeight, loadAt, sourceAt } = mounting;
    let heaviest = 0;
    let most = -1;
    for (let s = 0; s < states.length; s++) {
      const { active } = states[s];
      let weights = 0;
      for (let k = 0; k < sources.count; k++) if (active[k] === 1) weights += sharingWeight[k];
      let current = 0;
      let sum = 0;
      for (let i = 0; i < rack.slotCount - 1; i++) {
        const k = sourceAt[i];
        if (k >= 0 && active[k] === 1) current += sharingWeight[k] / weights;
        if (loadAt[i] >= 0) current -= share[loadAt[i]];
        sum += current * current;
      }
      if (sum > most) {
        most = sum;
        heaviest = s;
      }
    }
    return heaviest;
  }

  /** Puts air, temperatures and contact voltages to where the solution has them at a power, W. */
  begin(power: number): void {
    this.ladder.kernel.call.beginAt(power, HIGHEST_START);
  }

  private freeze(): void {
    const { ladder } = this;
    const { around, mountings, rack } = ladder;
    if (this.mounted === mountings) return;
    this.mounted = mountings;
    const { limits } = rack;
    let room = limits.barRise;
    for (const temperature of [limits.barTemperature, limits.contactTemperature]) {
      room = Math.min(room, temperature - around.air[0]);
    }
    this.reference = Number.isFinite(room) ? Math.min(HIGHEST_START, Math.max(1, room)) : NO_LIMIT_RISE;
    this.hasSolution = ladder.thermal.freezeFilms(around, this.reference);
  }
}
