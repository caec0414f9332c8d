// Heats and voltages of the contacts, spreading included: see contactSpreading.ts for the formulas.

import { at, both, clear, copy, pair, plus, plusTimes, put, returnOf, setPair, supplyOf, times, wholeAt, minus, over } from './lanes';
import {
  air, airSlope, READ_BEYOND, change, contactHeat, contactVoltage, edgeAmperes, edgeCurrent, edgeHeat, edgeSlot, edgeVoltage,
  feltAtMost, feltFrom, feltMore, feltTo, hotSpotOwnRate, loadCurrent, loadEdgeHeight, loadHeatShare, loadReturnCurrent, sourceReturnCurrent,
  loadNode, loadResistance, mutual, mutualOfEither, mutualVoltage, ownEdgeVoltage, ownFed, ownHeat, ownHeatSlope, ownSpreading, patchMean, patchMiddle, rate, sheetOffset, sheetSlope, sheetThermal, slotCount,
  sourceCurrent, sourceEdgeHeight, sourceHeatShare, sourceNode, sourceResistance, spreadingHeat, spreadingHeatSlope,
  temperature, unitConductance, unitRise,
} from './memory';
import { feltThermalAtMost } from './area';
import { addFrameVoltages, beginFrameVoltages, hasFrame } from './frame';
import { divide } from './host';
import { loadCount, sourceCount } from './rack';

/** 1/W, what heat made by currents follows the power by, relative. */
export let heatRate: f64 = 0;

/** K and K/W: what no hot spot exceeds, and no rate of its own part, up or down. */
export let boundAtMost: f64 = 0;
export let ownRateAtMost: f64 = 0;

/** W, the largest heat of any contact at the front edge, supply and return pole. */
let largestSupplyHeat: f64 = 0;
let largestReturnHeat: f64 = 0;

/** V, largest change of a contact's voltage by other contacts in the last update: the currents do not know of it yet. */
export let voltageShift: f64 = 0;

/** Contacts at the front edge; `edgeSlot` names their slots. */
let edgeCount: i32 = 0;

/** Whether contacts at the front edge feel each other alike on both poles. */
let areAlike: bool = false;

export function setAlike(on: bool): void {
  areAlike = on;
}

/** Forgets the contacts of the scenario before; `edgeSlot` names `count` slots of the new one. */
export function beginContacts(count: i32): void {
  edgeCount = count;
  heatRate = 0;
  boundAtMost = 0;
  ownRateAtMost = 0;
  largestSupplyHeat = 0;
  largestReturnHeat = 0;
  voltageShift = 0;
  const pairs = 2 * slotCount;
  clear(contactHeat, pairs);
  clear(spreadingHeat, pairs);
  clear(spreadingHeatSlope, pairs);
  clear(edgeHeat, pairs);
  clear(hotSpotOwnRate, pairs);
  clear(edgeVoltage, slotCount);
  clear(ownSpreading, slotCount);
  clear(edgeCurrent, pairs);
  clear(edgeAmperes, slotCount + READ_BEYOND);
}

/** Σ_k F_jk·x_k over an array `[slot × pole]`. */
// @ts-ignore: decorator
@inline function felt(j: i32, x: usize): v128 {
  const f = mutual + ((<usize>j * <usize>slotCount) << 4);
  const last = wholeAt(feltTo, j);
  let k = wholeAt(feltFrom, j);
  // Four sums side by side hide the latency of the additions.
  let a = both(0);
  let b = both(0);
  let c = both(0);
  let d = both(0);
  for (; k + 3 <= last; k += 4) {
    a = plusTimes(a, pair(f, k), pair(x, k));
    b = plusTimes(b, pair(f, k + 1), pair(x, k + 1));
    c = plusTimes(c, pair(f, k + 2), pair(x, k + 2));
    d = plusTimes(d, pair(f, k + 3), pair(x, k + 3));
  }
  for (; k <= last; k++) a = plusTimes(a, pair(f, k), pair(x, k));
  return plus(plus(a, b), plus(c, d));
}

