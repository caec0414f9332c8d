/** A sensitivity study in words and compact tables for a terminal. */
import { tightenWords } from '../figure/index.js';
import type { SensitivityDocument } from '../study/index.js';
import { plainText, textTable } from './textTable.js';

/** Scenarios beyond the percentile, on its thinner side, under which what is said of it is rough. */
const FEW_BEYOND = 40;

type Factor = SensitivityDocument['factors'][number];
type Gain = SensitivityDocument['allTolerances']['halved'];

export function sensitivityText(found: SensitivityDocument): string {
  const { study, rack, percentile, factors } = found;
  const p = `${digits(percentile.percent)} %`;
  const confidence = `${digits(found.confidencePercent)} %`;
  return [
    `Sensitivity of study "${plainText(study.name)}" of rack "${plainText(rack.name)}"`,
    `${count(found.samples)} rows, ${count(found.ratings)} ratings, seed ${plainText(study.seed)}`,
    ...warnings(found),
    '',
    `Mean rated power ${found.meanKw.toFixed(1)} kW, standard deviation ${found.standardDeviationKw.toFixed(1)} kW.`,
    `${p} of scenarios fall below ${percentile.ratedKw.toFixed(1)} kW${
      percentile.lowerKw === null || percentile.upperKw === null
        ? ''
        : ` (${confidence} interval ${percentile.lowerKw.toFixed(1)} to ${percentile.upperKw.toFixed(1)} kW)`
    }; the rest carry more.`,
    '',
    ...spreadLines(factors, found.notes.power),
    textTable(
      [
        'per cent of the variance',
        'alone',
        'in all',
        `falls below ${found.below.thresholdKw.toFixed(1)} kW: alone`,
        'in all',
      ],
      sortedByTotal(factors).map(({ words, power, below }) => [
        words,
        share(power, 'first'),
        share(power, 'total'),
        share(below, 'first'),
        share(below, 'total'),
      ]),
    ),
    'Alone: the part that goes where only this is fixed. In all: with what it does together with others, so that these may',
    `add up to more than 100 %. In brackets ${confidence} intervals; an estimate of nothing may come out a little below 0.`,
    ...(found.notes.below === null || found.notes.below === found.notes.power
      ? []
      : [`Falling below: ${found.notes.below}.`]),
    '',
    ...tightenLines(found),
    '',
    ...rankLines(found),
    "Chance under the study's law, not a bound: `slotcast worst` searches for the worst placement and proves a floor.",
    'Screening calculation: prove a rating by a temperature-rise test to the standard that applies. Energised busbars and',
    'fault currents can kill or burn; local codes and licensed practice decide.',
  ].join('\n');
}

function warnings({ notRated, below, notes, percentile }: SensitivityDocument): string[] {
  const { base, basePercent, ratings, first, isTooMany, mostPercent } = notRated;
  const beyond = Math.min(below.scenarios, below.of - below.scenarios);
  const lines: string[] = [];
  if (ratings > 0) {
    lines.push(
      `WARNING: ${count(ratings)} ratings failed, ${count(base)} of them of base scenarios (${digits(basePercent)} %); they `
        + `count as 0 kW below. The first, row ${first[0].row} of ${first[0].scenario}: ${plainText(first[0].reason)}`,
    );
  }
  if (isTooMany) {
    lines.push(`FAILED: the study allows ${digits(mostPercent)} % (mostNotRatedPercent). No number below may be used.`);
  }
  if (notes.below === null && beyond < FEW_BEYOND) {
    lines.push(
      `WARNING: only ${beyond} of ${count(below.of)} scenarios lie beyond the ${digits(percentile.percent)} % percentile: what `
        + 'is said of it is rough; give more --samples.',
    );
  }
  return lines.length === 0 ? [] : ['', ...lines];
}

