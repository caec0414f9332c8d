/** Parameter uncertainty of a fit as a study's uncertain quantities. */
import type { FittedQuantity, HeatRunFit } from './fitModel.js';
import type { JsonObject } from './calibratedFiles.js';
import { type FitQuantity, QUANTITY_TRAITS } from './quantities.js';

/** Draws go no further than so many standard errors: beyond, the straight line behind them says nothing. */
const REACH = 4;
/** Quantities of a study that act on the readings of a heat run. */
const HELD_BY_FIT = ['contactFactor', 'filmFactor', 'emissivity', 'areaFactor'] as const;
/** A standard error below this part of the value is rounding. */
const EXACT = 1e-9;

export interface UncertainPart {
  readonly uncertain: Record<string, JsonObject>;
  readonly correlations: readonly JsonObject[];
  /** Keys of "uncertain" that the fit decides. */
  readonly replaced: readonly string[];
  readonly notes: readonly string[];
}

/**
 * Pearson correlation of two normal quantities as the Spearman rank correlation that a Gaussian copula has with it:
 * (6/π)·asin(ρ/2) (Pearson 1907; the inverse of what the draw does).
 * @throws RangeError outside −1..1
 */
export function rankOfPearson(correlation: number): number {
  if (!(Math.abs(correlation) <= 1)) throw new RangeError(`a correlation of ${correlation}: must be −1 to 1`);
  return (6 / Math.PI) * Math.asin(correlation / 2);
}

/** Which key of "uncertain" carries which fitted quantity, and the factor by which its value is divided there. */
interface Carried {
  readonly key: string;
  readonly fitted: FittedQuantity;
  readonly over: number;
}

export function calibratedUncertain(fit: HeatRunFit, study: JsonObject): UncertainPart {
  const own = (study.uncertain ?? {}) as Record<string, JsonObject>;
  const notes: string[] = [];
  const carried = fit.quantities.flatMap((fitted): Carried[] => {
    const { quantity, value } = fitted;
    // The rack file has the fitted film factor; the study's acts on top of it.
    if (quantity === 'filmFactor') return [{ key: quantity, fitted, over: value }];
    return quantity === 'emissivity' || quantity === 'areaFactor' || quantity === 'contactFactor'
      ? [{ key: quantity, fitted, over: 1 }]
      : [];
  });
  const contact = contactOfOneKind(fit, own, notes);
  if (contact !== null) carried.push(contact);
  if (fit.values.exhaustRise !== undefined) {
    notes.push('The uncertainty of the exhaust rise is in fit.json only: a study does not vary it.');
  }
  const uncertain = { ...own };
  for (const one of carried) {
    const before = own[one.key];
    if (before !== undefined)
      notes.push(`uncertain.${one.key} of the study (${String(before.distribution)}) gives way to the fit's.`);
    uncertain[one.key] = distributionOf(one);
  }
  const replaced = carried.map(({ key }) => key);
  const held = HELD_BY_FIT.filter((key) => !replaced.includes(key) && (own[key]?.distribution ?? 'fixed') !== 'fixed');
  if (held.length > 0) {
    notes.push(
      `The study still varies ${held.join(', ')}, which the fit held at what the files say, so that their doubt is in the fitted values ` +
        'as well: fit them too where the readings allow, or make them "fixed" in study.json.',
    );
  }
  const kept = ((study.correlations ?? []) as { between: string[] }[]).filter(
    ({ between }) => !between.some((key) => replaced.includes(key)),
  );
  if (kept.length < ((study.correlations ?? []) as unknown[]).length)
    notes.push('Rank correlations of the study with a fitted quantity are left out.');
  return { uncertain, correlations: [...kept, ...correlationsOf(fit, carried, uncertain)], replaced, notes };
}

/** Contacts of sources or loads alone: the catalogue has their values, and the factor on all contacts their uncertainty. */
function contactOfOneKind(fit: HeatRunFit, own: Record<string, JsonObject>, notes: string[]): Carried | null {
  const parts = fit.quantities.filter(({ quantity }) => quantity === 'sourceContact' || quantity === 'loadContact');
  for (const { quantity } of parts) {
    const key = quantity === 'sourceContact' ? 'sourceContactMicroOhm' : 'loadContactMicroOhm';
    if (own[key] !== undefined) {
      notes.push(
        `The study draws its contacts from uncertain.${key}, not from the calibrated catalogue: multiply that distribution by ` +
          `the ${QUANTITY_TRAITS[quantity].words}, or leave it out.`,
      );
    }
  }
  const known = parts.filter(({ standardError }) => standardError !== null);
  if (known.length === 0) return null;
  if (own.contactFactor !== undefined) {
    notes.push(
      'uncertain.contactFactor stays as the study has it; the uncertainty of the fitted contacts is in fit.json only.',
    );
    return null;
  }
  const relative = ({ standardError, value }: FittedQuantity) => (standardError ?? 0) / value;
  const widest = known.reduce((best, one) => (relative(one) > relative(best) ? one : best));
  notes.push(
    `uncertain.contactFactor carries the uncertainty of the ${QUANTITY_TRAITS[widest.quantity].words} to all contacts: ` +
      'a study has no factor for one kind alone.',
  );
  return { key: 'contactFactor', fitted: widest, over: widest.value };
}

function distributionOf({ fitted, over }: Carried): JsonObject {
  const { value, standardError, quantity } = fitted;
  const mean = value / over;
  const sd = (standardError ?? 0) / over;
  if (sd <= EXACT * mean) return { distribution: 'fixed', value: mean };
  const { lowest, highest } = QUANTITY_TRAITS[quantity];
  return {
    distribution: 'normal',
    mean,
    sd,
    min: Math.max(mean - REACH * sd, lowest / over),
    max: Math.min(mean + REACH * sd, highest / over),
  };
}

function correlationsOf(
  { free, correlation }: HeatRunFit,
  carried: readonly Carried[],
  uncertain: Record<string, JsonObject>,
): JsonObject[] {
  const varying = carried.filter(({ key }) => uncertain[key].distribution === 'normal');
  const at = (quantity: FitQuantity) => free.indexOf(quantity);
  return varying.flatMap((one, k) =>
    varying.slice(k + 1).map((other) => ({
      between: [one.key, other.key],
      rank: rankOfPearson(correlation[at(one.fitted.quantity)][at(other.fitted.quantity)]),
    })),
  );
}
