/** The worst placement from both sides: the lowest rated power that was met, and the floor below it. */
import type { Study } from '../rack/index.js';
import type { Floor, WorstFound } from './answers.js';
import { enumeratedFloor } from './enumeratedFloor.js';
import { proveFloor } from './floor.js';
import { provenOrder } from './provenOrder.js';
import { searchWorst } from './search.js';
import type { ToleranceRanges } from './toleranceRanges.js';

export interface WorstOptions {
  readonly seed: string;
  /** Independent starts of the search. */
  readonly starts: number;
  /** s for both, at most a third of it for the search; without it, until both are done. */
  readonly seconds?: number;
  /** The floor need not be nearer to the worst found than this part of it. */
  readonly gap?: number;
  /** W: a floor known already for a set of placements that holds this study's. */
  readonly atLeast?: number;
  /** ms, of any clock. */
  readonly now: () => number;
  readonly onSearch?: (start: number, starts: number, lowest: number) => void;
  readonly onFloor?: (floor: number, open: number) => void;
}

export interface WorstAnswer {
  readonly found: WorstFound;
  readonly floor: Floor;
  /** Per cent of the worst found that lie between it and the floor. */
  readonly gapPercent: number;
}

/**
 * Searches the worst placement and proves a floor below it. Where the study has so few placements that all of them can be
 * rated, or where the worst order is known in closed form, the floor is that: a gap then is what the search missed.
 *
 * @throws RangeError as {@link proveFloor} and {@link searchWorst}
 */
export function worstAnswer(study: Study, ranges: ToleranceRanges, options: WorstOptions): WorstAnswer {
  const { seed, starts, seconds, gap, atLeast, now, onSearch, onFloor } = options;
  const started = now();
  const found = searchWorst(study, ranges, {
    seed, starts,
    ...(seconds === undefined ? {} : { seconds: seconds / 3 }),
    onProgress: ({ start, starts: all, lowest }) => onSearch?.(start, all, lowest),
  });
  const below = found.rated.power;
  const floorSeconds = seconds === undefined ? undefined : Math.max(0, seconds - (now() - started) / 1000);
  // Rating every placement leaves no gap at all: worth the whole of the time once more.
  const exact = provenOrder(study, ranges) ?? enumeratedFloor(study, ranges, now, seconds);
  const floor = exact ?? proveFloor(study, ranges, {
    below, gap: gap ?? 0.01,
    ...(floorSeconds === undefined ? {} : { seconds: floorSeconds }),
    ...(atLeast === undefined ? {} : { atLeast }),
    ...(onFloor === undefined ? {} : { onProgress: onFloor }),
  }, now);
  return { found, floor, gapPercent: gapPercent(floor.power, below) };
}

/** Per cent of the worst found that lie between it and the floor; 0 where nothing was carried. */
export function gapPercent(floor: number, found: number): number {
  return found > 0 ? Math.max(0, 100 * (1 - floor / found)) : 0;
}
