/**
 * A proven floor: a power that every allowed placement and every load split carries, in every operating state and over
 * the given ranges. Branching over classes of placements; see PROOF.md for what is proven and where it could fail.
 */
import type { Study } from '../rack/index.js';
import type { Floor } from './answers.js';
import { FloorSearch } from './floorSearch.js';
import type { ToleranceRanges } from './toleranceRanges.js';

export interface FloorOptions {
  /** W: a power that some placement is known not to exceed; the floor is sought below it. */
  readonly below: number;
  /** Stop when the floor is within this part of `below`; 0: go on until nothing can be refined. */
  readonly gap?: number;
  /** Classes of placements to bound at most; without it, until finished. The answer then does not depend on the machine. */
  readonly mostClasses?: number;
  /** s; without it, until finished. Asked of `now`. */
  readonly seconds?: number;
  /** W: a floor already proven for a set of placements that holds this study's, e.g. for the same study with fewer rules. */
  readonly atLeast?: number;
  /** Called now and then with the floor so far, W. */
  readonly onProgress?: (floor: number, open: number) => void;
}

/**
 * Proves a floor for a study.
 *
 * @throws InputError for a rack with a frame; RangeError where the rack limits neither the rise nor the temperature of
 *   the bar, or the rules on sources remember too much
 */
export function proveFloor(study: Study, ranges: ToleranceRanges, options: FloorOptions, now: () => number): Floor {
  const started = now();
  const search = new FloorSearch(study, ranges, options.below);
  const aim = options.below * (1 - (options.gap ?? 0));
  let finished = false;
  let told = started;
  for (;;) {
    const lowest = search.lowest();
    if (lowest === null || search.power() >= aim || lowest.power >= search.ceiling) break;
    if (options.mostClasses !== undefined && search.classes >= options.mostClasses) break;
    if (options.seconds !== undefined && now() - started >= 1000 * options.seconds) break;
    if (!search.refine(lowest)) {
      finished = true;
      break;
    }
    if (options.onProgress && now() - told > 500) {
      told = now();
      options.onProgress(search.power(), search.openBranches);
    }
  }
  return {
    kind: 'bounded', power: Math.max(search.power(), options.atLeast ?? 0), ranges, limitedBy: search.limitedBy(),
    classes: search.classes,
    seconds: (now() - started) / 1000, finished: finished || search.power() >= options.below,
  };
}
