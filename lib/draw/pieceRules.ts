import type { SourcePositions } from '../rack/studyModel.js';
import { countsInBands, keptApart, keptTogether, notTouching, runsOfSizes } from './placementAutomata.js';
import type { RuleBook } from './ruleBook.js';
import type { SlotAutomaton } from './slotAutomaton.js';

/** A kind of unit as the rules see it. */
export interface RuledPiece {
  /** Type number in the rule book. */
  readonly type: number;
  readonly heightSlots: number;
  /** Most units of it; Infinity where open. */
  readonly maxCount: number;
}

/** The rules that act between these pieces: forbidden neighbours, apart, together. */
export function rulesBetween(book: RuleBook, pieces: readonly RuledPiece[]): SlotAutomaton[] {
  const automata: SlotAutomaton[] = [];
  const heights = pieces.map((piece) => piece.heightSlots);
  const typeCount = book.permittedSlots.length;
  const mayNotTouch = (a: number, b: number): boolean =>
    book.mayNotTouch[pieces[a].type * typeCount + pieces[b].type] === 1;
  if (pieces.some((_, a) => pieces.some((__, b) => mayNotTouch(a, b)))) {
    automata.push(notTouching(pieces.length, mayNotTouch));
  }
  // A rule about fewer than two units holds by itself, and would only multiply the states.
  const actsOn = (members: readonly boolean[]): boolean =>
    pieces.reduce((sum, piece, at) => sum + (members[at] ? piece.maxCount : 0), 0) >= 2;
  for (const { members, slotsBetween } of book.apart) {
    const covered = pieces.map((piece) => members[piece.type] === 1);
    if (actsOn(covered) && slotsBetween > 0) automata.push(keptApart(covered, heights, slotsBetween));
  }
  for (const members of book.together) {
    const covered = pieces.map((piece) => members[piece.type] === 1);
    if (actsOn(covered)) automata.push(keptTogether(covered));
  }
  return automata;
}

/** What the positions asked for add to the rules. `sourcePieces` of the pieces, the first ones, are sources. */
export function positionsOf(
  positions: SourcePositions,
  sourcePieces: number,
  pieces: readonly RuledPiece[],
): SlotAutomaton[] {
  const isSource = pieces.map((_, at) => at < sourcePieces);
  const heights = pieces.map((piece) => piece.heightSlots);
  switch (positions.draw) {
    case 'contiguous':
      return [keptTogether(isSource)];
    case 'groups':
      return [runsOfSizes(isSource, positions.sizes)];
    case 'bands':
      return [countsInBands(isSource, heights, positions.bands)];
    case 'uniform':
    case 'fixed':
      return [];
  }
}
