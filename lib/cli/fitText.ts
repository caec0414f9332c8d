/** A calibration in words and compact tables for a terminal. */
import {
  FIT_CAUTION,
  fitWarnings,
  type HeatRunFit,
  QUANTITY_TRAITS,
  type ReadingFit,
  suspicionWords,
} from '../calibrate/index.js';
import { ZERO_CELSIUS } from '../rack/index.js';
import { plainText, textTable } from './textTable.js';

/** Residuals shown; all are in fit.json. */
const SHOWN = 10;

export function fitText(fit: HeatRunFit, rack: string, notes: readonly string[]): string {
  const suspicions = suspicionWords(fit);
  return [
    `Rack ${plainText(rack)} fitted to ${count(fit.readings.filter(({ use }) => use === 'fitted').length, 'reading')} ` +
      `at ${count(new Set(fit.readings.map(({ point }) => point)).size, 'operating point')}`,
    textTable(
      ['quantity', 'files say', 'fitted', '± standard error', '95% from', 'to'],
      fit.quantities.map(({ quantity, before, value, standardError, interval, atBound }) => {
        const { words, unit } = QUANTITY_TRAITS[quantity];
        const digits = digitsFor(standardError, value);
        const shown = (number: number) => number.toFixed(digits);
        return [
          unit === '' ? words : `${words}, ${unit}`,
          shown(before),
          shown(value),
          standardError === null ? `at its ${atBound} bound` : shown(standardError),
          interval === null ? '' : shown(interval[0]),
          interval === null ? '' : shown(interval[1]),
        ];
      }),
    ),
    '',
    scatterWords(fit),
    ...(fit.free.length < 2 ? [] : [`Correlations: ${correlationWords(fit)}.`]),
    '',
    `Residuals, worst first (${Math.min(SHOWN, fit.readings.length)} of ${fit.readings.length}; all in fit.json)`,
    residualTable(fit.readings),
    '',
    ...(suspicions.length === 0
      ? ['No reading stands out, and no two sensors look exchanged.']
      : ['SUSPICIONS', ...suspicions.map(line)]),
    '',
    'Read this before using it',
    ...[...fitWarnings(fit), ...notes].map(line),
    '',
    FIT_CAUTION,
  ].join('\n');
}

const line = (words: string) => `  ${plainText(words)}`;

function count(number: number, word: string): string {
  return `${number} ${word}${number === 1 ? '' : 's'}`;
}

/** Decimals that show two digits of the standard error. */
function digitsFor(standardError: number | null, value: number): number {
  const size = standardError !== null && standardError > 0 ? standardError : Math.max(Math.abs(value), 1e-6) / 1000;
  return Math.min(8, Math.max(2, 1 - Math.floor(Math.log10(size))));
}

function scatterWords({
  scatter,
  degreesOfFreedom,
  reducedChiSquare,
  expectedReducedChiSquare: range,
  missing,
  dropped,
}: HeatRunFit): string {
  const words = [
    `Scatter ${scatter.toFixed(2)} K with ${degreesOfFreedom} degrees of freedom`,
    ...(range === null
      ? ['no standard errors given: all readings count alike']
      : [
          `reduced chi-square ${reducedChiSquare.toFixed(2)} (${range[0].toFixed(2)} to ${range[1].toFixed(2)} expected)`,
        ]),
    ...(missing.length === 0
      ? []
      : [`${missing.length} missing: ${missing.map(({ sensor, point }) => `${sensor} at "${point}"`).join(', ')}`]),
    ...(dropped.length === 0 ? [] : [`left out: ${dropped.join(', ')}`]),
  ];
  return plainText(`${words.join('; ')}.`);
}

function correlationWords({ free, correlation }: HeatRunFit): string {
  return free
    .flatMap((quantity, k) =>
      free
        .slice(k + 1)
        .map(
          (other, l) =>
            `${QUANTITY_TRAITS[quantity].words} and ${QUANTITY_TRAITS[other].words} ${correlation[k][k + 1 + l].toFixed(2)}`,
        ),
    )
    .join('; ');
}

function residualTable(readings: readonly ReadingFit[]): string {
  const celsius = (kelvin: number) => (kelvin - ZERO_CELSIUS).toFixed(2);
  const rows = readings
    .filter(({ residual }) => residual !== null)
    .sort((a, b) => Math.abs(b.residual ?? 0) - Math.abs(a.residual ?? 0))
    .slice(0, SHOWN)
    .map(({ point, sensor, place, slot, pole, measured, expected, residual, studentised, use }) => [
      plainText(sensor),
      plainText(point),
      String(slot),
      place === 'air' ? 'air' : pole === 0 ? 'supply' : 'return',
      celsius(measured ?? 0),
      celsius(expected),
      signed(residual ?? 0),
      studentised === null ? '' : signed(studentised),
      use,
    ]);
  return textTable(
    ['sensor', 'point', 'slot', 'pole', 'measured °C', 'model °C', 'residual K', 'studentised', 'use'],
    rows,
  );
}

function signed(value: number): string {
  return `${value >= 0 ? '+' : ''}${value.toFixed(2)}`;
}
