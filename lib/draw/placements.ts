import type { Study } from '../rack/studyModel.js';
import { AllOrNothingLoads } from './allOrNothingLoads.js';
import { CatalogueLoads } from './catalogueLoads.js';
import { evenLoads } from './evenLoads.js';
import { FixedLoads } from './fixedLoads.js';
import { InventoryLoads } from './inventoryLoads.js';
import type { LoadsPlacer } from './loadsPlacer.js';
import { randomSplitLoads } from './randomSplitLoads.js';
import { ruleBook, type RuleBook } from './ruleBook.js';
import { SourceArrangements } from './sourceArrangements.js';

/** Everything of a study that placements are drawn from. */
export interface Placements {
  readonly book: RuleBook;
  readonly sources: SourceArrangements;
  readonly loads: LoadsPlacer;
}

/**
 * Prepares the placements of a study. Hand-picked loads stand before the sources are arranged, all others after.
 * @throws InputError when the catalogue lacks a unit or a draw cannot be made
 */
export function preparePlacements(study: Study): Placements {
  const book = ruleBook(study);
  const loads = loadsPlacer(study, book);
  const sources = new SourceArrangements(study, book, loads instanceof FixedLoads ? loads.standing() : null);
  return { book, sources, loads };
}

export function loadsPlacer(study: Study, book: RuleBook): LoadsPlacer {
  const draw = study.loads;
  switch (draw.draw) {
    case 'fixed':
      return new FixedLoads(book, draw);
    case 'even':
      return evenLoads(book, draw);
    case 'random-split':
      return randomSplitLoads(book, draw);
    case 'catalogue':
      return new CatalogueLoads(book, draw);
    case 'all-or-nothing':
      return new AllOrNothingLoads(book, draw);
    case 'inventory':
      return new InventoryLoads(book, draw);
  }
}
