/** Parts of all placements, and how they are split. */
import type { OperatingStateRule } from '../rack/index.js';
import type { PlacementClass, PlacementProgram } from './placementProgram.js';
import type { Range } from './toleranceRanges.js';

/** A part of all placements in one kind of operating state, with what is known of it. */
export interface Branch extends PlacementClass {
  readonly rule: OperatingStateRule;
  readonly program: PlacementProgram;
  readonly areaFactor: Range;
  /** W that every placement of it carries without a limit broken at entry 2·slot + pole. */
  readonly carried: Float64Array;
  /** K, temperature that no slot exceeds, `[pole][slot]`. */
  readonly warmest: readonly [Float64Array, Float64Array];
  /** K, rises near which the lines under the loss are laid, `[pole][slot]`. */
  readonly near: readonly [Float64Array, Float64Array];
  readonly bins: number;
  /** W, what every placement of it carries. */
  power: number;
  limitedBy: string;
  /** A contact's own heat decides, wherever the sources are. */
  byContact: boolean;
}

/** Bins of the load's share: at first, once a class is narrow, and at most. */
export const COARSE_BINS = 100;
const MANY_BINS = 300;
const FINEST_BINS = 1600;

/**
 * Halves of a branch, or the branch with finer bins: whatever is coarsest. Empty where nothing finer is left.
 *
 * @param isDroop whether the place of the highest source decides how the sources share
 */
export function splitBranch(branch: Branch, isDroop: boolean): Branch[] {
  const { lowestSource, highestSource, total, areaFactor, family } = branch;
  const width = lowestSource.max - lowestSource.min + 1;
  const widthAbove = isDroop ? highestSource.max - highestSource.min + 1 : 1;
  const ratio = total.max / total.min;
  const whole = family.counts ? total.max - total.min : Number.POSITIVE_INFINITY;
  // Rough steps first: a wide class needs no fine bins, and fine bins spare many narrow classes.
  const scores = [
    width > 1 ? (branch.byContact ? 0.4 : Math.max(0.7, Math.log2(width / 2))) : 0,
    widthAbove > 1 ? Math.max(0.75, Math.log2(widthAbove / 2)) : 0,
    // The heat of a lone contact goes with the square of its share, which goes with the total.
    ratio > 1.005 && whole >= 1
      ? Math.max(0.8, branch.byContact ? Math.log(ratio / 1.006) / Math.log(1.03) : Math.log(ratio / 1.03) / Math.log(1.05)) : 0,
    areaFactor.max / areaFactor.min > 1.005 ? Math.max(0.6, (areaFactor.max / areaFactor.min - 1) / 0.02) : 0,
    branch.bins < MANY_BINS ? 0.9 : branch.bins < FINEST_BINS ? 0.5 : 0,
  ];
  const best = scores.indexOf(Math.max(...scores));
  if (scores[best] === 0) return [];
  if (best === 4) return [{ ...branch, bins: branch.bins < MANY_BINS ? MANY_BINS : 2 * branch.bins }];
  if (best === 0) {
    return halves(lowestSource, middleOf(lowestSource), 1).map((half) => ({ ...branch, lowestSource: half }));
  }
  if (best === 1) {
    return halves(highestSource, middleOf(highestSource), 1).map((half) => ({ ...branch, highestSource: half }));
  }
  if (best === 2) {
    const middle = family.counts ? Math.floor(Math.sqrt(total.min * total.max)) : Math.sqrt(total.min * total.max);
    return halves(total, Math.min(middle, family.counts ? total.max - 1 : middle), family.counts ? 1 : 0)
      .map((half) => ({ ...branch, total: half }));
  }
  return halves(areaFactor, Math.sqrt(areaFactor.min * areaFactor.max)).map((half) => ({ ...branch, areaFactor: half }));
}

function halves(range: Range, middle: number, gap = 0): [Range, Range] {
  return [{ min: range.min, max: middle }, { min: middle + gap, max: range.max }];
}

function middleOf({ min, max }: Range): number {
  return Math.floor((min + max) / 2);
}
