/** Powers of classes of units under caps; see `largestTotal`. */
export interface CappedClasses {
  /** `[class]`: how many units. */
  readonly counts: readonly number[];
  /** W, most of one unit. */
  readonly unitCap: number;
  /** `[band × class]`: share of one unit's power that counts in the band, 0..1. */
  readonly shares: readonly (readonly number[])[];
  /** `[band]`, W. */
  readonly bandCaps: readonly number[];
}

/**
 * The powers of the classes (W, `[class]`, summed over the class) that make the largest total under the caps:
 * maximise Σ y with 0 ≤ y_c ≤ counts_c·unitCap and Σ_c shares_bc·y_c ≤ bandCaps_b.
 *
 * Simplex method on the dense tableau with Bland's rule (Bland 1977), which cannot cycle; y = 0 is a first solution.
 * A few classes and bands, hence a few pivots.
 * @throws RangeError when a cap is negative
 */
export function largestTotal({ counts, unitCap, shares, bandCaps }: CappedClasses): number[] {
  const classes = counts.length;
  const caps = [...counts.map((count) => count * unitCap), ...bandCaps];
  if (!caps.every((cap) => cap >= 0)) throw new RangeError(`caps: found ${caps.join(', ')}; numbers ≥ 0 are allowed`);
  const rows = caps.map((cap, row) => {
    const own = row < classes ? counts.map((_, c) => (c === row ? 1 : 0)) : [...shares[row - classes]];
    return [...own, ...caps.map((_, slack) => (slack === row ? 1 : 0)), cap];
  });
  const last = classes + caps.length;
  const gain = [...counts.map(() => 1), ...caps.map(() => 0), 0];
  const basis = caps.map((_, row) => classes + row);
  const tiny = 1e-12;

  for (;;) {
    const entering = gain.findIndex((value, column) => column < last && value > tiny);
    if (entering < 0) break;
    let leaving = -1;
    for (let row = 0; row < rows.length; row++) {
      if (rows[row][entering] <= tiny) continue;
      const ratio = rows[row][last] / rows[row][entering];
      const least = leaving < 0 ? Infinity : rows[leaving][last] / rows[leaving][entering];
      if (ratio < least || (ratio === least && basis[row] < basis[leaving])) leaving = row;
    }
    pivot(rows, gain, leaving, entering);
    basis[leaving] = entering;
  }
  const powers = new Array<number>(classes).fill(0);
  basis.forEach((variable, row) => {
    if (variable < classes) powers[variable] = Math.max(0, rows[row][last]);
  });
  return powers;
}

function pivot(rows: number[][], gain: number[], leaving: number, entering: number): void {
  const pivotRow = rows[leaving];
  const pivotValue = pivotRow[entering];
  for (let column = 0; column < pivotRow.length; column++) pivotRow[column] /= pivotValue;
  for (const row of [...rows, gain]) {
    const factor = row[entering];
    if (row === pivotRow || factor === 0) continue;
    for (let column = 0; column < row.length; column++) row[column] -= factor * pivotRow[column];
    row[entering] = 0; // exactly, so that rounding cannot bring the variable back
  }
}
