import type { LoadWorth } from './loadSearch.js';
import { withinCap, type PowerBand } from './ruleBook.js';
import { InternedStates } from './internedStates.js';
import { BROKEN, type SlotAutomaton } from './slotAutomaton.js';

/**
 * How much power one-slot units can take up under caps on bands that do not overlap: in a band the n-th unit adds
 * min(n·cap of a unit, cap of the band) − min((n−1)·cap of a unit, cap of the band), outside a full unit.
 *
 * State: units in the band of the next slot, counted up to where the band is full. Placements of k units that can
 * share a total are those whose worth reaches it; the best of them is found without telling all of them apart.
 * @param unitCap W, finite
 */
export function bandFilling(
  bands: readonly PowerBand[],
  unitCap: number,
  needed: number,
): { readonly condition: SlotAutomaton; readonly worth: LoadWorth } {
  const fullAt = bands.map((band) => Math.min(Math.ceil(band.power / unitCap), band.toSlot - band.fromSlot + 1));
  const bandOf = (slot: number): number => bands.findIndex((band) => slot >= band.fromSlot && slot <= band.toSlot);
  const carry = (state: number, slot: number): number => (bandOf(slot) === bandOf(slot + 1) ? state : 0);
  return {
    condition: {
      stateCount: Math.max(0, ...fullAt) + 1,
      start: 0,
      leaveEmpty: carry,
      place: (state, _piece, slot) => {
        const band = bandOf(slot);
        return carry(band < 0 ? 0 : Math.min(state + 1, fullAt[band]), slot);
      },
      accepts: () => true,
    },
    worth: {
      of: (state, slot) => {
        const band = bandOf(slot);
        if (band < 0) return unitCap;
        const { power } = bands[band];
        return Math.min((state + 1) * unitCap, power) - Math.min(state * unitCap, power);
      },
      needed,
    },
  };
}

/**
 * Exactly `count` one-slot units (the search around it stops there) whose worths reach what is needed. State: units so
 * far, state of the condition, worth so far; numbered as met.
 */
export function worthReached(
  count: number,
  { condition, worth }: { readonly condition: SlotAutomaton; readonly worth: LoadWorth },
  largestWorth: number,
): SlotAutomaton {
  interface Filled {
    readonly units: number;
    readonly filling: number;
    readonly sum: number;
  }
  const states = new InternedStates<Filled>(
    // Sums that differ by rounding alone are one state.
    ({ units, filling, sum }) => `${units} ${filling} ${Math.round((sum / worth.needed) * 1e12)}`,
  );
  const start = states.numberOf({ units: 0, filling: condition.start, sum: 0 });
  return {
    stateCount: states.limit,
    start,
    leaveEmpty: (state, slot) => {
      const { units, filling, sum } = states.at(state);
      return states.numberOf({ units, filling: condition.leaveEmpty(filling, slot), sum });
    },
    place: (state, piece, slot) => {
      const { units, filling, sum } = states.at(state);
      const left = count - units - 1;
      const added = Math.min(sum + worth.of(filling, slot), worth.needed);
      if (!withinCap(worth.needed, added + left * largestWorth)) return BROKEN;
      return states.numberOf({ units: units + 1, filling: condition.place(filling, piece, slot), sum: added });
    },
    accepts: (state) => states.at(state).units === count && withinCap(worth.needed, states.at(state).sum),
  };
}

export function bandsOverlap(bands: readonly PowerBand[]): boolean {
  return bands.some((one, at) =>
    bands.some((other, to) => to > at && one.fromSlot <= other.toSlot && other.fromSlot <= one.toSlot),
  );
}
