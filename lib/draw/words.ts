/** A whole number or an approximate large one, for people: `135,751`, `about 1.23e+20`. */
export function countInWords(count: number): string {
  return count < 2 ** 53 ? count.toLocaleString('en-US') : `about ${count.toPrecision(3)}`;
}

/** W as kW with up to four significant digits. */
export function kilowatts(power: number): string {
  return `${Number((power / 1000).toPrecision(4))} kW`;
}

/** `1 slot`, `2 slots`. */
export function plural(count: number, word: string): string {
  return `${countInWords(count)} ${word}${count === 1 ? '' : 's'}`;
}
