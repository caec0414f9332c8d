/** Seeded search for the placement that carries least. */
import { randomStream, type RandomStream } from '../draw/index.js';
import type { RatedPower } from '../ladder/index.js';
import type { Study } from '../rack/index.js';
import type { WorstFound } from './answers.js';
import type { Candidate } from './searchLayout.js';
import { SearchMoves } from './searchMoves.js';
import { SearchRating } from './searchRating.js';
import { SearchSpace } from './searchSpace.js';
import { SearchStarts } from './searchStarts.js';
import type { ToleranceRanges } from './toleranceRanges.js';

export interface SearchOptions {
  readonly seed: string;
  /** Independent starts, at least 1; a third of them is built, the others are drawn. */
  readonly starts: number;
  /** Times that a start's worst is disturbed and descended from again; 6 where left out. */
  readonly kicks?: number;
  /** No new start, kick or pass begins after so long; the answer then depends on the machine. */
  readonly seconds?: number;
  /** Called after each start with the lowest power so far, W. */
  readonly onProgress?: (done: { readonly start: number; readonly starts: number; readonly lowest: number }) => void;
}

const KICKS = 6;
/** Moves that make one kick: this many at least, and up to two more. */
const KICK_MOVES = 2;
/** Drawn placements of which the lowest is a start. */
const DRAWN = 10;
/** Relative: what counts as lower. */
const LOWER = 1e-7;
/** Relative: starts this near to the lowest agree with it. */
const AGREEING = 1e-3;
const PURPOSE = 'worst';

/**
 * The lowest rated power that a search meets among all placements a study's draw can produce, the build at the ends of
 * `ranges` that leave least: contact resistances and factor highest, film, emissivity and area lowest; the inlet and
 * the sharing weights tried at both ends.
 *
 * Each start descends by the first lower neighbour (units exchanged, moved, replaced, reversed; powers taken to the
 * ends of their ranges and between units; see `Move`) until none is lower, first in the operating state that binds, then in
 * all; then it is disturbed at random and descends again, keeping what is lower. Every candidate is checked to be
 * allowed. The same seed and numbers give the same answer where no time is set. A lower placement may exist: show the
 * floor beside it.
 * @throws RangeError for no start
 * @throws ImpossibleRules, InputError as `scenarioSource`; RatingError, NoFeedError as `RackModel.rate`
 */
export function searchWorst(study: Study, ranges: ToleranceRanges, options: SearchOptions): WorstFound {
  const { seed, starts, onProgress } = options;
  if (!(Number.isInteger(starts) && starts >= 1)) {
    throw new RangeError(`starts: found ${starts}; at least 1 is allowed`);
  }
  const search = new Search(study, ranges, options);
  const bests: Found[] = [];
  for (let start = 0; start < starts; start++) {
    if (start > 0 && search.isOver) break;
    bests.push(search.run(start, randomStream(seed, start, PURPOSE)));
    const lowest = Math.min(...bests.map(({ rated }) => rated.power));
    onProgress?.({ start: start + 1, starts, lowest });
  }
  const best = bests.reduce((a, b) => (b.rated.power < a.rated.power ? b : a));
  return {
    kind: 'searched',
    rated: best.rated,
    scenario: { ...search.space.scenario(best.candidate), index: -1 },
    starts: bests.length,
    agreeing: bests.filter(({ rated }) => rated.power <= best.rated.power * (1 + AGREEING)).length,
    evaluations: search.rating.evaluations,
    seconds: search.elapsed,
  };
}

interface Found {
  readonly candidate: Candidate;
  readonly rated: RatedPower;
}

class Search {
  readonly space: SearchSpace;
  readonly rating: SearchRating;
  private readonly moves: SearchMoves;
  private readonly starts: SearchStarts;
  private readonly began = performance.now();
  private readonly kicks: number;
  private readonly seconds: number;
  /** Placements known to carry at least so much (W) in the state looked at. */
  private readonly carried = new Map<string, number>();

