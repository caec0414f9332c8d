import type { PercentileRow } from '../study/index.js';
import { formatLevel, formatNumber } from './numberFormat.js';

/**
 * A percentile of rated power spelled out, without a full stop.
 * @example percentileWords({ percent: 1, ratedKw: 122.67 }, 1)
 * // '1 % of scenarios fall below 122.7 kW, 99 % carry more'
 */
export function percentileWords(row: Pick<PercentileRow, 'percent' | 'ratedKw'>, decimals: number): string {
  const { percent, ratedKw } = row;
  const kw = `${formatNumber(ratedKw, decimals)} kW`;
  if (ratedKw === 0) return `at least ${formatLevel(percent)} % of scenarios carry no load at all (rated power 0 kW)`;
  if (percent === 0) return `no scenario of the sample falls below ${kw}`;
  if (percent === 100) return `no scenario of the sample carries more than ${kw}`;
  return `${formatLevel(percent)} % of scenarios fall below ${kw}, ${formatLevel(100 - percent)} % carry more`;
}

/** The interval of a percentile in words: `95 % confidence: 121.1 to 124.3 kW`, or why there is none. */
export function intervalWords(row: PercentileRow, confidencePercent: number, decimals: number): string {
  if (row.lowerKw === null || row.upperKw === null) {
    return row.note === null ? 'no interval' : `no interval: ${row.note}`;
  }
  const [lower, upper] = [row.lowerKw, row.upperKw].map((kw) => formatNumber(kw, decimals));
  return `${formatLevel(confidencePercent)} % confidence: ${lower} to ${upper} kW`;
}

/**
 * The percentile to put first: the one nearest to 1 % among those with an interval, or among all where none has one;
 * null where no percentile was asked for.
 */
export function leadingPercentile(rows: readonly PercentileRow[]): PercentileRow | null {
  const bounded = rows.filter((row) => row.lowerKw !== null);
  const distance = ({ percent }: PercentileRow) => Math.abs(percent - 1);
  return (bounded.length > 0 ? bounded : rows).reduce<PercentileRow | null>(
    (best, row) => (best === null || distance(row) < distance(best) ? row : best), null);
}

/** At most `most` (≥ 2) of many rows: all, or a choice spread evenly over them with the first and the last. */
export function spreadChoice<Row>(rows: readonly Row[], most: number): readonly Row[] {
  if (rows.length <= most) return rows;
  return Array.from({ length: most }, (_, i) => rows[Math.round((i * (rows.length - 1)) / (most - 1))]);
}
