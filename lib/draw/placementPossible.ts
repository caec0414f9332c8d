import type { Study } from '../rack/studyModel.js';
import { brokenRules, unitsCollide } from './brokenRules.js';
import { FixedLoads } from './fixedLoads.js';
import { searchLoads } from './loadSearch.js';
import { loadsPlacer, preparePlacements, type Placements } from './placements.js';
import { randomStream } from './randomStream.js';
import { ruleBook } from './ruleBook.js';
import { TooManyStates } from './slotAutomaton.js';
import { StandingUnits } from './standingUnits.js';

/** Whether a study has a placement at all. */
export type Possibility =
  | { readonly possible: true }
  | {
      readonly possible: false;
      /** What cannot be placed, as a clause. */
      readonly why: string;
      /** False: nothing was found, and the search was too large to be sure. */
      readonly proven: boolean;
    };

/** Source arrangements tried for an example before the exact search: one nearly always suffices. */
const EXAMPLES = 5;
/** Tried where the exact search gives up. */
const LAST_EXAMPLES = 50;

/**
 * Whether every demand of the load draw (each number of units, each observed rack) can stand beside at least one
 * arrangement of the sources. An example found at random settles it; without one all placements are searched.
 */
export function placementPossible(study: Study): Possibility {
  const book = ruleBook(study);
  const alone = loadsPlacer(study, book);
  if (alone instanceof FixedLoads) {
    if (unitsCollide(book.slotCount, alone.units)) {
      return impossible('the hand-picked loads overlap or stand outside the rack');
    }
    if (brokenRules(study.rules, book.slotCount, alone.units).length > 0) {
      return impossible('the hand-picked loads break it by themselves');
    }
  }
  const placements = preparePlacements(study);
  if (placements.sources.count === 0) {
    return impossible(
      alone instanceof FixedLoads
        ? 'the sources have no allowed arrangement around the hand-picked loads'
        : 'the sources have no allowed arrangement',
    );
  }
  for (let demand = 0; demand < placements.loads.demands.length; demand++) {
    const { hopeless, words } = placements.loads.demands[demand];
    if (hopeless !== null) return impossible(`${words} cannot be placed anywhere: ${hopeless}`);
    if (exampleFound(study, placements, demand, EXAMPLES)) continue;
    const verdict = searchAll(study, placements, demand);
    if (!verdict.possible) return verdict;
  }
  return { possible: true };
}

function exampleFound(study: Study, { book, sources, loads }: Placements, demand: number, examples: number): boolean {
  const stream = randomStream(study.seed, demand, 'check');
  const standing = new StandingUnits(book);
  for (let attempt = 0; attempt < examples; attempt++) {
    standing.clear();
    sources.drawInto(standing, stream);
    try {
      if (loads.place(demand, standing, stream) >= 0) return true;
    } catch (error) {
      if (error instanceof TooManyStates) return false;
      throw error;
    }
  }
  return false;
}

function searchAll(study: Study, placements: Placements, demand: number): Possibility {
  const { book, sources, loads: placer } = placements;
  const { words, sought: soughtFor } = placer.demands[demand];
  let most = -1;
  try {
    const sought = soughtFor();
    for (const loads of sought) {
      const found = searchLoads(book, study.sources.positions, sources.pieces, loads);
      if (found.possible) return { possible: true };
      if (sought.length === 1) most = found.most;
    }
  } catch (error) {
    if (!(error instanceof TooManyStates)) throw error;
    if (exampleFound(study, placements, demand, LAST_EXAMPLES)) return { possible: true };
    const why = `no place was found for ${words} beside ${LAST_EXAMPLES} source arrangements; ` +
      'there are too many to try all';
    return { possible: false, why, proven: false };
  }
  const atMost = most > 0 ? `; at most ${most} can stand` : '';
  return impossible(`${words} cannot stand beside any allowed arrangement of the sources${atMost}`);
}

function impossible(why: string): Possibility {
  return { possible: false, why, proven: true };
}
