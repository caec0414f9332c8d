// Currents with equal sharing: see electricalLadder.ts for the method.

import { at, put, wholeAt } from './lanes';
import {
  active, contactVoltage, loadAt, loadCurrent, loadResistance, loopResistance, segmentCurrent, segmentOffset,
  segmentSlope, share, slotCount, sourceAt, sourceCurrent, sourceResistance, sourceWeight, temperature, unknowns, voltage,
} from './memory';

/** A, sum of the load currents of the last march. */
export let totalCurrent: f64 = 0;

let residualCurrent: f64 = 0;
let residualVoltage: f64 = 0;
let currentByVoltage: f64 = 0;
let currentByCurrent: f64 = 0;
let meanByVoltage: f64 = 0;
let meanByCurrent: f64 = 0;

/** Ω of supply and return of every segment at the present temperatures. */
export function updateLoopResistance(): void {
  for (let i = 0, e = 0; i < slotCount - 1; i++, e += 2) {
    const supply = at(segmentOffset, e) + at(segmentSlope, e) * (at(temperature, e) + at(temperature, e + 2));
    const back = at(segmentOffset, e + 1) + at(segmentSlope, e + 1) * (at(temperature, e + 1) + at(temperature, e + 3));
    put(loopResistance, i, supply + back);
  }
}

/**
 * Newton on the bottom voltage and the total current. Without load the Jacobian's determinant is −1: beyond the collapse
 * it is positive.
 * @param closure how nearly current and voltage must close, relative
 * @returns whether they close
 */
export function solveEqual(power: f64, setVoltage: f64, activeCount: i32, closure: f64): bool {
  const tolerance = closure * setVoltage + 1e-15 * setVoltage;
  for (let iteration = 0; iteration < 40; iteration++) {
    if (!march(power, setVoltage, activeCount)) return false;
    if (abs(residualCurrent) <= closure * totalCurrent && abs(residualVoltage) <= tolerance) return true;
    const determinant = currentByVoltage * meanByCurrent - currentByCurrent * meanByVoltage;
    if (!(determinant < 0)) return false;
    const volts = (meanByCurrent * residualCurrent - currentByCurrent * residualVoltage) / determinant;
    const amperes = (currentByVoltage * residualVoltage - meanByVoltage * residualCurrent) / determinant;
    put(unknowns, 0, at(unknowns, 0) - volts);
    put(unknowns, 1, at(unknowns, 1) - amperes);
  }
  return false;
}

/** One march up the bar: voltages, currents, residuals and Jacobian. @returns false where a load finds no voltage */
function march(power: f64, setVoltage: f64, activeCount: i32): bool {
  const part = 1.0 / <f64>activeCount;
  const totalFed = at(unknowns, 1);
  const last = slotCount - 1;
  let u = at(unknowns, 0);
  let uByVoltage: f64 = 1;
  let uByCurrent: f64 = 0;
  let c: f64 = 0;
  let cByVoltage: f64 = 0;
  let cByCurrent: f64 = 0;
  let total: f64 = 0;
  let mean: f64 = 0;
  let byVoltage: f64 = 0;
  let byCurrent: f64 = 0;
  for (let i = 0; i < slotCount; i++) {
    put(voltage, i, u);
    const k = wholeAt(sourceAt, i);
    if (k >= 0 && wholeAt(active, k) == 1) {
      const w = at(sourceWeight, k);
      const contact = at(sourceResistance, 2 * k) + at(sourceResistance, 2 * k + 1);
      const fed = w * totalFed;
      put(sourceCurrent, k, fed);
      c += fed;
      cByCurrent += w;
      mean += part * (u + at(contactVoltage, i) + fed * contact);
      byVoltage += part * uByVoltage;
      byCurrent += part * (uByCurrent + w * contact);
    }
    const l = wholeAt(loadAt, i);
    if (l >= 0) {
      const p = power * at(share, l);
      const contact = at(loadResistance, 2 * l) + at(loadResistance, 2 * l + 1);
      const atContact = u + at(contactVoltage, i);
      const discriminant = atContact * atContact - 4 * p * contact;
      if (!(atContact > 0 && discriminant > 0)) return false;
      const root = sqrt(discriminant);
      const current = (2 * p) / (atContact + root);
      put(loadCurrent, l, current);
      total += current;
      c -= current;
      const slope = current / root;
      cByVoltage += slope * uByVoltage;
      cByCurrent += slope * uByCurrent;
    }
    if (i < last) {
      put(segmentCurrent, i, c);
      const r = at(loopResistance, i);
      u -= r * c;
      uByVoltage -= r * cByVoltage;
      uByCurrent -= r * cByCurrent;
    }
  }
  totalCurrent = total;
  residualCurrent = c;
  residualVoltage = mean - setVoltage;
  currentByVoltage = cByVoltage;
  currentByCurrent = cByCurrent;
  meanByVoltage = byVoltage;
  meanByCurrent = byCurrent;
  return isFinite(u) && isFinite(c);
}
