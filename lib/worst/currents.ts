/**
 * Bounds on the currents of all placements at one load power. Loads draw constant power, so a load's current lies between
 * its power over the highest and over the lowest voltage at its terminals; sources share the total by the study's rule.
 */
import type { Range } from './toleranceRanges.js';

export interface SharingCase {
  /** Sources in service. */
  readonly inService: number;
  /** Factor between the largest and the smallest that sources may carry beside each other. */
  readonly spread: number;
}

/** Part of the total current that the lowest n of the sources in service may carry together. */
export function fedBelow({ inService, spread }: SharingCase, n: number): Range {
  if (n === 0) return { min: 0, max: 0 };
  if (n === inService) return { min: 1, max: 1 };
  const rest = inService - n;
  return { min: n / (n + rest * spread), max: (n * spread) / (n * spread + rest) };
}

export class Currents {
  /** A per unit of load share, at the lowest voltage. */
  readonly perShare: number;
  /** A of any one source in service, at most. */
  readonly largestSource: number;
  private readonly leastPerShare: number;

  /** @param power W, total load; `voltage` V at the loads' terminals */
  constructor(readonly power: number, voltage: Range, private readonly sharing: SharingCase) {
    this.perShare = power / voltage.min;
    this.leastPerShare = power / voltage.max;
    this.largestSource = fedBelow(sharing, 1).max * this.perShare;
  }

  /** A², most that a segment carries with n sources below and the load share below in bin g, `[n][bin]`. */
  largestSquares(bins: number): Float64Array[] {
    const { perShare, leastPerShare, sharing } = this;
    return Array.from({ length: sharing.inService + 1 }, (_, n) => {
      const fed = fedBelow(sharing, n);
      return Float64Array.from({ length: bins + 1 }, (__, g) => {
        const low = g / bins;
        const high = g === bins ? 1 : (g + 1) / bins;
        const upwards = fed.max * (1 - low) * perShare - (1 - fed.max) * low * leastPerShare;
        const downwards = (1 - fed.min) * high * perShare - fed.min * (1 - high) * leastPerShare;
        return Math.max(upwards, downwards, 0) ** 2;
      });
    });
  }
}
