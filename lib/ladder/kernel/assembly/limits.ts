// The power step at which, to first order, the first limit is met: see ratedPower.ts.

import { at, both, minus, pair, plus, plusTimes, put, returnOf, supplyOf, times, wholeAt } from './lanes';
import {
  boundAtMost, heatRate, hotSpotAt, hotSpotBound, hotSpotRateAt, ownRateAtMost, updateEdgeHeat, voltageShift,
} from './contacts';
import {
  air, airSlope, change, edgeVoltage, hotSpotOwnRate, LIMIT, LIMIT_NODE, LIMIT_POLE,
  loadCurrent, loadNode, loadResistance, loadReturnCurrent, sourceReturnCurrent,
  loadThermalResistance, maxCurrent, maxPower, outcome, rate, share, slotCount, sourceCurrent, sourceNode, sourceResistance,
  sourceThermalResistance, temperature, voltage,
} from './memory';
import { airSlopeAtMost, loadSpotAtMost, sourceSpotAtMost } from './mount';
import { fastestRate, hottestNext } from './temperatures';
import { frameStep, hasFrame, metLimit, metNode } from './frame';
import {
  barRise, barTemperature, contactTemperature, loadContactCurrent, loadCount, lowestLoadVoltage, mountings, setVoltage, sourceCount,
} from './rack';

// In the order of LIMIT_NAMES.
const BAR_RISE: i32 = 0;
const BAR_TEMPERATURE: i32 = 1;
export const CONTACT_TEMPERATURE: i32 = 2;
const SOURCE_CURRENT: i32 = 3;
const SOURCE_POWER: i32 = 4;
const LOAD_CURRENT: i32 = 5;
const LOAD_VOLTAGE: i32 = 6;
const BOTH_POLES: i32 = 2;
/** K: where two entries are as near to a limit as this, the first is named. Poles may be alike, and rounding tells nothing. */
const ALIKE: f64 = 1e-10;
/** Part of the set voltage by which a load may see less than its currents last closed with. */
const VOLTAGE_SLACK: f64 = 0.01;

/** What the last step is limited by: index of the limit, node, pole (2 for both). */
// @ts-ignore: decorator
@inline function name(which: i32, node: i32, pole: i32): void {
  put(outcome, LIMIT, <f64>which);
  put(outcome, LIMIT_NODE, <f64>node);
  put(outcome, LIMIT_POLE, <f64>pole);
}

/**
 * W; NaN where only less heat would help.
 * @param order d ln I/d ln P
 * @param lowest V, about the lowest at the terminals of any load
 */
export function linearisedStep(power: f64, order: f64, lowest: f64): f64 {
  const perPower = order / power;
  updateEdgeHeat(2 * perPower, true);
  let best: f64 = Infinity;
  if (isFinite(barRise)) best = barStep(best, barRise, BAR_RISE, 1);
  if (isFinite(barTemperature)) best = barStep(best, barTemperature, BAR_TEMPERATURE, 0);
  if (isNaN(best)) return best;
  if (isFinite(contactTemperature)) {
    best = contactStep(
      best, contactTemperature, perPower, loadNode, loadCurrent, loadReturnCurrent, loadResistance, loadThermalResistance, loadCount,
      loadSpotAtMost);
    if (isNaN(best)) return best;
    best = contactStep(
      best, contactTemperature, perPower, sourceNode, sourceCurrent, sourceReturnCurrent, sourceResistance, sourceThermalResistance, sourceCount,
      sourceSpotAtMost);
    if (isNaN(best)) return best;
  }
  for (let k = 0; k < sourceCount; k++) {
    const current = at(sourceCurrent, k);
    if (current == 0) continue;
    const slope = perPower * current;
    const room = at(maxCurrent, k) - current;
    if (room < best * slope) {
      best = room / slope;
      name(SOURCE_CURRENT, wholeAt(sourceNode, k), BOTH_POLES);
    }
    const node = wholeAt(sourceNode, k);
    const contact = at(sourceResistance, 2 * k) + at(sourceResistance, 2 * k + 1);
    const delivered = current * (at(voltage, node) + at(edgeVoltage, node) + current * contact);
    const powerRoom = at(maxPower, k) - delivered;
    if (powerRoom < best * perPower * delivered) {
      best = powerRoom / (perPower * delivered);
      name(SOURCE_POWER, node, BOTH_POLES);
    }
  }
  const loads = isFinite(loadContactCurrent) || !hasVoltage(abs(best) * perPower, lowest) ? loadCount : 0;
  for (let l = 0; l < loads; l++) {
    if (at(share, l) == 0) continue;
    const current = at(loadCurrent, l);
    const room = loadContactCurrent - current;
    if (room < best * perPower * current) {
      best = room / (perPower * current);
      name(LOAD_CURRENT, wholeAt(loadNode, l), BOTH_POLES);
    }
    if (lowestLoadVoltage > 0) {
      const node = wholeAt(loadNode, l);
      const contact = at(loadResistance, 2 * l) + at(loadResistance, 2 * l + 1);
      const atTerminals = at(voltage, node) + at(edgeVoltage, node) - current * contact;
      const slope = perPower * (setVoltage - atTerminals);
      if (atTerminals - lowestLoadVoltage < best * slope) {
        best = (atTerminals - lowestLoadVoltage) / slope;
        name(LOAD_VOLTAGE, node, BOTH_POLES);
      }
    }
  }
  if (hasFrame) {
    best = frameStep(best, perPower);
    if (metLimit >= 0) name(metLimit, metNode, BOTH_POLES);
  }
  return best;
}

