/** What the pictures of a solved bar read from a solution: °C, K of rise, A. */
import type { LadderSolution } from '../ladder/index.js';
import { ZERO_CELSIUS } from '../rack/index.js';

/** The largest value of something along the bar and where it is. */
export interface Peak {
  readonly value: number;
  /** 1-based slot; of a segment the slot below it. */
  readonly slot: number;
  readonly pole: 'supply' | 'return' | 'both';
}

/** Rise of both poles above the local air, K, `[slot]`, at the hottest point of the depth. */
export function barRise({ air, supplyHottest, returnHottest }: LadderSolution): {
  readonly supply: readonly number[]; readonly return: readonly number[];
} {
  const rise = (pole: Float64Array) => Array.from(pole, (t, i) => t - air[i]);
  return { supply: rise(supplyHottest), return: rise(returnHottest) };
}

/** °C of the hotter pole, `[slot]`, at the hottest point of the depth. */
export function hotterPoleC({ supplyHottest, returnHottest }: LadderSolution): number[] {
  return Array.from(supplyHottest, (t, i) => Math.max(t, returnHottest[i]) - ZERO_CELSIUS);
}

/** The largest rise of either pole, K; `both` where the poles are equal to a thousandth of a kelvin. */
export function peakRise(solution: LadderSolution): Peak {
  const rise = barRise(solution);
  let peak: Peak = { value: Number.NEGATIVE_INFINITY, slot: 0, pole: 'both' };
  rise.supply.forEach((supply, i) => {
    const value = Math.max(supply, rise.return[i]);
    if (value <= peak.value) return;
    const equal = Math.abs(supply - rise.return[i]) < 1e-3;
    peak = { value, slot: i + 1, pole: equal ? 'both' : supply > rise.return[i] ? 'supply' : 'return' };
  });
  return peak;
}

/** The largest current of a segment in size, A, signed (upwards on the supply pole); null on a bar of one slot. */
export function peakCurrent({ segmentCurrent }: LadderSolution): Peak | null {
  if (segmentCurrent.length === 0) return null;
  let at = 0;
  segmentCurrent.forEach((current, i) => {
    if (Math.abs(current) > Math.abs(segmentCurrent[at])) at = i;
  });
  return { value: segmentCurrent[at], slot: at + 1, pole: 'both' };
}

/** Rounded for a picture: beyond what can be seen, and the page stays small. */
export function forPicture(value: number): number {
  return Math.round(value * 1e3) / 1e3 + 0;
}