/** The same over the currents into both poles where these are alike: two slots fill a register. */
// @ts-ignore: decorator
@inline function feltByEither(j: i32): v128 {
  const size: usize = 8;
  let f = mutualOfEither + <usize>(j * slotCount + wholeAt(feltFrom, j)) * size;
  let x = edgeAmperes + <usize>wholeAt(feltFrom, j) * size;
  const end = edgeAmperes + <usize>wholeAt(feltTo, j) * size;
  let a = both(0);
  let b = both(0);
  // Beyond the last slot that is felt there is nothing to add: there is no mutual part, or no current.
  for (; x <= end; x += 4 * size, f += 4 * size) {
    a = plusTimes(a, v128.load(f, 0, 8), v128.load(x, 0, 8));
    b = plusTimes(b, v128.load(f, 16, 8), v128.load(x, 16, 8));
  }
  const sums = plus(a, b);
  return both(supplyOf(sums) + returnOf(sums));
}

/** Ω of the contacts' own spreading at the present temperatures. */
export function updateOwnSpreading(): void {
  for (let k = 0; k < edgeCount; k++) {
    const i = wholeAt(edgeSlot, k);
    const ohms = times(pair(patchMean, i), plusTimes(pair(sheetOffset, i), pair(sheetSlope, i), pair(temperature, i)));
    put(ownSpreading, i, supplyOf(ohms) + returnOf(ohms));
  }
}

/** Heats and voltages of all contacts at their present currents and the present temperatures. */
export function updateContacts(): void {
  if (hasFrame) {
    updateWithFrame();
    return;
  }
  heatContacts(loadNode, loadCurrent, loadResistance, loadHeatShare, loadEdgeHeight, loadCount, -1);
  heatContacts(sourceNode, sourceCurrent, sourceResistance, sourceHeatShare, sourceEdgeHeight, sourceCount, 1);
  if (edgeCount > 0) spread();
}

/** The same where return contacts carry another current than supply contacts. */
function updateWithFrame(): void {
  divide();
  beginFrameVoltages();
  heatContacts(loadNode, loadCurrent, loadResistance, loadHeatShare, loadEdgeHeight, loadCount, -1);
  heatContacts(sourceNode, sourceCurrent, sourceResistance, sourceHeatShare, sourceEdgeHeight, sourceCount, 1);
  heatReturnContacts(loadNode, loadReturnCurrent, loadResistance, loadHeatShare, loadEdgeHeight, loadCount, -1);
  heatReturnContacts(sourceNode, sourceReturnCurrent, sourceResistance, sourceHeatShare, sourceEdgeHeight, sourceCount, 1);
  if (edgeCount > 0) spread();
  voltageShift = addFrameVoltages();
}

/** What {@link heatContacts} finds, for the return pole alone. */
function heatReturnContacts(
  node: usize, current: usize, resistance: usize, heatShare: usize, height: usize, count: i32, sign: f64,
): void {
  for (let k = 0; k < count; k++) {
    const amperes = at(current, k);
    const i = wholeAt(node, k);
    const watts = amperes * amperes * at(heatShare, k) * returnOf(pair(resistance, k));
    setPair(contactHeat, i, f64x2.replace_lane(pair(contactHeat, i), 1, watts));
    if (at(height, k) != 0) setPair(edgeCurrent, i, f64x2.replace_lane(pair(edgeCurrent, i), 1, sign * amperes));
  }
}

/** I²·R·(share that enters the bar) of every contact; at the front edge also the current into the supply pole. */
function heatContacts(
  node: usize, current: usize, resistance: usize, heatShare: usize, height: usize, count: i32, sign: f64,
): void {
  for (let k = 0; k < count; k++) {
    const amperes = at(current, k);
    const i = wholeAt(node, k);
    setPair(contactHeat, i, times(both(amperes * amperes * at(heatShare, k)), pair(resistance, k)));
    if (at(height, k) == 0) continue;
    put(edgeAmperes, i, sign * amperes);
    setPair(edgeCurrent, i, both(sign * amperes));
  }
}

