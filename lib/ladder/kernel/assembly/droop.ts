// Currents where every source follows a droop line of its own: as many unknowns as sources. See electricalLadder.ts.

import { at, clear, put, wholeAt } from './lanes';
import {
  active, columnOf, contactVoltage, currentBy, jacobian, loadAt, loadCurrent, loadResistance, loopResistance, residual,
  segmentCurrent, seriesResistance, share, slotCount, sourceAt, sourceCurrent, unknowns, voltage, voltageBy,
} from './memory';
import { setVoltage } from './rack';

/**
 * One march up the bar: voltages, currents, residuals and Jacobian. Unknowns: bottom voltage, each source's current.
 * @returns A, sum of the load currents; not a number where a load finds no voltage
 */
export function marchDroop(power: f64, unknownCount: i32): f64 {
  let u = at(unknowns, 0);
  let c: f64 = 0;
  let total: f64 = 0;
  clear(voltageBy, unknownCount);
  clear(currentBy, unknownCount);
  put(voltageBy, 0, 1);
  for (let i = 0; i < slotCount; i++) {
    put(voltage, i, u);
    const k = wholeAt(sourceAt, i);
    if (k >= 0 && wholeAt(active, k) == 1) {
      const column = wholeAt(columnOf, k);
      const injected = at(unknowns, column);
      put(sourceCurrent, k, injected);
      c += injected;
      put(currentBy, column, at(currentBy, column) + 1);
      const series = at(seriesResistance, column);
      put(residual, column, u + at(contactVoltage, i) + injected * series - setVoltage);
      const row = jacobian + (<usize>(column * unknownCount) << 3);
      memory.copy(row, voltageBy, <usize>unknownCount << 3);
      put(row, column, at(row, column) + series);
    }
    const l = wholeAt(loadAt, i);
    if (l >= 0) {
      const p = power * at(share, l);
      const contact = at(loadResistance, 2 * l) + at(loadResistance, 2 * l + 1);
      const atContact = u + at(contactVoltage, i);
      const discriminant = atContact * atContact - 4 * p * contact;
      if (!(atContact > 0 && discriminant > 0)) return NaN;
      const root = sqrt(discriminant);
      const current = (2 * p) / (atContact + root);
      put(loadCurrent, l, current);
      total += current;
      c -= current;
      const slope = current / root;
      for (let q = 0; q < unknownCount; q++) put(currentBy, q, at(currentBy, q) + slope * at(voltageBy, q));
    }
    if (i < slotCount - 1) {
      put(segmentCurrent, i, c);
      const r = at(loopResistance, i);
      u -= r * c;
      for (let q = 0; q < unknownCount; q++) put(voltageBy, q, at(voltageBy, q) - r * at(currentBy, q));
    }
  }
  put(residual, 0, c);
  memory.copy(jacobian, currentBy, <usize>unknownCount << 3);
  return isFinite(u) && isFinite(c) ? total : NaN;
}

/** V. A stiff droop source turns a small voltage error into a large current: its own series resistance sets the scale. */
export function voltageTolerance(q: i32, closure: f64, totalCurrent: f64): f64 {
  const rounding = 1e-15 * setVoltage;
  return min(closure * setVoltage, closure * at(seriesResistance, q) * totalCurrent) + 8 * rounding;
}

/**
 * Gaussian elimination with partial pivoting on a small dense system, in place.
 *
 * @param matrix `[row × size]`, destroyed
 * @param rhs `[row]`, overwritten with the solution
 * @returns the sign of the determinant, or 0 where the matrix is singular (rhs is then unusable)
 */
export function solveDense(matrix: usize, rhs: usize, size: i32): f64 {
  let sign: f64 = 1;
  for (let k = 0; k < size; k++) {
    let best = k;
    for (let r = k + 1; r < size; r++) if (abs(at(matrix, r * size + k)) > abs(at(matrix, best * size + k))) best = r;
    const pivot = at(matrix, best * size + k);
    if (pivot == 0 || !isFinite(pivot)) return 0;
    if (best != k) {
      sign = -sign;
      for (let c = k; c < size; c++) exchange(matrix, k * size + c, best * size + c);
      exchange(rhs, k, best);
    }
    if (pivot < 0) sign = -sign;
    for (let r = k + 1; r < size; r++) {
      const factor = at(matrix, r * size + k) / pivot;
      if (factor == 0) continue;
      for (let c = k + 1; c < size; c++) put(matrix, r * size + c, at(matrix, r * size + c) - factor * at(matrix, k * size + c));
      put(rhs, r, at(rhs, r) - factor * at(rhs, k));
    }
  }
  for (let k = size - 1; k >= 0; k--) {
    let sum = at(rhs, k);
    for (let c = k + 1; c < size; c++) sum -= at(matrix, k * size + c) * at(rhs, c);
    put(rhs, k, sum / at(matrix, k * size + k));
  }
  return sign;
}

function exchange(array: usize, a: i32, b: i32): void {
  const held = at(array, a);
  put(array, a, at(array, b));
  put(array, b, held);
}