  constructor(study: Study, ranges: ToleranceRanges, options: SearchOptions) {
    this.space = new SearchSpace(study, ranges);
    this.rating = new SearchRating(study.rack);
    this.moves = new SearchMoves(this.space, ranges);
    this.starts = new SearchStarts(study, options.seed, this.space);
    this.kicks = options.kicks ?? KICKS;
    this.seconds = options.seconds ?? Infinity;
  }

  get elapsed(): number {
    return (performance.now() - this.began) / 1000;
  }

  get isOver(): boolean {
    return this.elapsed > this.seconds;
  }

  run(start: number, stream: RandomStream): Found {
    let best = this.descend(this.first(start, stream), stream, false);
    for (let kick = 0; kick < this.kicks && !this.isOver; kick++) {
      const found = this.descend(this.rated(this.kicked(best.candidate, stream)), stream, false);
      if (found.rated.power < best.rated.power * (1 - LOWER)) {
        best = found;
        kick = -1;
      }
    }
    return this.descend(best, stream, true);
  }

  private rated(candidate: Candidate): Found {
    return { candidate, rated: this.rating.rate(this.space.scenario(candidate)) };
  }

  private first(start: number, stream: RandomStream): Found {
    const { starts } = this;
    let best: Found | null = null;
    if (start % 3 === 0) {
      const built = starts.build(start / 3, start * DRAWN, stream);
      if (built !== null) return this.rated(built);
    }
    for (let at = 0; at < DRAWN || best === null; at++) {
      // Rounding at the edge of a cap may turn a drawn placement down; not a thousand of them in a row.
      if (at === 1000) {
        throw new RangeError('no drawn placement is allowed: the check of placements does not fit the draw');
      }
      const candidate = starts.draw(start * DRAWN + at);
      if (candidate === null) continue;
      const found = this.rated(candidate);
      if (best === null || found.rated.power < best.rated.power) best = found;
    }
    return best;
  }

  private kicked(from: Candidate, stream: RandomStream): Candidate {
    let at = from;
    const moves = KICK_MOVES + stream.integerBelow(3);
    for (let done = 0, tries = 0; done < moves && tries < 50; tries++) {
      const next = this.moves.kick(at.layout, stream);
      if (next === null || next.key === at.key) continue;
      at = next;
      done++;
    }
    return at;
  }

  /** Goes to lower neighbours until none is lower, in the binding state alone or in all. */
  private descend(from: Found, stream: RandomStream, all: boolean): Found {
    const { rating, space } = this;
    let { candidate } = from;
    let { power } = from.rated;
    let state = rating.stateOf(space.scenario(candidate), from.rated);
    this.carried.clear();
    for (;;) {
      const moves = shuffled(this.moves.neighbours(candidate.layout), stream);
      let improved = false;
      for (const move of moves) {
        if (power === 0) break;
        const next = this.moves.apply(candidate.layout, move, stream);
        if (next === null) continue;
        const upper = power * (1 - LOWER);
        if ((this.carried.get(next.key) ?? 0) >= upper) continue;
        const lower = rating.below(space.scenario(next), upper, state, all);
        if (lower === null) {
          this.carried.set(next.key, upper);
          continue;
        }
        candidate = next;
        ({ power, state } = lower);
        improved = true;
        break;
      }
      if (improved && !this.isOver) continue;
      const found = this.rated(candidate);
      const binding = rating.stateOf(space.scenario(candidate), found.rated);
      if (binding === state || all || this.isOver) return found;
      ({ power } = found.rated);
      state = binding;
      this.carried.clear();
    }
  }
}

function shuffled<T>(list: T[], stream: RandomStream): T[] {
  for (let at = list.length - 1; at > 0; at--) {
    const other = stream.integerBelow(at + 1);
    [list[at], list[other]] = [list[other], list[at]];
  }
  return list;
}
