import {
  type BootstrapEstimate,
  bootstrapEstimate,
  type BootstrapOptions,
  drawRows,
  requireBootstrap,
} from './bootstrap.js';
import { requireFiniteSample, requireOpenFraction } from './checks.js';
import { StatisticsInputError } from './errors.js';
import { DEFAULT_QUANTILE_DEFINITION, type QuantileDefinition, quantilePosition } from './quantileSorted.js';

/** A percentile, and how it changes where the same rows are changed in some way. */
export interface PercentileChanges {
  readonly base: BootstrapEstimate;
  /** `[change]`: the percentile with the change less that without. */
  readonly changes: readonly BootstrapEstimate[];
}

/**
 * Changes of the p-quantile between values that belong together by row (common random numbers): `base` is `[row]`,
 * `changed` is `[change][row]`. The intervals are bootstrap percentile intervals with the rows resampled jointly, so
 * that what both have in common cancels. Where few values lie beyond the quantile (fewer than about ten), a resample
 * cannot show how far it may lie out, and the intervals are too short.
 *
 * @throws StatisticsInputError for columns of unlike length, no value, one that is not finite, p or confidence outside
 *   0..1, an unknown definition, or fewer than 20 resamples
 */
export function percentileChanges(
  base: ArrayLike<number>,
  changed: readonly ArrayLike<number>[],
  p: number,
  options: BootstrapOptions & { readonly definition?: QuantileDefinition | undefined },
): PercentileChanges {
  const { confidence, definition = DEFAULT_QUANTILE_DEFINITION, random } = options;
  const resamples = requireBootstrap(options);
  requireOpenFraction('p', p);
  requireFiniteSample('base', base, 1);
  changed.forEach((column, k) => {
    if (column.length !== base.length) {
      throw new StatisticsInputError(
        `changed[${k}]`,
        `${column.length} values`,
        `as many as in base, ${base.length}, are needed`,
      );
    }
    requireFiniteSample(`changed[${k}]`, column, 1);
  });
  const rows = base.length;
  const position = quantilePosition(rows, p, definition);
  const columns = [base, ...changed].map(sortedColumn);
  const counts = new Uint32Array(rows).fill(1);
  const estimates = columns.map((column) => resampledQuantile(column, counts, position));
  const found = columns.map(() => new Float64Array(resamples));
  for (let r = 0; r < resamples; r++) {
    drawRows(counts, random);
    const before = resampledQuantile(columns[0], counts, position);
    found[0][r] = before;
    for (let k = 1; k < columns.length; k++) found[k][r] = resampledQuantile(columns[k], counts, position) - before;
  }
  return {
    base: bootstrapEstimate(estimates[0], found[0], confidence),
    changes: changed.map((_, k) => bootstrapEstimate(estimates[k + 1] - estimates[0], found[k + 1], confidence)),
  };
}

interface SortedColumn {
  /** Ascending. */
  readonly values: Float64Array;
  /** The row of each. */
  readonly row: Uint32Array;
}

function sortedColumn(column: ArrayLike<number>): SortedColumn {
  const row = Uint32Array.from({ length: column.length }, (_, j) => j).sort((i, j) => column[i] - column[j]);
  return { values: Float64Array.from(row, (j) => column[j]), row };
}

/** The quantile at a position among values whose rows count so often each: one pass from the lowest, no sorting. */
function resampledQuantile({ values, row }: SortedColumn, counts: Uint32Array, position: number): number {
  const rank = Math.floor(position);
  let at = 0;
  let seen = counts[row[0]];
  while (seen < rank) seen += counts[row[++at]];
  const below = values[at];
  if (position === rank) return below;
  while (seen < rank + 1) seen += counts[row[++at]];
  return below + (position - rank) * (values[at] - below);
}
