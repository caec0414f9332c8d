// Currents where every source follows a droop line of its own. See electricalLadder.ts for the equations.

import { at, clear, put, wholeAt } from './lanes';
import {
  active, contactVoltage, drop, loadAt, loadCurrent, loadResistance, loopResistance, ownSpreading, segmentCurrent,
  sentCurrent, sentSlope, seriesResistance, share, slotCount, sourceAt, sourceCurrent, voltage,
} from './memory';
import { setVoltage } from './rack';

/** V, lowest at the terminals of any load in the last solution. */
export let lowestWithDroop: f64 = 0;

/** Newton converges from one side: more steps than this are a sign of the collapse. */
const MOST_STEPS: i32 = 100;
/** V, far below what any meter shows: where all drops are nought there is no relative change. */
const LEAST_DROP: f64 = 1e-15;

/**
 * Newton on the drops of all slots below the set voltage, all at once. Drops instead of voltages, because neighbours
 * differ by microvolts in fifty volts.
 *
 * What the loads draw is convex in the drops, so that from no load the steps rise towards the solution with the higher
 * voltages and never beyond it.
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

/**
 * One step: what all slots below a place send upwards is a·drop + b there, and a segment in series makes a/(1 + a·R) of a.
 * That sum never takes the difference of large numbers, however well the bar conducts.
 * @returns V, the largest change of a drop; not a number where a load finds no voltage or the slots below a place would
 *   draw ever more the further their voltage falls
 */
function newtonStep(power: f64): f64 {
  const last = slotCount - 1;
  let a: f64 = 0;
  let b: f64 = 0;
  for (let i = 0; i < slotCount; i++) {
    const d = at(drop, i);
    const k = wholeAt(sourceAt, i);
    if (k >= 0 && wholeAt(active, k) == 1) {
      const siemens = 1 / (at(seriesResistance, k) + at(ownSpreading, i));
      a += siemens;
      b -= siemens * at(contactVoltage, i);
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
      const slope = current / root;
      a -= slope;
      b += slope * d - current;
    }
    if (i == last) break;
    const inSeries = 1 + a * at(loopResistance, i);
    if (!(inSeries > 0)) return NaN;
    a /= inSeries;
    b /= inSeries;
    put(sentSlope, i, a);
    put(sentCurrent, i, b);
  }
  // Nothing leaves the top.
  if (!(a > 0)) return NaN;
  let d = -b / a;
  let change: f64 = 0;
  for (let i = last; i >= 0; i--) {
    change = max(change, abs(d - at(drop, i)));
    put(drop, i, d);
    if (i > 0) d -= at(loopResistance, i - 1) * (at(sentSlope, i - 1) * d + at(sentCurrent, i - 1));
  }
  return change;
}

/** Currents of units and segments at the drops found; the segments' add up from below, so that no node loses any. */
function spreadCurrents(power: f64): f64 {
  let total: f64 = 0;
  let upwards: f64 = 0;
  let lowest = 2 * setVoltage;
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
      const twice = atContact + sqrt(atContact * atContact - 4 * p * contact);
      const current = (2 * p) / twice;
      lowest = min(lowest, twice);
      put(loadCurrent, l, current);
      total += current;
      upwards -= current;
    }
    if (i < slotCount - 1) put(segmentCurrent, i, upwards);
  }
  lowestWithDroop = 0.5 * lowest;
  return total;
}
