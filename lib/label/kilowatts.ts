/** W as kW with milliwatts, as in the summary, so that a number reads the same wherever it is printed. */
export function kilowatts(watts: number): number {
  return Math.round(watts * 1e3) / 1e6;
}

/** The same, never above: for what is proven. */
export function kilowattsAtMost(watts: number): number {
  const near = kilowatts(watts);
  return near * 1e3 > watts ? Math.floor(watts * 1e3) / 1e6 : near;
}
