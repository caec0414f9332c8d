import { brokenRules, positionsKept, type RuledUnit } from '../draw/index.js';
import type { RuleBook } from '../draw/ruleBook.js';
import { sourcePieces, type SourcePiece } from '../draw/sourcePieces.js';
import type { Study } from '../rack/index.js';

/**
 * Every source arrangement that positions and rules allow, from the bottom up; loads not regarded.
 *
 * Recursion over the slots that gives up a branch as soon as a source would leave its bands, its block or its group, so
 * that the steps stay near the number of arrangements.
 * @param step called once per branch; throws to stop
 */
export function* sourceArrangementsOf(study: Study, book: RuleBook, step: () => void): Generator<RuledUnit[]> {
  const { positions } = study.sources;
  const { slotCount } = book;
  const pieces = sourcePieces(study, book);
  const left = pieces.map(({ count }) => count);
  const total = left.reduce((sum, count) => sum + count, 0);
  const bands = positions.draw === 'bands' ? positions.bands : [];
  const filled = bands.map(() => 0);
  const bandOf = (bottom: number, top: number): number =>
    bands.findIndex(({ fromSlot, toSlot }) => bottom >= fromSlot && top <= toSlot);
  const longest = positions.draw === 'groups' ? Math.max(...positions.sizes) : Infinity;

  for (const units of arrange(1, [], 0)) {
    if (positionsKept(positions, units) && brokenRules(study.rules, slotCount, units).length === 0) yield [...units];
  }

  function* arrange(slot: number, below: readonly RuledUnit[], run: number): Generator<readonly RuledUnit[]> {
    step();
    if (below.length === total) yield below;
    if (below.length === total || slot > slotCount || isPast(slot)) return;
    const blockClosed = positions.draw === 'contiguous' && below.length > 0;
    if (!blockClosed) yield* arrange(slot + 1, below, 0);
    if (run >= longest) return;
    for (let at = 0; at < pieces.length; at++) {
      const { unitType, heightSlots, permittedBottoms } = pieces[at];
      if (left[at] === 0 || permittedBottoms[slot] !== 1) continue;
      const band = bands.length > 0 ? bandOf(slot, slot + heightSlots - 1) : -1;
      if (bands.length > 0 && (band < 0 || filled[band] === bands[band].count)) continue;
      left[at]--;
      if (band >= 0) filled[band]++;
      const unit = { kind: unitType.kind, equipment: unitType.id, bottomSlot: slot, heightSlots, power: 0 };
      yield* arrange(slot + heightSlots, [...below, unit], run + 1);
      left[at]++;
      if (band >= 0) filled[band]--;
    }
  }

  /** Whether a band lies below already and is not full, or the rest no longer fits. */
  function isPast(slot: number): boolean {
    const needed = pieces.reduce((sum, piece: SourcePiece, at) => sum + left[at] * piece.heightSlots, 0);
    return slot + needed - 1 > slotCount || bands.some(({ toSlot, count }, at) => toSlot < slot && filled[at] < count);
  }
}
