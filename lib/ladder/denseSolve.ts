/**
 * Gaussian elimination with partial pivoting on a small dense system, in place.
 *
 * @param matrix `[row × size]`, destroyed
 * @param rhs `[row]`, overwritten with the solution
 * @returns the sign of the determinant, or 0 where the matrix is singular (rhs is then unusable)
 */
export function solveDense(matrix: Float64Array, rhs: Float64Array, size: number): number {
  let sign = 1;
  for (let k = 0; k < size; k++) {
    let best = k;
    for (let r = k + 1; r < size; r++) {
      if (Math.abs(matrix[r * size + k]) > Math.abs(matrix[best * size + k])) best = r;
    }
    const pivot = matrix[best * size + k];
    if (pivot === 0 || !Number.isFinite(pivot)) return 0;
    if (best !== k) {
      sign = -sign;
      for (let c = k; c < size; c++) {
        const held = matrix[k * size + c];
        matrix[k * size + c] = matrix[best * size + c];
        matrix[best * size + c] = held;
      }
      const held = rhs[k];
      rhs[k] = rhs[best];
      rhs[best] = held;
    }
    if (pivot < 0) sign = -sign;
    for (let r = k + 1; r < size; r++) {
      const factor = matrix[r * size + k] / pivot;
      if (factor === 0) continue;
      for (let c = k + 1; c < size; c++) matrix[r * size + c] -= factor * matrix[k * size + c];
      rhs[r] -= factor * rhs[k];
    }
  }
  for (let k = size - 1; k >= 0; k--) {
    let sum = rhs[k];
    for (let c = k + 1; c < size; c++) sum -= matrix[k * size + c] * rhs[c];
    rhs[k] = sum / matrix[k * size + k];
  }
  return sign;
}
