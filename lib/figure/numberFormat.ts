/**
 * One way to write numbers: decimal point, comma between thousands, a real minus sign, no negative zero.
 */

/**
 * `value` with a fixed number of decimals.
 * @throws RangeError for a value that is not finite
 * @example formatNumber(-1234.56, 1) // '−1,234.6'
 */
export function formatNumber(value: number, decimals: number): string {
  if (!Number.isFinite(value)) throw new RangeError(`${value} cannot be written as a number; it must be finite`);
  const text = formatOf(decimals, decimals).format(Math.abs(value));
  return value < 0 && /[1-9]/.test(text) ? `−${text}` : text;
}

/**
 * Decimals (1 to 3) at which kW values between `lowest` and `highest` can be told apart: the last digit is at most a
 * twentieth of the spread, so that racks whose placements hardly differ do not read as one and the same number.
 * @example kilowattDecimals(85, 164) // 1
 * @example kilowattDecimals(29.961, 29.98) // 3
 */
export function kilowattDecimals(lowest: number, highest: number): number {
  const spread = highest - lowest;
  return spread > 0 ? Math.min(3, Math.max(1, Math.ceil(-Math.log10(spread / 20)))) : 1;
}

/** A percentile or a confidence as it was asked for: no digits added, none dropped. `0.1`, `99.9`, `95`. */
export function formatLevel(percent: number): string {
  return formatOf(0, 9).format(Number(percent.toPrecision(9)));
}

const formats = new Map<string, Intl.NumberFormat>();

/** Made once each: to make one takes longer than to write a hundred numbers. */
function formatOf(least: number, most: number): Intl.NumberFormat {
  const key = `${least} ${most}`;
  let format = formats.get(key);
  if (format === undefined) {
    format = new Intl.NumberFormat('en-US', { minimumFractionDigits: least, maximumFractionDigits: most });
    formats.set(key, format);
  }
  return format;
}

/** A share in per cent: one decimal, two beyond 1 and 99, so that rare does not read as never. */
export function formatShare(percent: number): string {
  const edge = (percent > 0 && percent < 1) || (percent > 99 && percent < 100);
  return formatNumber(percent, edge ? 2 : percent === 0 || percent === 100 ? 0 : 1);
}

/** A whole number: `10,000`. */
export function formatCount(count: number): string {
  return formatNumber(count, 0);
}

/** `1 scenario`, `2 scenarios`, `3 shelves`. */
export function countOf(count: number, word: string, many = `${word}s`): string {
  return `${formatCount(count)} ${count === 1 ? word : many}`;
}

/** How far `other` lies below what is shown: `2.5 K less than shown`. */
export function lessWords(shown: number, other: number, decimals: number, unit: string): string {
  const difference = formatNumber(Math.abs(shown - other), decimals);
  if (!/[1-9]/.test(difference)) return 'as much as shown';
  return `${difference} ${unit} ${other < shown ? 'less' : 'more'} than shown`;
}