/**
 * Whether all loads surely keep their voltage for a relative change of the currents.
 * @param lowest V, about the lowest at the terminals of any load
 */
// @ts-ignore: decorator
@inline function hasVoltage(change: f64, lowest: f64): bool {
  if (lowestLoadVoltage == 0) return true;
  const least = lowest - VOLTAGE_SLACK * setVoltage - voltageShift;
  return !hasFrame && change <= 1 && least - lowestLoadVoltage >= change * abs(setVoltage - least);
}

/** A limit of the bar itself, counted from the local air (`aboveAir` 1) or from 0 K (0). */
function barStep(best: f64, most: f64, which: i32, aboveAir: f64): f64 {
  // A slot near its limit first: most others are then passed over without looking at their hot spots.
  if (foremostFor != mountings) foremost = hottest(aboveAir);
  foremostFor = mountings;
  const first = foremost;
  let lowest = slotStep(best, first, most, aboveAir, which, false);
  if (isNaN(lowest)) return lowest;
  const fastest = fastestRate + aboveAir * airSlopeAtMost;
  let reach = reachOf(lowest, fastest);
  for (let i = 0; i < slotCount; i++) {
    if (i == first) continue;
    // Most slots are farther than the largest hot spot and the largest rates of all could reach.
    if (i64x2.all_true(f64x2.ge(roomOf(i, most, aboveAir), both(reach)))) continue;
    lowest = slotStep(lowest, i, most, aboveAir, which, true);
    if (isNaN(lowest)) return lowest;
    reach = reachOf(lowest, fastest);
  }
  return lowest;
}

/**
 * K: a limit farther than this is met by no hottest point before a power change of `best`, W. @param fastest K/W, which no
 * slot's mean over the depth exceeds, up or down
 */
// @ts-ignore: decorator
@inline function reachOf(best: f64, fastest: f64): f64 {
  return boundAtMost + abs(best) * (fastest + heatRate * boundAtMost + ownRateAtMost);
}

/** K between a slot a Newton step away, its mean over the depth, and a limit. */
// @ts-ignore: decorator
@inline function roomOf(i: i32, most: f64, aboveAir: f64): v128 {
  return minus(both(most + aboveAir * at(air, i)), plus(pair(temperature, i), pair(change, i)));
}

/** The hottest slot in the first sweep of a mounted scenario, and of which mounting it is. */
let foremost: i32 = 0;
let foremostFor: i32 = -1;

/** The slot with the largest temperature, or rise above its air, a Newton step away. */
function hottest(aboveAir: f64): i32 {
  let slot = 0;
  let most = both(-Infinity);
  for (let i = 0; i < slotCount; i++) {
    const rise = minus(plus(pair(temperature, i), pair(change, i)), times(both(aboveAir), both(at(air, i))));
    if (!v128.any_true(f64x2.gt(rise, most))) continue;
    most = both(max(f64x2.extract_lane(rise, 0), f64x2.extract_lane(rise, 1)));
    slot = i;
  }
  return slot;
}

