// Currents where every source follows a droop line of its own. See electricalLadder.ts for the equations.

import { at, clear, put, wholeAt } from './lanes';
import {
  active, contactVoltage, drop, loadAt, loadCurrent, loadResistance, loopResistance, nodePivot, nodeResidual, ownSpreading,
  segmentCurrent,
  seriesResistance, share, slotCount, sourceAt, sourceCurrent, voltage,
} from './memory';
import { setVoltage } from './rack';

/** Newton converges from one side: more steps than this are a sign of the collapse. */
const MOST_STEPS: i32 = 100;
/** V, far below what any meter shows: where all drops are nought there is no relative change. */
const LEAST_DROP: f64 = 1e-15;

/**
 * Newton on the drops of all slots below the set voltage, all at once. Drops instead of voltages, because neighbours
 * differ by microvolts in fifty volts.
 *
 * What the loads draw is convex in the drops, so that from no load the steps rise towards the solution with the higher
 * voltages and never beyond it, and all pivots stay positive; where one does not, there is no solution.
 *
 * @param power W, total load
 * @param fromLast whether the drops of the last solution are a good start
 * @param closure largest change of a drop in the last step, relative to the largest drop
 * @returns A, sum of the load currents; not a number where the voltage has collapsed
 */
export function solveDroop(power: f64, fromLast: bool, closure: f64): f64 {
  if (fromLast && settle(power, closure)) return spreadCurrents(power);
  clear(drop, slotCount);
  return settle(power, closure) ? spreadCurrents(power) : NaN;
}

/** @returns false where no step leads on */
function settle(power: f64, closure: f64): bool {
  for (let step = 0; step < MOST_STEPS; step++) {
    const change = newtonStep(power);
    if (isNaN(change)) return false;
    let largest: f64 = 0;
    for (let i = 0; i < slotCount; i++) largest = max(largest, abs(at(drop, i)));
    if (change <= closure * largest + LEAST_DROP) return true;
  }
  return false;
}

/** One step. @returns V, the largest change of a drop; not a number where a pivot is not positive or a load finds no voltage */
function newtonStep(power: f64): f64 {
  const last = slotCount - 1;
  let conductance: f64 = 0;
  let fromBelow: f64 = 0;
  let eliminated: f64 = 0;
  let carried: f64 = 0;
  for (let i = 0; i < slotCount; i++) {
    const d = at(drop, i);
    // Current into the node, and how it grows with the node's drop.
    let residual = fromBelow;
    let slope = conductance;
    const k = wholeAt(sourceAt, i);
    if (k >= 0 && wholeAt(active, k) == 1) {
      const series = at(seriesResistance, k) + at(ownSpreading, i);
      residual += (d - at(contactVoltage, i)) / series;
      slope += 1 / series;
    }
    const l = wholeAt(loadAt, i);
    if (l >= 0) {
      const p = power * at(share, l);
      const contact = at(loadResistance, 2 * l) + at(loadResistance, 2 * l + 1) + at(ownSpreading, i);
      const atContact = setVoltage - d + at(contactVoltage, i);
      const discriminant = atContact * atContact - 4 * p * contact;
      if (!(atContact > 0 && discriminant > 0)) return NaN;
      const root = sqrt(discriminant);
      const current = (2 * p) / (atContact + root);
      residual -= current;
      slope -= current / root;
    }
    const lower = conductance;
    if (i < last) {
      conductance = 1 / at(loopResistance, i);
      // Upwards, out of this node and into the next.
      fromBelow = (at(drop, i + 1) - d) * conductance;
      residual -= fromBelow;
      slope += conductance;
    }
    const pivot = slope - lower * eliminated;
    if (!(pivot > 0)) return NaN;
    carried = residual + eliminated * carried;
    eliminated = i < last ? conductance / pivot : 0;
    put(nodePivot, i, pivot);
    put(nodeResidual, i, carried);
  }
  let change: f64 = 0;
  let x: f64 = 0;
  for (let i = last; i >= 0; i--) {
    const above = i < last ? x / at(loopResistance, i) : 0;
    x = (at(nodeResidual, i) + above) / at(nodePivot, i);
    put(drop, i, at(drop, i) - x);
    change = max(change, abs(x));
  }
  return change;
}

/** Currents of units and segments at the drops found; the segments' add up from below, so that no node loses any. */
function spreadCurrents(power: f64): f64 {
  let total: f64 = 0;
  let upwards: f64 = 0;
  for (let i = 0; i < slotCount; i++) {
    const d = at(drop, i);
    put(voltage, i, setVoltage - d);
    const k = wholeAt(sourceAt, i);
    if (k >= 0 && wholeAt(active, k) == 1) {
      const fed = (d - at(contactVoltage, i)) / (at(seriesResistance, k) + at(ownSpreading, i));
      put(sourceCurrent, k, fed);
      upwards += fed;
    }
    const l = wholeAt(loadAt, i);
    if (l >= 0) {
      const p = power * at(share, l);
      const contact = at(loadResistance, 2 * l) + at(loadResistance, 2 * l + 1) + at(ownSpreading, i);
      const atContact = setVoltage - d + at(contactVoltage, i);
      const current = (2 * p) / (atContact + sqrt(atContact * atContact - 4 * p * contact));
      put(loadCurrent, l, current);
      total += current;
      upwards -= current;
    }
    if (i < slotCount - 1) put(segmentCurrent, i, upwards);
  }
  return total;
}
