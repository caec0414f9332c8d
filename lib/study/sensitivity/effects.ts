/** What each tolerance does to the percentile, from the rated powers with and without its change. */
import type { BootstrapEstimate } from '../../statistics/index.js';
import type { RatedRows } from './ratedRows.js';
import type { Sensitivity, ToleranceEffect } from './sensitivityResult.js';
import type { Tolerance } from './tolerances.js';

/** Percentile of each changed column, `[change][row]`, less that of the base, `[row]`. */
type Compare = (base: Float64Array, changed: readonly Float64Array[]) => readonly BootstrapEstimate[];

/** The largest gain by halving comes first. */
export function effectsOf(
  { a, changed, allHalved, allRemoved }: RatedRows, tolerances: readonly Tolerance[], compare: Compare,
): Pick<Sensitivity, 'tolerances' | 'allTolerances'> {
  const gains = compare(a, [allHalved, allRemoved, ...changed.flatMap(({ halved, removed }) => [halved, removed])]);
  const effects = tolerances.map(({ name, words, median, shift }, k): ToleranceEffect => {
    const { down, up } = changed[k];
    const perUnit = shift === null || down === null || up === null ? null
      : { ...divided(compare(down, [up])[0], shift.units), unit: shift.unit };
    return { name, words, median, perUnit, halved: gains[2 + 2 * k], removed: gains[3 + 2 * k] };
  });
  return {
    tolerances: effects.sort((one, other) => other.halved.estimate - one.halved.estimate),
    allTolerances: { halved: gains[0], removed: gains[1] },
  };
}

function divided({ estimate, lower, upper }: BootstrapEstimate, by: number): BootstrapEstimate {
  return { estimate: estimate / by, lower: lower / by, upper: upper / by };
}
