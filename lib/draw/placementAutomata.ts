import { BROKEN, type SlotAutomaton } from './slotAutomaton.js';

/** How many of a piece a placement holds. */
export interface PieceCount {
  readonly min: number;
  readonly max: number;
}

/** Places between min and max of each piece; a piece whose max is Infinity is not counted. */
export function countsOf(pieces: readonly PieceCount[]): SlotAutomaton {
  const base = pieces.map(({ max }) => (max === Infinity ? 1 : max + 1));
  const radix: number[] = [];
  let stateCount = 1;
  for (const size of base) {
    radix.push(stateCount);
    stateCount *= size;
  }
  const placed = (state: number, piece: number): number => Math.floor(state / radix[piece]) % base[piece];
  return {
    stateCount,
    start: 0,
    leaveEmpty: (state) => state,
    place: (state, piece) => {
      if (pieces[piece].max === Infinity) return state;
      return placed(state, piece) < pieces[piece].max ? state + radix[piece] : BROKEN;
    },
    accepts: (state) => pieces.every(({ min }, piece) => placed(state, piece) >= min),
  };
}

/** No piece stands directly on one it may not touch. State: 0 nothing of interest below, p+1 piece p is right below. */
export function notTouching(pieceCount: number, mayNotTouch: (lower: number, upper: number) => boolean): SlotAutomaton {
  const matters: boolean[] = [];
  for (let lower = 0; lower < pieceCount; lower++) {
    matters.push(false);
    for (let upper = 0; upper < pieceCount; upper++) if (mayNotTouch(lower, upper)) matters[lower] = true;
  }
  return {
    stateCount: pieceCount + 1,
    start: 0,
    leaveEmpty: () => 0,
    place: (state, piece) => {
      if (state > 0 && mayNotTouch(state - 1, piece)) return BROKEN;
      return matters[piece] ? piece + 1 : 0;
    },
    accepts: () => true,
  };
}

/**
 * At least `slotsBetween` slots between any two members, whatever stands there.
 * State: slots since the last member, counted up to slotsBetween.
 */
export function keptApart(
  members: readonly boolean[],
  heights: readonly number[],
  slotsBetween: number,
): SlotAutomaton {
  return {
    stateCount: slotsBetween + 1,
    start: slotsBetween,
    leaveEmpty: (state) => Math.min(state + 1, slotsBetween),
    place: (state, piece) => {
      if (!members[piece]) return Math.min(state + heights[piece], slotsBetween);
      return state < slotsBetween ? BROKEN : 0;
    },
    accepts: () => true,
  };
}

/** All members form one block with nothing between them. State: 0 none yet, 1 the block is open, 2 it is closed. */
export function keptTogether(members: readonly boolean[]): SlotAutomaton {
  const close = (state: number): number => (state === 1 ? 2 : state);
  return {
    stateCount: 3,
    start: 0,
    leaveEmpty: close,
    place: (state, piece) => {
      if (!members[piece]) return close(state);
      return state === 2 ? BROKEN : 1;
    },
    accepts: () => true,
  };
}

/**
 * The members form runs of exactly these sizes (in units), in any order; a run ends at an empty slot or another piece,
 * so two runs never touch. State: which sizes are still to come and how long the open run is.
 */
export function runsOfSizes(members: readonly boolean[], sizes: readonly number[]): SlotAutomaton {
  const longest = Math.max(0, ...sizes);
  const kinds = [...new Set(sizes)].sort((a, b) => a - b);
  const wanted = kinds.map((size) => sizes.filter((one) => one === size).length);
  // Finished runs by size, mixed radix; the open run's length is the lowest digit.
  const radix: number[] = [];
  let stateCount = longest + 1;
  for (const count of wanted) {
    radix.push(stateCount);
    stateCount *= count + 1;
  }
  const close = (state: number): number => {
    const run = state % (longest + 1);
    if (run === 0) return state;
    const kind = kinds.indexOf(run);
    if (kind < 0) return BROKEN;
    const finished = Math.floor(state / radix[kind]) % (wanted[kind] + 1);
    return finished < wanted[kind] ? state - run + radix[kind] : BROKEN;
  };
  return {
    stateCount,
    start: 0,
    leaveEmpty: close,
    place: (state, piece) => {
      if (!members[piece]) return close(state);
      return state % (longest + 1) < longest ? state + 1 : BROKEN;
    },
    accepts: (state) => {
      const end = close(state);
      return end !== BROKEN && kinds.every((_, k) => Math.floor(end / radix[k]) % (wanted[k] + 1) === wanted[k]);
    },
  };
}

/** Each band, given from the bottom up, holds exactly its count of members wholly within. State: members so far. */
export function countsInBands(
  members: readonly boolean[],
  heights: readonly number[],
  bands: readonly { readonly fromSlot: number; readonly toSlot: number; readonly count: number }[],
): SlotAutomaton {
  const sorted = [...bands].sort((a, b) => a.fromSlot - b.fromSlot);
  const total = sorted.reduce((sum, band) => sum + band.count, 0);
  return {
    stateCount: total + 1,
    start: 0,
    leaveEmpty: (state) => state,
    place: (state, piece, bottomSlot) => {
      if (!members[piece]) return state;
      const topSlot = bottomSlot + heights[piece] - 1;
      let below = 0;
      for (const band of sorted) {
        if (bottomSlot >= band.fromSlot && topSlot <= band.toSlot) {
          // Every lower band must be full by now: nothing can be added to it later.
          return state >= below && state < below + band.count ? state + 1 : BROKEN;
        }
        below += band.count;
      }
      return BROKEN;
    },
    accepts: (state) => state === total,
  };
}