/** The lower of `best` and the power change at which either pole of a slot meets a limit; NaN where only less heat would help. */
// @ts-ignore: decorator
@inline function slotStep(best: f64, i: i32, most: f64, aboveAir: f64, which: i32, mayBeFar: bool): f64 {
  const room = roomOf(i, most, aboveAir);
  const slope = minus(pair(rate, i), both(aboveAir * at(airSlope, i)));
  if (mayBeFar && areFar(room, slope, i, best)) return best;
  const lowest = hotSpotStep(best, 2 * i, f64x2.extract_lane(room, 0), f64x2.extract_lane(slope, 0), which);
  if (isNaN(lowest)) return lowest;
  return hotSpotStep(lowest, 2 * i + 1, f64x2.extract_lane(room, 1), f64x2.extract_lane(slope, 1), which);
}

function contactStep(
  best: f64, most: f64, perPower: f64, node: usize, current: usize, returnCurrents: usize, resistance: usize,
  thermalResistance: usize, count: i32, spotAtMost: f64,
): f64 {
  // As a rule the bar is so far from what its contacts stand that none need be looked at.
  const largest = largestOf(current, count);
  const spot = spotAtMost * largest * largest;
  if (!hasFrame && most - hottestNext - spot >= reachOf(best, fastestRate + 2 * perPower * spot)) return best;
  let lowest = best;
  for (let k = 0; k < count; k++) {
    const amperes = at(current, k);
    const i = wholeAt(node, k);
    let drop = times(both(amperes * amperes * at(thermalResistance, k)), pair(resistance, k));
    if (hasFrame) {
      const back = at(returnCurrents, k);
      drop = f64x2.replace_lane(drop, 1, back * back * at(thermalResistance, k) * returnOf(pair(resistance, k)));
    }
    const room = minus(both(most), plus(plus(pair(temperature, i), pair(change, i)), drop));
    const slope = plusTimes(pair(rate, i), both(2 * perPower), drop);
    if (areFar(room, slope, i, lowest)) continue;
    for (let p = 0; p < 2; p++) {
      const roomHere = p == 0 ? f64x2.extract_lane(room, 0) : f64x2.extract_lane(room, 1);
      const slopeHere = p == 0 ? f64x2.extract_lane(slope, 0) : f64x2.extract_lane(slope, 1);
      lowest = hotSpotStep(lowest, 2 * i + p, roomHere, slopeHere, CONTACT_TEMPERATURE);
      if (isNaN(lowest)) return lowest;
    }
  }
  return lowest;
}

/** A, the largest of some currents, in either direction. */
// @ts-ignore: decorator
@inline function largestOf(current: usize, count: i32): f64 {
  let largest = both(0);
  for (let k = 0; 2 * k < count - 1; k++) largest = f64x2.pmax(largest, f64x2.abs(pair(current, k)));
  const rest = (count & 1) == 1 ? abs(at(current, count - 1)) : 0;
  return max(rest, max(supplyOf(largest), returnOf(largest)));
}

/**
 * Whether neither pole of a slot whose limit is `room` kelvin away and comes nearer by `slope` K/W, both without the hot
 * spot, can reach it before a power change of `best`, W: the hot spot has a bound, and the rate of that lies between what
 * its own part and growth with the heat allow.
 */
// @ts-ignore: decorator
@inline function areFar(room: v128, slope: v128, slot: i32, best: f64): bool {
  const zero = both(0);
  const bound = hotSpotBound(slot);
  const own = pair(hotSpotOwnRate, slot);
  const left = minus(room, bound);
  const flattest = plus(slope, f64x2.pmin(own, zero));
  const steepest = plus(plusTimes(slope, both(heatRate), bound), f64x2.pmax(own, zero));
  const passes = v128.and(
    v128.and(f64x2.ge(left, times(both(best), steepest)), f64x2.ge(left, times(both(best), flattest))),
    v128.or(f64x2.ge(left, zero), f64x2.gt(flattest, zero)),
  );
  return i64x2.all_true(passes);
}

/**
 * The lower of `best` and the power change (W) at which an entry meets a limit on its hottest point, which is `room`
 * kelvin away and comes nearer by `slope` K/W, both without the hot spot; NaN where only less heat would help.
 */
function hotSpotStep(best: f64, entry: i32, room: f64, slope: f64, which: i32): f64 {
  const hotSpot = hotSpotAt(entry);
  const hotRoom = room - hotSpot;
  const hotSlope = slope + hotSpotRateAt(entry, hotSpot);
  // Less power would not help here: the bracketed search finds out what is carried.
  if (hotRoom < 0 && !(hotSlope > 0)) return NaN;
  if (!(hotRoom < best * hotSlope - ALIKE)) return best;
  name(which, entry >> 1, entry & 1);
  return hotRoom / hotSlope;
}
