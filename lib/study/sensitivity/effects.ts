/** What each tolerance does to the percentile, from the rated powers with and without its change. */
import type { BootstrapEstimate } from '../../statistics/index.js';
import type { RatedRows } from './ratedRows.js';
import type { Sensitivity, ToleranceEffect } from './sensitivityResult.js';
import type { Tolerance } from './tolerances.js';

/** Percentile of each changed column, `[change][row]`, less that of the base, `[row]`. */
type Compare = (base: Float64Array, changed: readonly Float64Array[]) => readonly BootstrapEstimate[];

/** The largest gain by halving comes first. */
export function effectsOf(
  { a, changed, allHalved, allRemoved }: RatedRows,
  tolerances: readonly Tolerance[],
  compare: Compare,
): Pick<Sensitivity, 'tolerances' | 'allTolerances'> {
  const gains = compare(a, [allHalved, allRemoved, ...changed.flatMap(({ halved, removed }) => [halved, removed])]);
  const gainOf = (k: number) => gains[2 + 2 * k];
  const order = tolerances.map((_, k) => k).sort((one, other) => gainOf(other).estimate - gainOf(one).estimate);
  const columns = order.map((k) => changed[k].halved);
  // Where the intervals of two gains overlap, the same rows may still tell them apart.
  const behind = columns.length === 0 ? [] : compare(columns[0], columns.slice(1)).map(negated);
  const effects = order.map((k, at): ToleranceEffect => {
    const { name, words, median, shift } = tolerances[k];
    const { down, up } = changed[k];
    const perUnit =
      shift === null || down === null || up === null
        ? null
        : { ...divided(compare(down, [up])[0], shift.units), unit: shift.unit };
    return {
      name,
      words,
      median,
      perUnit,
      halved: gainOf(k),
      removed: gains[3 + 2 * k],
      behindFirst: at === 0 ? null : behind[at - 1],
    };
  });
  return { tolerances: effects, allTolerances: { halved: gains[0], removed: gains[1] } };
}

function negated({ estimate, lower, upper }: BootstrapEstimate): BootstrapEstimate {
  return { estimate: -estimate + 0, lower: -upper + 0, upper: -lower + 0 };
}

function divided({ estimate, lower, upper }: BootstrapEstimate, by: number): BootstrapEstimate {
  return { estimate: estimate / by, lower: lower / by, upper: upper / by };
}