function spreadLines(factors: readonly Factor[], note: string | null): string[] {
  if (note !== null) return [`No parts of the spread: ${note}.`];
  const parts = sortedByTotal(factors)
    .map(({ words, power }) => ({ words, percent: power?.firstPercent ?? 0 }))
    .filter(({ percent }) => percent >= 1);
  const rest = 100 - parts.reduce((sum, { percent }) => sum + percent, 0);
  return [
    `What the spread is made of: ${parts.map(({ words, percent }) => `${words} ${percent.toFixed(0)} %`).join(', ')}` +
      `${rest >= 1 ? `, the rest and what they do together ${rest.toFixed(0)} %` : ''}.`,
    ...(factors[0].name === 'placement'
      ? [
          'Rules of placement act on the part of placement (see candidateRules and `slotcast label`), tighter tolerances on',
          'the others.',
        ]
      : []),
  ];
}

/** Rank correlations, for the direction in which each quantity acts. */
function rankLines({ rankCorrelations, factors, below, confidencePercent }: SensitivityDocument): string[] {
  if (rankCorrelations.length === 0) return [];
  const wordsOf = (quantity: string) => factors.find(({ name }) => name === quantity)?.words ?? quantity;
  const rank = ({ coefficient, lower, upper }: SensitivityDocument['rankCorrelations'][number]['below']) =>
    coefficient === null || lower === null || upper === null
      ? ''
      : `${two(coefficient).padStart(5)} (${two(lower)} to ${two(upper)})`;
  return [
    textTable(
      ['rank correlation', 'with the rated power', `with falling below ${below.thresholdKw.toFixed(1)} kW`],
      rankCorrelations.map((row) => [wordsOf(row.quantity), rank(row), rank(row.below)]),
    ),
    `Spearman; ${digits(confidencePercent)} % intervals in brackets. Falling below counts against a quantity where it is positive.`,
    '',
  ];
}

function tightenLines(found: SensitivityDocument): string[] {
  const { tolerances, allTolerances, percentile, confidencePercent } = found;
  const finding = tightenWords(found);
  if (finding === null) return ['No uncertain quantity varies: there is no tolerance to tighten.'];
  const p = `${digits(percentile.percent)} % percentile`;
  return [
    finding,
    textTable(
      [`${p}, kW`, 'spread halved', 'no spread', 'all values shifted', 'changes it by'],
      [
        ...tolerances.map(({ words, halved, removed, perUnit }) => [
          words,
          gain(halved),
          gain(removed),
          perUnit === null ? '' : `by +${perUnit.unit}`,
          perUnit === null ? '' : gain(perUnit),
        ]),
        ['all of them together', gain(allTolerances.halved), gain(allTolerances.removed), '', ''],
      ],
    ),
    'Same scenarios with and without each change, values kept about their median; '
      + `${digits(confidencePercent)} % intervals in brackets.`,
  ];
}

function sortedByTotal(factors: readonly Factor[]): Factor[] {
  return [...factors].sort((one, other) => (other.power?.totalPercent ?? 0) - (one.power?.totalPercent ?? 0));
}

function share(shares: Factor['power'], order: 'first' | 'total'): string {
  if (shares === null) return '';
  const [value, lower, upper] =
    order === 'first'
      ? [shares.firstPercent, shares.firstLowerPercent, shares.firstUpperPercent]
      : [shares.totalPercent, shares.totalLowerPercent, shares.totalUpperPercent];
  return `${one(value).padStart(5)} (${one(lower)} to ${one(upper)})`;
}

function gain({ changeKw, lowerKw, upperKw }: Gain): string {
  return `${kw(changeKw)} (${kw(lowerKw)} to ${kw(upperKw)})`;
}

/** With its sign; 0 has none. */
function kw(value: number): string {
  const text = value.toFixed(2);
  return Number(text) > 0 ? `+${text}` : Number(text) === 0 ? '0.00' : text;
}

/** No negative zero. */
function one(percent: number): string {
  const text = percent.toFixed(1);
  return text === '-0.0' ? '0.0' : text;
}

function two(coefficient: number): string {
  const text = coefficient.toFixed(2);
  return text === '-0.00' ? '0.00' : text;
}

function count(value: number): string {
  return value.toLocaleString('en-GB');
}

function digits(value: number): string {
  return String(Number(value.toPrecision(6)));
}
