import { requireOpenPercent } from './checks.js';
import { PERCENTILE_CAUTION, percentAsked } from './words.js';

/** What a label promises. */
export type LabelBasis =
  /** Every placement the rules allow carries it. */
  | { readonly kind: 'every-placement' }
  /** At least `carriedPercent` of scenarios carry it, with `confidencePercent` confidence; both above 0, below 100. */
  | { readonly kind: 'share'; readonly carriedPercent: number; readonly confidencePercent: number };

/** A basis for people, without a full stop. */
export function basisWords(basis: LabelBasis): string {
  if (basis.kind === 'every-placement') return 'every placement the rules allow carries it';
  const { carriedPercent, confidencePercent } = basis;
  return `at least ${percentAsked(carriedPercent)} of scenarios carry it, `
    + `with ${percentAsked(confidencePercent)} confidence. `
    + `${PERCENTILE_CAUTION}: up to ${percentAsked(100 - carriedPercent)} may fall below`;
}

/** @throws RangeError for percentages outside 0..100 (both excluded) or an unknown kind */
export function requireBasis(basis: LabelBasis): void {
  if (basis.kind === 'share') {
    requireOpenPercent('basis.carriedPercent', basis.carriedPercent);
    requireOpenPercent('basis.confidencePercent', basis.confidencePercent);
  } else if (basis.kind !== 'every-placement') {
    const { kind } = basis as { kind: unknown };
    throw new RangeError(`basis.kind: found ${String(kind)}; every-placement or share is needed`);
  }
}
