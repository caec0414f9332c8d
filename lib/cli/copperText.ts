/** A copper study in compact tables for a terminal. */
import {
  type CopperDocument, copperNotes, type CopperRow, copperWarnings, leastWords, tippingWords,
} from '../study/index.js';
import { plainText, textTable } from './textTable.js';

export function copperText(copper: CopperDocument): string {
  const { study, rack, percentilePercent, currency, least } = copper;
  const tipping = tippingWords(copper);
  const warnings = copperWarnings(copper);
  return [
    `Copper study "${plainText(copper.name)}": ${copper.designs.length} bars for rack "${plainText(rack.name)}"`,
    `Study "${plainText(study.name)}", ${study.scenarios} scenarios, seed ${plainText(study.seed)}`,
    '',
    ...copperNotes(copper).map(lines),
    '',
    designTable(copper.designs, percentilePercent, currency),
    '',
    ...warnings.map(lines), ...(warnings.length > 0 ? [''] : []),
    ...(least === null ? [] : [...leastWords(least, currency, percentilePercent).map(lines), '']),
    ...(tipping === null ? [] : [lines(tipping), '']),
    'Screening calculation: prove a rating by a temperature-rise test to the standard that applies. Energised busbars and',
    'fault currents can kill or burn; local codes and licensed practice decide. Joints, supports and short-circuit forces of',
    'a bar, and the anchoring of a rack, are for those who answer for them.',
  ].join('\n');
}

/** Columns of a terminal that a sentence takes. */
const WIDTH = 118;

/** A sentence in lines that a terminal shows whole. */
function lines(sentence: string): string {
  return plainText(sentence).split(' ').reduce((text, word) => {
    const last = text.slice(text.lastIndexOf('\n') + 1);
    return `${text}${last.length + 1 + word.length > WIDTH ? '\n' : ' '}${word}`;
  });
}

function designTable(rows: readonly CopperRow[], percentilePercent: number, currency: string | null): string {
  const has = (pick: (row: CopperRow) => unknown) => rows.some((row) => pick(row) !== null);
  const columns: readonly (readonly [string, (row: CopperRow) => string, boolean])[] = [
    ['front', ({ onFront, mark }) => (onFront ? `* ${mark ?? ''}`.trim() : ''), true],
    ['bar', ({ name }) => plainText(name), true],
    ['kg', ({ copperKg }) => copperKg.toFixed(1), true],
    [plainText(currency ?? 'price'), ({ price }) => (price === null ? '' : price.toFixed(0)), has(({ price }) => price)],
    [`${percentilePercent}% kW`, ({ ratedKw }) => ratedKw.toFixed(1), true],
    ['from', ({ lowerKw }) => kw(lowerKw), has(({ lowerKw }) => lowerKw)],
    ['to', ({ upperKw }) => kw(upperKw), has(({ upperKw }) => upperKw)],
    ['less base kW', ({ differenceKw }) => signed(differenceKw), has(({ differenceKw }) => differenceKw)],
    ['from', ({ differenceLowerKw }) => signed(differenceLowerKw), has(({ differenceKw }) => differenceKw)],
    ['to', ({ differenceUpperKw }) => signed(differenceUpperKw), has(({ differenceKw }) => differenceKw)],
    ['floor kW', floorText, has(({ floorKw }) => floorKw)],
    ['drop mV', ({ dropHighMv }) => whole(dropHighMv), true],
    ['largest', ({ dropLargestMv }) => whole(dropLargestMv), true],
    ['heat W', ({ barHeatW }) => whole(barHeatW), true],
    ['tips °', ({ tipping }) => (tipping === null ? '' : tipping.angleDegrees.toFixed(2)), has(({ tipping }) => tipping)],
  ];
  const shown = columns.filter(([, , isShown]) => isShown);
  return textTable(shown.map(([head]) => head), rows.map((row) => shown.map(([, cell]) => cell(row))));
}

const kw = (value: number | null) => (value === null ? '' : value.toFixed(1));
const whole = (value: number | null) => (value === null ? '' : value.toFixed(0));

/** Down: what is proven may not read higher than it is. `+`: not settled. */
function floorText({ floorKw, floorSettled }: CopperRow): string {
  return floorKw === null ? '' : `${(Math.floor(floorKw * 10) / 10).toFixed(1)}${floorSettled === true ? '' : '+'}`;
}

function signed(value: number | null): string {
  if (value === null) return '';
  const text = value.toFixed(2);
  return value > 0 && /[1-9]/.test(text) ? `+${text}` : text;
}
