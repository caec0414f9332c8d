/** What a design costs (kg, or money), and what it is worth (W): less of the one and more of the other is better. */
export interface CostAndWorth {
  readonly cost: number;
  readonly worth: number;
}

/**
 * Which designs no other one beats, [design]: none costs as little and is worth as much, and better in one of the two.
 * Equal designs stand or fall together.
 * @throws RangeError for a number that is not finite
 */
export function paretoFront(designs: readonly CostAndWorth[]): boolean[] {
  for (const { cost, worth } of designs) {
    if (!Number.isFinite(cost) || !Number.isFinite(worth)) throw new RangeError(`cost ${cost}, worth ${worth}: must be finite`);
  }
  return designs.map(({ cost, worth }) => !designs.some((other) => (
    other.cost <= cost && other.worth >= worth && (other.cost < cost || other.worth > worth)
  )));
}
