import { BROKEN, type SlotAutomaton } from './slotAutomaton.js';

/** At most this many slots of the band are taken. */
export interface SlotLimit {
  readonly fromSlot: number;
  readonly toSlot: number;
  readonly slots: number;
}

/** Alike units of one height take at most `slots` slots of each band. State: slots taken in each band still open. */
export function slotLimits(heightSlots: number, limits: readonly SlotLimit[]): SlotAutomaton {
  const radix: number[] = [];
  let stateCount = 1;
  for (const limit of limits) {
    radix.push(stateCount);
    stateCount *= limit.slots + 1;
  }
  const taken = (state: number, band: number): number => Math.floor(state / radix[band]) % (limits[band].slots + 1);
  /** Forgets the bands that lie below the next slot, so that placements which differ only there share one state. */
  const forgetPassed = (state: number, nextSlot: number): number => {
    let kept = state;
    limits.forEach((limit, band) => {
      if (limit.toSlot < nextSlot) kept -= taken(state, band) * radix[band];
    });
    return kept;
  };
  return {
    stateCount,
    start: 0,
    leaveEmpty: (state, slot) => forgetPassed(state, slot + 1),
    place: (state, _piece, bottomSlot) => {
      const topSlot = bottomSlot + heightSlots - 1;
      let next = state;
      for (let band = 0; band < limits.length; band++) {
        const { fromSlot, toSlot, slots } = limits[band];
        const overlap = Math.min(toSlot, topSlot) - Math.max(fromSlot, bottomSlot) + 1;
        if (overlap <= 0) continue;
        if (taken(state, band) + overlap > slots) return BROKEN;
        next += overlap * radix[band];
      }
      return forgetPassed(next, topSlot + 1);
    },
    accepts: () => true,
  };
}
