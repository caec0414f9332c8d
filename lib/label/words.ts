/** Numbers and sentences of the label decision, for people. Powers in W. */
import { countInWords } from '../draw/words.js';
import type { ToleranceRanges } from '../worst/toleranceRanges.js';

/** Said wherever a label is shown. */
export const LABEL_CAUTION = 'Screening model: a label stands only after a temperature-rise test of the built rack. '
  + 'Busbars are energised and deliver large fault currents; short circuits and hot copper burn. '
  + 'Local codes and licensed practice decide.';

/** What a percentile is, said beside every label that rests on one. */
export const PERCENTILE_CAUTION = 'A low percentile of rated power is a low number, which most scenarios exceed';

/** A label in kW with every digit it has: `104 kW`, `104.5 kW`. */
export function labelKilowatts(label: number): string {
  return `${Number((label / 1e3).toPrecision(9)).toLocaleString('en-US', { maximumFractionDigits: 9 })} kW`;
}

/** A power in kW, rounded down to the watt, so that 99,999.9 W never reads as 100 kW. */
export function kilowattsDown(power: number): string {
  return `${(Math.floor(power) / 1e3).toLocaleString('en-US', { maximumFractionDigits: 3 })} kW`;
}

/** A fraction as per cent with three significant digits: `0.6 %`, `4.95 %`; never 0 or 100 for what is neither. */
export function percentOf(fraction: number): string {
  const percent = 100 * fraction;
  const shown = Number(percent.toPrecision(3));
  return `${shown === 100 && percent < 100 ? 'more than 99.9' : shown} %`;
}

/** A percentage as it was asked for: `99 %`. */
export function percentAsked(percent: number): string {
  return `${Number(percent.toPrecision(9))} %`;
}

/** `12 of 2,000 scenarios (0.6 %)`; `none of 59 scenarios`. */
export function countOfScenarios(count: number, scenarios: number): string {
  const all = `${countInWords(scenarios)} scenario${scenarios === 1 ? '' : 's'}`;
  if (count === 0) return `none of ${all}`;
  return `${countInWords(count)} of ${all} (${percentOf(count / scenarios)})`;
}

/** What a floor or a worst placement takes for granted, without a full stop. */
export function rangesWords({ coverPercent }: ToleranceRanges): string {
  return coverPercent === null
    ? 'with every uncertain quantity as in the files'
    : `with every uncertain quantity inside the range that covers ${percentAsked(coverPercent)} of its distribution`;
}
