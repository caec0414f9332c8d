/**
 * A rule that can be followed from the lowest slot upwards: a finite automaton whose states are whole numbers.
 *
 * A placement is read as a word: at each slot either `leaveEmpty` (one slot up) or `place` (as many slots up as the
 * piece is high). A rule allows the placement when no step gives `BROKEN` and the last state is accepted. Counting
 * words instead of placements is what makes exact counting quick (transfer-matrix method: Stanley, Enumerative
 * Combinatorics I, section 4.7).
 */
export interface SlotAutomaton {
  /** States are 0..stateCount−1. */
  readonly stateCount: number;
  readonly start: number;
  /** The state after leaving `slot` empty, or BROKEN. */
  leaveEmpty(state: number, slot: number): number;
  /** The state after placing piece number `piece` with its lowest slot at `bottomSlot`, or BROKEN. */
  place(state: number, piece: number, bottomSlot: number): number;
  /** Whether a placement may end in this state. */
  accepts(state: number): boolean;
}

export const BROKEN = -1;

/** The search for placements grew past what is kept in memory. */
export class TooManyStates extends Error {
  constructor(limit: number) {
    super(`more than ${limit} states are needed to count the placements`);
    this.name = 'TooManyStates';
  }
}

/** All rules at once: the state is the mixed-radix number of the parts' states. */
export function allOf(parts: readonly SlotAutomaton[]): SlotAutomaton {
  if (parts.length === 1) return parts[0];
  const stateCount = parts.reduce((product, part) => product * part.stateCount, 1);
  if (stateCount > Number.MAX_SAFE_INTEGER) throw new TooManyStates(Number.MAX_SAFE_INTEGER);

  const step = (state: number, next: (part: SlotAutomaton, own: number) => number): number => {
    let rest = state;
    let radix = 1;
    let code = 0;
    for (const part of parts) {
      const higher = Math.floor(rest / part.stateCount);
      const moved = next(part, rest - higher * part.stateCount);
      if (moved === BROKEN) return BROKEN;
      code += moved * radix;
      radix *= part.stateCount;
      rest = higher;
    }
    return code;
  };
  return {
    stateCount,
    start: step(0, (part) => part.start),
    leaveEmpty: (state, slot) => step(state, (part, own) => part.leaveEmpty(own, slot)),
    place: (state, piece, bottomSlot) => step(state, (part, own) => part.place(own, piece, bottomSlot)),
    accepts: (state) => step(state, (part, own) => (part.accepts(own) ? 0 : BROKEN)) !== BROKEN,
  };
}
