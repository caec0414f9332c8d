/** A sensitivity study as data frames. The frame library is handed in, as in scenarioFrame. */
import type { SensitivityDocument } from '../study/index.js';
import { type AnyFrameLibrary, frameOf } from './frames.js';

type Gain = SensitivityDocument['allTolerances']['halved'];

/** What the percentile gains where a tolerance is halved or removed, the largest gain first, all of them together last. */
export function tightenFrame<Frame>(
  library: AnyFrameLibrary<Frame>, { tolerances, allTolerances }: Pick<SensitivityDocument, 'tolerances' | 'allTolerances'>,
): Frame {
  const row = (tolerance: string, { halved, removed }: { readonly halved: Gain; readonly removed: Gain }) => ({
    tolerance, halvedKw: halved.changeKw, halvedFromKw: halved.lowerKw, halvedToKw: halved.upperKw,
    removedKw: removed.changeKw, removedFromKw: removed.lowerKw, removedToKw: removed.upperKw,
  });
  return frameOf(library, [...tolerances.map((one) => row(one.words, one)), row('all of them together', allTolerances)]);
}

/** What the percentile changes by where all values of a tolerance move by a unit; tolerances without a shift are left out. */
export function shiftFrame<Frame>(library: AnyFrameLibrary<Frame>, { tolerances }: Pick<SensitivityDocument, 'tolerances'>): Frame {
  return frameOf(library, tolerances.flatMap(({ words, perUnit }) => (perUnit === null ? [] : [{
    allValuesOf: words, moveBy: `+${perUnit.unit}`, changeKw: perUnit.changeKw, fromKw: perUnit.lowerKw, toKw: perUnit.upperKw,
  }])));
}

/** Spearman's rank correlation of each quantity drawn once per scenario with the rated power. */
export function correlationFrame<Frame>(
  library: AnyFrameLibrary<Frame>, { factors, rankCorrelations }: Pick<SensitivityDocument, 'factors' | 'rankCorrelations'>,
): Frame {
  const wordsOf = (quantity: string) => factors.find(({ name }) => name === quantity)?.words ?? quantity;
  return frameOf(library, rankCorrelations.map(({ quantity, coefficient, lower, upper }) => ({
    quantity: wordsOf(quantity), rankCorrelation: coefficient, from: lower, to: upper,
  })));
}
