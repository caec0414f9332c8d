import type { Study } from '../rack/studyModel.js';
import type { Piece } from './arrangementGraph.js';
import type { RuledPiece } from './pieceRules.js';
import { permittedBottoms, type RuleBook } from './ruleBook.js';
import type { StandingUnits } from './standingUnits.js';
import type { UnitType } from './unitTypes.js';

/** All source units of one type. */
export interface SourcePiece extends Piece, RuledPiece {
  readonly unitType: UnitType;
  readonly count: number;
}

/**
 * The sources of a study, one piece for each type, with the slots each may stand in.
 * @param loads loads that stand already (hand-picked ones): sources take no slot of theirs and keep forbidden
 *   neighbours off them; null where loads come later
 * @throws InputError when the catalogue lacks a source
 */
export function sourcePieces(study: Study, book: RuleBook, loads: StandingUnits | null = null): SourcePiece[] {
  const { units, positions } = study.sources;
  const bottomsOf = new Map<UnitType, number[]>();
  const countOf = new Map<UnitType, number>();
  if (positions.draw === 'fixed') {
    positions.units.forEach(({ id, bottomSlot }, at) => {
      const type = book.types.source(id, `sources.positions.units[${at}].id`);
      bottomsOf.set(type, [...(bottomsOf.get(type) ?? []), bottomSlot]);
      countOf.set(type, (countOf.get(type) ?? 0) + 1);
    });
  } else {
    units.forEach(({ id, count }, at) => {
      const type = book.types.source(id, `sources.units[${at}].id`);
      countOf.set(type, (countOf.get(type) ?? 0) + count);
    });
  }
  return [...countOf]
    .filter(([, count]) => count > 0)
    .map(([unitType, count]) => {
      const { heightSlots, index } = unitType;
      const bottoms = permittedBottoms(book, index, heightSlots);
      const fixed = bottomsOf.get(unitType);
      for (let bottom = 1; bottom <= book.slotCount; bottom++) {
        if (fixed && !fixed.includes(bottom)) bottoms[bottom] = 0;
        if (loads && bottoms[bottom] === 1 && !loads.fits(index, bottom, heightSlots)) bottoms[bottom] = 0;
      }
      return { unitType, count, type: index, heightSlots, maxCount: count, permittedBottoms: bottoms };
    });
}
