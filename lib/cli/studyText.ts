/** The result of a study in words and compact tables for a terminal. */
import { bindingWords } from '../figure/index.js';
import { LIMIT_WORDS } from '../ladder/index.js';
import type { PercentileRow, ScenarioSummary, Summary } from '../study/index.js';
import { plainText, textTable } from './textTable.js';

export function studyText(summary: Summary): string {
  const { study, rack } = summary;
  const parts = [
    `Study "${plainText(study.name)}" of rack "${plainText(rack.name)}" (${rack.slotCount} slots, conductors ${rack.copperKg.toFixed(1)} kg)`,
    `${study.scenariosRated} scenarios rated, seed ${plainText(study.seed)}, sampling ${study.sampling}`,
    ...(study.stopping === null ? [] : [`Stopping rule: ${study.stopping}`]),
    ...notRatedText(summary),
    ...thermalWarning(summary),
    '',
    `Rated power, kW. A percentile is the power that this share of scenarios falls below; the rest carry more.`,
    ...(summary.percentiles.length === 0 ? [] : [percentileTable(summary.percentiles, study.confidencePercent)]),
    ...summary.percentilesRefused.map(({ percent, leastScenarios }) => `The ${digits(percent)} % percentile is refused: it lies `
      + `beyond the ends of ${study.scenariosRun} scenarios; at least ${leastScenarios} are needed, and more for an interval.`),
    ...summary.toleranceBounds.filter((row) => row.boundKw !== null).map((row) =>
      `At least ${digits(row.exceededByPercent)} % of scenarios carry ${row.boundKw?.toFixed(1)} kW, with `
      + `${digits(row.confidencePercent)} % confidence.`),
    '',
    'What binds',
    textTable(
      ['limit', 'scenarios', 'share'],
      summary.limits.map((row) => [LIMIT_WORDS[row.limit], String(row.count), `${row.sharePercent.toFixed(1)}%`]),
    ),
    '',
    `Ten lowest of the sample (bottom slot left; S power shelf, B battery shelf, 1-9 load by power per slot, . empty)`,
    worstTable(summary.worst),
    '',
    `The lowest found (${summary.lowestKw.toFixed(1)} kW) is only the worst of this sample: a worse placement may exist,`,
    'and no floor is proven by sampling.',
    '',
    'Screening calculation: prove a rating by a temperature-rise test to the standard that applies. Energised busbars and',
    'fault currents can kill or burn; local codes and licensed practice decide.',
  ];
  return parts.join('\n');
}

function percentileTable(rows: readonly PercentileRow[], confidencePercent: number): string {
  const cells = rows.map((row) => [
    `${digits(row.percent)}%`,
    row.ratedKw.toFixed(1),
    row.lowerKw === null ? '' : row.lowerKw.toFixed(1),
    row.upperKw === null ? '' : row.upperKw.toFixed(1),
    row.note ?? '',
  ]);
  const header = ['percentile', 'kW', `${digits(confidencePercent)}% from`, 'to', 'note'];
  if (cells.every((row) => row[4] === '')) return textTable(header.slice(0, 4), cells.map((row) => row.slice(0, 4)));
  return textTable(header, cells);
}

function worstTable(rows: readonly ScenarioSummary[]): string {
  return textTable(
    ['kW', 'scenario', 'placement', 'binds'],
    rows.map((row) => [row.ratedKw.toFixed(1), String(row.index), row.picture, bindingWords(row)]),
  );
}

function thermalWarning({ rack }: Summary): string[] {
  const thermal = ['barRiseK', 'barC', 'contactC'].some((key) => key in rack.limits);
  return thermal ? [] : ['', 'WARNING: the rack file sets no limit on bar rise, bar or contact temperature.'];
}

function notRatedText(summary: Summary): string[] {
  const { count, sharePercent, indices, reasons, mostPercent, isTooMany } = summary.notRated;
  if (count === 0) return [];
  return [
    '',
    `WARNING: ${count} scenarios (${digits(sharePercent)} %) could not be rated; they count as 0 kW below. The first, `
      + `scenario ${indices[0]}: ${plainText(reasons[0])}`,
    ...(isTooMany ? [`FAILED: the study allows ${digits(mostPercent)} % (mostNotRatedPercent). No number below may be used.`] : []),
  ];
}

function digits(value: number): string {
  return String(Number(value.toPrecision(6)));
}
