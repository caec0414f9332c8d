import type { SourcePositions } from '../rack/studyModel.js';
import { nodeIndex, type Piece } from './arrangementGraph.js';
import { positionsOf, rulesBetween, type RuledPiece } from './pieceRules.js';
import { countsOf } from './placementAutomata.js';
import { withinCap, type RuleBook } from './ruleBook.js';
import { allOf, BROKEN, TooManyStates, type SlotAutomaton } from './slotAutomaton.js';
import type { SourcePiece } from './sourcePieces.js';

/** Alike loads looked for: `maxCount` of them. */
export interface SoughtLoads extends Piece, RuledPiece {
  /** A condition of their own on the loads' places (caps on bands), or none. */
  readonly condition: SlotAutomaton | null;
  /** Where given, the loads' worths must add up to what is needed. */
  readonly worth: LoadWorth | null;
}

/** What each load adds towards a sum that all of them together must reach. */
export interface LoadWorth {
  /** @param conditionState state of `condition` before the load is placed */
  of(conditionState: number, bottomSlot: number): number;
  readonly needed: number;
}

/** Whether the loads can stand; `most`: how many can at most, −1 where that was not looked for. */
export interface LoadsFound {
  readonly possible: boolean;
  readonly most: number;
}

const STATE_LIMIT = 1_000_000;

/**
 * Whether loads of one kind can stand beside some allowed arrangement of the sources, all rules on places kept: sources
 * and loads are followed together from the bottom slot, keeping for each state the most loads (or worth) so far.
 *
 * The number of loads need not be part of the state: taking a load away from an allowed placement (from the end of its
 * block, where loads stand together) leaves an allowed placement, so that every number below the most can stand too.
 * Only where worths count is the number kept as well.
 * @throws TooManyStates when the search grows past a million states
 */
export function searchLoads(
  book: RuleBook,
  positions: SourcePositions,
  sources: readonly SourcePiece[],
  loads: SoughtLoads,
): LoadsFound {
  const { slotCount } = book;
  const { worth, maxCount } = loads;
  const sourceSlots = sources.reduce((sum, piece) => sum + piece.count * piece.heightSlots, 0);
  const room = slotCount - book.minFreeSlots - sourceSlots;
  if (room < 0) return { possible: false, most: -1 };
  const most = Math.min(maxCount, Math.floor(room / loads.heightSlots));
  if (worth !== null && most < maxCount) return { possible: false, most: -1 };

  const pieces: readonly (Piece & RuledPiece)[] = [...sources, loads];
  const condition = loads.condition ? [ofOnePiece(loads.condition, sources.length, pieces)] : [];
  const loadCount = worth ? { min: maxCount, max: maxCount } : { min: 0, max: Infinity };
  // The condition comes first, so that its own state is the lowest digit of the whole.
  const automaton = allOf([
    ...condition,
    countsOf([...sources.map(({ count }) => ({ min: count, max: count })), loadCount]),
    ...positionsOf(positions, sources.length, pieces),
    ...rulesBetween(book, pieces),
  ]);
  const conditionStates = loads.condition?.stateCount ?? 1;
  const worthOf = (state: number, bottomSlot: number): number =>
    worth ? worth.of(state % conditionStates, bottomSlot) : 1;
  const best = bestPath(slotCount, pieces, automaton, worthOf, worth ? Infinity : most);
  if (worth) return { possible: best >= 0 && withinCap(worth.needed, best), most: -1 };
  return { possible: best >= maxCount, most: best };
}

/** The largest sum of worths along an accepted path; worths above `limit` are not followed. −1: no accepted path. */
function bestPath(
  slotCount: number,
  pieces: readonly Piece[],
  automaton: SlotAutomaton,
  worthOf: (state: number, bottomSlot: number) => number,
  limit: number,
): number {
  const index = nodeIndex(slotCount, automaton.stateCount);
  const layers: number[][] = Array.from({ length: slotCount + 2 }, () => []);
  const states: number[] = [];
  const best: number[] = [];
  const reach = (slot: number, state: number, sum: number): void => {
    const node = index.get(slot, state);
    if (node >= 0) {
      best[node] = Math.max(best[node], sum);
      return;
    }
    if (states.length >= STATE_LIMIT) throw new TooManyStates(STATE_LIMIT);
    index.set(slot, state, states.length);
    layers[slot].push(states.length);
    states.push(state);
    best.push(sum);
  };
  reach(1, automaton.start, 0);
  for (let slot = 1; slot <= slotCount; slot++) {
    for (const node of layers[slot]) {
      const empty = automaton.leaveEmpty(states[node], slot);
      if (empty !== BROKEN) reach(slot + 1, empty, best[node]);
      for (let piece = 0; piece < pieces.length; piece++) {
        const { heightSlots, permittedBottoms } = pieces[piece];
        if (permittedBottoms[slot] === 0 || slot + heightSlots - 1 > slotCount) continue;
        const sum = best[node] + (piece === pieces.length - 1 ? worthOf(states[node], slot) : 0);
        if (sum > limit) continue;
        const state = automaton.place(states[node], piece, slot);
        if (state !== BROKEN) reach(slot + heightSlots, state, sum);
      }
    }
  }
  let found = -1;
  for (const node of layers[slotCount + 1]) {
    if (automaton.accepts(states[node])) found = Math.max(found, best[node]);
  }
  return found;
}

/** A condition on one piece alone: to it the other pieces are empty slots. */
function ofOnePiece(condition: SlotAutomaton, own: number, pieces: readonly RuledPiece[]): SlotAutomaton {
  return {
    stateCount: condition.stateCount,
    start: condition.start,
    leaveEmpty: (state, slot) => condition.leaveEmpty(state, slot),
    place: (state, piece, bottomSlot) => {
      if (piece === own) return condition.place(state, 0, bottomSlot);
      let next = state;
      for (let up = 0; up < pieces[piece].heightSlots && next !== BROKEN; up++) {
        next = condition.leaveEmpty(next, bottomSlot + up);
      }
      return next;
    },
    accepts: (state) => condition.accepts(state),
  };
}
