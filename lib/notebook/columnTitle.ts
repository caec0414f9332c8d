/** Units at the end of a column's name, longest first, and how people write them. */
const UNITS: readonly (readonly [string, string])[] = [
  ['MicroOhm', 'µΩ'], ['Percent', '%'], ['Degrees', '°'], ['Slots', 'slots'], ['Kw', 'kW'],
  ['Mm', 'mm'], ['Mv', 'mV'], ['Kg', 'kg'], ['C', '°C'], ['K', 'K'], ['A', 'A'], ['V', 'V'], ['W', 'W'], ['S', 's'],
];

/** The unit that a column's name ends in, as people write it; empty where it has none. */
export function columnUnit(name: string): string {
  return UNITS.find(([ending]) => endsIn(name, ending))?.[1] ?? '';
}

/**
 * A column's name as people read it.
 * @example columnTitle('meanSourceSlot') // 'mean source slot'
 * @example columnTitle('ratedKw') // 'rated, kW'
 */
export function columnTitle(name: string): string {
  const unit = UNITS.find(([ending]) => endsIn(name, ending));
  const words = (unit === undefined ? name : name.slice(0, name.length - unit[0].length))
    .replace(/([a-z0-9])([A-Z])/g, (_, before: string, after: string) => `${before} ${after.toLowerCase()}`);
  return unit === undefined ? words : `${words}, ${unit[1]}`;
}

/** A unit follows a small letter or a digit: `ratedKw`, but not `KW` or a name that is only a unit. */
function endsIn(name: string, ending: string): boolean {
  return name.endsWith(ending) && /[a-z0-9]$/.test(name.slice(0, name.length - ending.length));
}
