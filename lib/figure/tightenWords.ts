import type { SensitivityDocument } from '../study/index.js';
import { formatLevel, formatNumber } from './numberFormat.js';

/**
 * Which tolerance to tighten first, as far as the sample can tell, in a sentence or two; null where there is no tolerance.
 * @example 'Tighten first: film factor. Halving its spread changes the 1 % percentile by +1.73 kW, removing it by +2.08 kW.'
 */
export function tightenWords({ tolerances, percentile }: Pick<SensitivityDocument, 'tolerances' | 'percentile'>): string | null {
  if (tolerances.length === 0) return null;
  const [first, ...others] = tolerances;
  const p = `${formatLevel(percentile.percent)} % percentile`;
  if (first.halved.lowerKw <= 0) {
    return 'This sample cannot tell which tolerance to tighten first: the largest change by halving one, '
      + `${signedKw(first.halved.changeKw)} of the ${p} by ${first.words}, may be nothing; more samples can.`;
  }
  const rivals = others.filter(({ behindFirst }) => behindFirst !== null && behindFirst.lowerKw <= 0).map(({ words }) => words);
  return `Tighten first: ${first.words}. Halving its spread changes the ${p} by ${signedKw(first.halved.changeKw)}, removing it `
    + `by ${signedKw(first.removed.changeKw)}.${rivals.length === 0 ? ''
      : ` This sample cannot tell that from the gain by ${listed(rivals)}; more samples can.`}`;
}

function signedKw(kilowatts: number): string {
  return `${kilowatts > 0 ? '+' : ''}${formatNumber(kilowatts, 2)} kW`;
}

function listed(words: readonly string[]): string {
  return words.length === 1 ? words[0] : `${words.slice(0, -1).join(', ')} or ${words[words.length - 1]}`;
}