/** Voltages and heats where currents spread from the contacts at the front edge. */
function spread(): void {
  const alike = areAlike && !hasFrame;
  let largest: f64 = 0;
  for (let k = 0; k < edgeCount; k++) {
    const i = wholeAt(edgeSlot, k);
    const into = pair(edgeCurrent, i);
    const others = alike ? feltByEither(i) : felt(i, edgeCurrent);
    const all = plusTimes(others, pair(patchMean, i), into);
    const slope = pair(sheetSlope, i);
    const ohms = plusTimes(pair(sheetOffset, i), slope, pair(temperature, i));
    const volts = times(all, ohms);
    const byOthers = times(others, ohms);
    setPair(mutualVoltage, i, byOthers);
    // What flows into the supply pole flows out of the return pole: the voltages add up.
    put(edgeVoltage, i, supplyOf(volts) + returnOf(volts));
    const both = supplyOf(byOthers) + returnOf(byOthers);
    largest = max(largest, abs(both - at(contactVoltage, i)));
    put(contactVoltage, i, both);
    const heat = times(into, volts);
    setPair(spreadingHeat, i, heat);
    setPair(spreadingHeatSlope, i, times(times(into, all), slope));
    setPair(contactHeat, i, plus(pair(contactHeat, i), heat));
  }
  voltageShift = largest;
}

/**
 * Heats and voltages of all contacts, from those in `ownHeat`, `ownHeatSlope` and `ownEdgeVoltage`, where the sources feed
 * `sourceCurrent` instead of `ownFed` and the loads take what they took.
 */
export function feedOtherwise(): void {
  copy(contactHeat, ownHeat, 2 * slotCount);
  copy(spreadingHeatSlope, ownHeatSlope, 2 * slotCount);
  copy(edgeVoltage, ownEdgeVoltage, slotCount);
  if (edgeCount > 0) {
    clear(feltMore, 2 * slotCount);
    for (let k = 0; k < sourceCount; k++) {
      const amperes = at(sourceCurrent, k) - at(ownFed, k);
      if (at(sourceEdgeHeight, k) == 0 || amperes == 0) continue;
      const i = wholeAt(sourceNode, k);
      // What one contact feels of another, the other feels of it.
      const f = mutual + ((<usize>i * <usize>slotCount) << 4);
      const last = wholeAt(feltTo, i);
      for (let j = wholeAt(feltFrom, i); j <= last; j++) setPair(feltMore, j, plusTimes(pair(feltMore, j), pair(f, j), both(amperes)));
    }
    for (let k = 0; k < edgeCount; k++) {
      const i = wholeAt(edgeSlot, k);
      const into = pair(edgeCurrent, i);
      const byMore = times(pair(feltMore, i), ohmsAt(i));
      setPair(spreadingHeatSlope, i, plusTimes(pair(spreadingHeatSlope, i), times(into, pair(feltMore, i)), pair(sheetSlope, i)));
      setPair(feltMore, i, byMore);
      setPair(contactHeat, i, plusTimes(pair(contactHeat, i), into, byMore));
      put(edgeVoltage, i, at(edgeVoltage, i) + (supplyOf(byMore) + returnOf(byMore)));
    }
  }
  for (let k = 0; k < sourceCount; k++) {
    const fed = at(sourceCurrent, k);
    const own = at(ownFed, k);
    const amperes = fed - own;
    if (amperes == 0) continue;
    const i = wholeAt(sourceNode, k);
    const square = both(fed * fed - own * own);
    let heat = plusTimes(pair(contactHeat, i), times(square, both(at(sourceHeatShare, k))), pair(sourceResistance, k));
    if (at(sourceEdgeHeight, k) != 0) {
      const beneath = times(pair(patchMean, i), ohmsAt(i));
      const spread = plus(times(both(amperes), plus(pair(mutualVoltage, i), pair(feltMore, i))), times(square, beneath));
      heat = plus(heat, spread);
      setPair(spreadingHeatSlope, i, plusTimes(pair(spreadingHeatSlope, i), spread, over(pair(sheetSlope, i), ohmsAt(i))));
      put(edgeVoltage, i, at(edgeVoltage, i) + amperes * (supplyOf(beneath) + returnOf(beneath)));
    }
    setPair(contactHeat, i, heat);
  }
}

/** Ω of a square of the sheet at the present temperatures. */
// @ts-ignore: decorator
@inline function ohmsAt(i: i32): v128 {
  return plusTimes(pair(sheetOffset, i), pair(sheetSlope, i), pair(temperature, i));
}

/**
 * Heats at the front edge for temperatures a Newton step away (`stepped`) or those of the moment, with bounds of the hot
 * spots that they make and of their rates.
 */
