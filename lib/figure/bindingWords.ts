import { describeState, LIMIT_WORDS, type LimitName } from '../ladder/index.js';
import type { OperatingStateRule } from '../rack/index.js';

/** What a placement is limited by, as a summary or a replay says it. */
export interface BindingPlace {
  readonly limit: LimitName;
  readonly slot: number;
  readonly pole: 'supply' | 'return' | 'both';
  readonly state: OperatingStateRule;
  readonly outSlot: number;
}

/**
 * A binding limit in words; the operating state is named unless every source is in service.
 * @example bindingWords(binding) // 'contact temperature at slot 42, return pole (state: source at slot 7 out)'
 */
export function bindingWords({ limit, slot, pole, state, outSlot }: BindingPlace): string {
  const place = slot > 0 ? ` at slot ${slot}` : '';
  const side = pole === 'both' ? '' : `, ${pole} pole`;
  const when = state === 'all-in-service' ? '' : ` (state: ${describeState({ rule: state, outSlot })})`;
  return `${LIMIT_WORDS[limit]}${place}${side}${when}`;
}

/** First letter in upper case, for the start of a sentence. */
export function sentenceCase(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
