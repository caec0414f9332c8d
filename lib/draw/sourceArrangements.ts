import { InputError } from '../rack/errors.js';
import type { Study } from '../rack/studyModel.js';
import { ArrangementGraph } from './arrangementGraph.js';
import { positionsOf, rulesBetween } from './pieceRules.js';
import { countsOf } from './placementAutomata.js';
import type { RandomStream } from './randomStream.js';
import { ruleBook, type RuleBook } from './ruleBook.js';
import { allOf, type SlotAutomaton, TooManyStates } from './slotAutomaton.js';
import { sourcePieces, type SourcePiece } from './sourcePieces.js';
import type { StandingUnits } from './standingUnits.js';

/** One source of an arrangement. */
export interface StandingSource {
  readonly id: string;
  /** 1-based. */
  readonly bottomSlot: number;
}

/**
 * All arrangements of a study's sources that its rules and its positions allow, counted once and drawn many times.
 *
 * Units of one type cannot be told apart: exchanging two of them gives the same arrangement. Rules on loads play no
 * part yet, and neither does `not-next-to` between a source and a load: it acts where the loads are placed.
 */
export class SourceArrangements {
  /** Exact below 2⁵³, to rounding beyond. */
  readonly count: number;
  readonly pieces: readonly SourcePiece[];
  private readonly graph: ArrangementGraph | null;
  private readonly drawnPieces: Int32Array;
  private readonly drawnBottoms: Int32Array;

  /** @throws InputError when so many different sources and rules meet that the arrangements cannot be counted */
  constructor(study: Study, book: RuleBook, loads: StandingUnits | null = null) {
    const pieces = sourcePieces(study, book, loads);
    this.pieces = pieces;
    const slots = pieces.reduce((sum, piece) => sum + piece.count * piece.heightSlots, 0);
    const freeSlots = loads?.freeSlots ?? book.slotCount;
    this.graph = slots <= freeSlots - book.minFreeSlots ? graphOf(study, book, pieces) : null;
    this.count = this.graph?.total ?? 0;
    const units = pieces.reduce((sum, piece) => sum + piece.count, 0);
    this.drawnPieces = new Int32Array(units);
    this.drawnBottoms = new Int32Array(units);
  }

  /**
   * Draws one arrangement, every one equally likely, and puts its units.
   * @param u chooses it where given, uniform over 0 ≤ u < 1
   */
  drawInto(standing: StandingUnits, stream: RandomStream, u: number | null = null): void {
    const placed = this.drawUnits(stream, u);
    for (let at = 0; at < placed; at++) {
      const piece = this.pieces[this.drawnPieces[at]];
      standing.put(piece.type, this.drawnBottoms[at], piece.heightSlots, 0);
    }
  }

  /** Draws one arrangement, every one equally likely, from the bottom up. */
  draw(stream: RandomStream): StandingSource[] {
    const placed = this.drawUnits(stream, null);
    return Array.from({ length: placed }, (_, at) => ({
      id: this.pieces[this.drawnPieces[at]].unitType.id,
      bottomSlot: this.drawnBottoms[at],
    }));
  }

  private drawUnits(stream: RandomStream, u: number | null): number {
    if (this.graph === null || this.count === 0) throw new RangeError('the rules allow no source arrangement');
    if (u !== null) return this.graph.drawAt(u, stream, this.drawnPieces, this.drawnBottoms);
    return this.graph.draw(stream, this.drawnPieces, this.drawnBottoms);
  }
}

/**
 * Counts and prepares the source arrangements of a study, once.
 * @throws InputError when the catalogue lacks a source or the arrangements cannot be counted
 */
export function compileSourceArrangements(study: Study): SourceArrangements {
  return new SourceArrangements(study, ruleBook(study));
}

/**
 * Number of source arrangements the rules allow, loads not regarded; exact below 2⁵³, to rounding beyond.
 * @example
 * // 3 alike one-slot sources, 10 slots, no rules: 120 = 10·9·8/6
 * countSourceArrangements(study);
 * @throws InputError as compileSourceArrangements
 */
export function countSourceArrangements(study: Study): number {
  return compileSourceArrangements(study).count;
}

/**
 * One source arrangement, each of `compiled.count` equally likely.
 * @throws RangeError when there is none
 */
export function drawSourceArrangement(compiled: SourceArrangements, stream: RandomStream): StandingSource[] {
  return compiled.draw(stream);
}

/**
 * Everything the study asks of its sources' places, as one automaton over the source pieces.
 * @throws TooManyStates where so many rules meet that the states cannot be numbered
 */
export function sourceAutomaton(study: Study, book: RuleBook, pieces: readonly SourcePiece[]): SlotAutomaton {
  return allOf([
    countsOf(pieces.map(({ count }) => ({ min: count, max: count }))),
    ...positionsOf(study.sources.positions, pieces.length, pieces),
    ...rulesBetween(book, pieces),
  ]);
}

function graphOf(study: Study, book: RuleBook, pieces: readonly SourcePiece[]): ArrangementGraph {
  try {
    return new ArrangementGraph(book.slotCount, pieces, sourceAutomaton(study, book, pieces));
  } catch (error) {
    if (!(error instanceof TooManyStates)) throw error;
    const allowed =
      'their arrangements cannot be counted exactly; use fewer different source types, or fixed positions';
    throw new InputError([
      { file: 'study', path: 'sources', found: `${pieces.length} source types under these rules`, allowed },
    ]);
  }
}