export function updateEdgeHeat(relativeRate: f64, stepped: bool): void {
  if (edgeCount == 0) return;
  heatRate = relativeRate;
  const factor: f64 = stepped ? 1 : 0;
  let largest = both(0);
  let highest = both(0);
  let fastest = both(0);
  for (let k = 0; k < edgeCount; k++) {
    const i = wholeAt(edgeSlot, k);
    const g = at(unitConductance, i);
    const slope = minus(pair(spreadingHeatSlope, i), both(g));
    const path = times(both(g), minus(both(at(air, i) + at(unitRise, i)), pair(temperature, i)));
    const moved = times(both(factor), times(slope, pair(change, i)));
    const heat = plus(plus(pair(contactHeat, i), path), moved);
    setPair(edgeHeat, i, heat);
    largest = f64x2.pmax(largest, heat);
    const own = minus(plus(times(both(factor), times(slope, pair(rate, i))), both(g * at(airSlope, i))), times(both(relativeRate), path));
    highest = f64x2.pmax(highest, times(pair(sheetThermal, i), times(pair(patchMiddle, i), heat)));
    const ownRate = times(pair(sheetThermal, i), times(pair(patchMiddle, i), own));
    setPair(hotSpotOwnRate, i, ownRate);
    fastest = f64x2.pmax(fastest, f64x2.abs(ownRate));
  }
  largestSupplyHeat = supplyOf(largest);
  largestReturnHeat = returnOf(largest);
  boundAtMost = max(supplyOf(highest), returnOf(highest)) + feltThermalAtMost * max(largestSupplyHeat, largestReturnHeat);
  ownRateAtMost = max(supplyOf(fastest), returnOf(fastest));
}

/** K, what the hot spots of a slot do not exceed for the heats last updated. */
export function hotSpotBound(slot: i32): v128 {
  if (edgeCount == 0) return both(0);
  const largest = f64x2.replace_lane(both(largestSupplyHeat), 1, largestReturnHeat);
  const own = times(pair(patchMiddle, slot), f64x2.pmax(both(0), pair(edgeHeat, slot)));
  return times(pair(sheetThermal, slot), plusTimes(own, pair(feltAtMost, slot), largest));
}

/** Heats at the front edge as far as currents make them, the units' heat paths left out. */
export function updateEdgeHeatOfLoad(): void {
  for (let k = 0; k < edgeCount; k++) {
    const i = wholeAt(edgeSlot, k);
    setPair(edgeHeat, i, pair(contactHeat, i));
  }
}

/** K, front edge in the middle of a slot above the mean over the depth, not below 0, for the heats last updated. */
export function hotSpotAt(entry: i32): f64 {
  if (edgeCount == 0) return 0;
  const i = entry >> 1;
  const row = mutual + ((<usize>i * <usize>slotCount) << 4) + (<usize>(entry & 1) << 3);
  const heats = edgeHeat + (<usize>(entry & 1) << 3);
  const last = wholeAt(feltTo, i);
  let k = wholeAt(feltFrom, i);
  let a: f64 = 0;
  let b: f64 = 0;
  let c: f64 = 0;
  let d: f64 = 0;
  for (; k + 3 <= last; k += 4) {
    a += at(row, 2 * k) * at(heats, 2 * k);
    b += at(row, 2 * k + 2) * at(heats, 2 * k + 2);
    c += at(row, 2 * k + 4) * at(heats, 2 * k + 4);
    d += at(row, 2 * k + 6) * at(heats, 2 * k + 6);
  }
  for (; k <= last; k++) a += at(row, 2 * k) * at(heats, 2 * k);
  const felt = (a + b) + (c + d) + at(patchMiddle, entry) * at(edgeHeat, entry);
  // Where units cool the front edge the mean over the depth stands for the hottest point.
  return felt > 0 ? felt * at(sheetThermal, entry) : 0;
}

/** K/W, how the hot spot (K) at an entry follows the power. */
export function hotSpotRateAt(entry: i32, hotSpot: f64): f64 {
  // That the neighbours' heat follows the temperature is left out: a step is a little off, a solution is not.
  return hotSpot > 0 ? heatRate * hotSpot + at(hotSpotOwnRate, entry) : 0;
}
