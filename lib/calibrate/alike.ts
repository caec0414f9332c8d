/** Which quantities the readings cannot tell apart. */
import type { LinearFit } from './linearFit.js';
import { type FitQuantity, QUANTITY_TRAITS } from './quantities.js';

/** From here on a dependency among columns is strong (Belsley, Kuh & Welsch 1980, Regression diagnostics; from memory). */
export const CONDITION_BOUND = 30;
/** The same for two quantities by themselves. Common practice, no published source. */
export const CORRELATION_BOUND = 0.95;
/** Beyond this the difference is rounding: nothing is known of the quantities one by one. */
export const HOPELESS_CONDITION = 1e5;
/** Share of its variance from which a quantity takes part in a dependency (Belsley, Kuh & Welsch). */
const TAKES_PART = 0.5;

export interface Alike {
  readonly quantities: readonly FitQuantity[];
  /** Of the dependency, or null where only the correlation shows it. */
  readonly conditionIndex: number | null;
  /** Of two quantities; null for more. */
  readonly correlation: number | null;
  readonly words: string;
}

/** Groups of quantities that act alike on the readings. */
export function alikeQuantities(
  quantities: readonly FitQuantity[],
  { conditionIndex, varianceShare }: LinearFit,
  correlation: readonly (readonly number[])[],
): Alike[] {
  const found: Alike[] = [];
  const known = new Set<string>();
  const add = (members: readonly number[], index: number | null): void => {
    const names = members.map((k) => quantities[k]);
    const pair = members.length === 2 ? correlation[members[0]][members[1]] : null;
    if (members.length < 2 || known.has(names.join(' '))) return;
    known.add(names.join(' '));
    found.push({ quantities: names, conditionIndex: index, correlation: pair, words: wordsOf(names, index, pair) });
  };
  for (let j = conditionIndex.length - 1; j > 0; j--) {
    if (conditionIndex[j] < CONDITION_BOUND) continue;
    add(
      quantities.map((_, k) => k).filter((k) => varianceShare[j][k] > TAKES_PART),
      conditionIndex[j],
    );
  }
  quantities.forEach((_, k) => {
    for (let l = k + 1; l < quantities.length; l++)
      if (Math.abs(correlation[k][l]) >= CORRELATION_BOUND) add([k, l], null);
  });
  return found;
}

function wordsOf(quantities: readonly FitQuantity[], index: number | null, correlation: number | null): string {
  const names = listed(quantities);
  const shown = [
    ...(index === null ? [] : [`condition index ${index.toPrecision(3)}, bound ${CONDITION_BOUND}`]),
    ...(correlation === null ? [] : [`correlation ${correlation.toFixed(3)}, bound ${CORRELATION_BOUND}`]),
  ];
  return `The readings hardly tell ${names} apart (${shown.join('; ')}): what they do together is known, not each by itself.`;
}

/** `film factor and emissivity`. */
export function listed(quantities: readonly FitQuantity[]): string {
  const words = quantities.map((quantity) => QUANTITY_TRAITS[quantity].words);
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words[words.length - 1]}`;
}
