import type { RandomStream } from './randomStream.js';
import type { SoughtLoads } from './loadSearch.js';
import type { StandingUnits } from './standingUnits.js';

/** Something the loads of one scenario may have to be: so many units of a type, a rack of the inventory. */
export interface LoadDemand {
  /** As a sentence names it, e.g. `16 units of "node"`. */
  readonly words: string;
  /** Why no place at all could help (powers against caps), as a sentence's end; null where places decide. */
  readonly hopeless: string | null;
  /**
   * What must find room beside the sources: one of these, each to its `maxCount`. Made when asked for, since the
   * exact search is needed only where no example turns up.
   */
  sought(): readonly SoughtLoads[];
}

/** One way of drawing loads. Made once for a study; keeps nothing from one scenario to the next. */
export interface LoadsPlacer {
  readonly demands: readonly LoadDemand[];
  /** Draws what does not depend on the sources. @returns position in `demands` */
  begin(stream: RandomStream): number;
  /**
   * Draws the loads beside the sources that stand, and puts them.
   * @returns how many units were left out for want of a place, or −1 when these sources leave no allowed placement;
   *   `standing` then holds the sources alone
   */
  place(demand: number, standing: StandingUnits, stream: RandomStream): number;
  /** What is drawn, one line each. */
  describe(): string[];
}

/** What `place` returns when the sources leave no allowed placement of the loads. */
export const NO_PLACEMENT = -1;
