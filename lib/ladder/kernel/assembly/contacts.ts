// Heats and voltages of the contacts, spreading included: see contactSpreading.ts for the formulas.

import { at, both, pair, plus, plusTimes, put, returnOf, setPair, supplyOf, times, wholeAt, minus } from './lanes';
import {
  air, airSlope, change, contactHeat, contactHeatSlope, contactVoltage, edgeCurrent, edgeHeat, edgeHeight, edgeLoadHeat,
  edgeVoltage, feltAtMost, feltFrom, feltTo, hotSpotBound, hotSpotOwnRate, loadCurrent, loadEdgeHeight, loadHeatShare,
  loadNode, loadResistance, mutual, patchMean, patchMiddle, rate, sheetOffset, sheetSlope, sheetThermal, slotCount,
  sourceCurrent, sourceEdgeHeight, sourceHeatShare, sourceNode, sourceResistance, spreadingHeat, spreadingHeatSlope,
  temperature, unitConductance, unitRise,
} from './memory';

/** 1/W, what heat made by currents follows the power by, relative. */
export let heatRate: f64 = 0;

/** Whether any contact is at the front edge. */
let any: bool = false;

/** Forgets the contacts of the scenario before; `edgeHeight` is that of the new one. */
export function beginContacts(anyAtEdge: bool): void {
  any = anyAtEdge;
  heatRate = 0;
  const pairs = <usize>slotCount << 4;
  const single = <usize>slotCount << 3;
  memory.fill(spreadingHeat, 0, pairs);
  memory.fill(spreadingHeatSlope, 0, pairs);
  memory.fill(edgeLoadHeat, 0, pairs);
  memory.fill(edgeHeat, 0, pairs);
  memory.fill(hotSpotBound, 0, pairs);
  memory.fill(hotSpotOwnRate, 0, pairs);
  memory.fill(edgeVoltage, 0, single);
  memory.fill(edgeCurrent, 0, pairs);
}

/** Σ_k F_jk·x_k over an array `[slot × pole]`. */
function felt(j: i32, x: usize): v128 {
  const row = mutual + ((<usize>j * <usize>slotCount) << 4);
  const last = wholeAt(feltTo, j);
  let k = wholeAt(feltFrom, j);
  // Two sums side by side hide the latency of the additions.
  let even = both(0);
  let odd = both(0);
  for (; k < last; k += 2) {
    even = plusTimes(even, pair(row, k), pair(x, k));
    odd = plusTimes(odd, pair(row, k + 1), pair(x, k + 1));
  }
  if (k == last) even = plusTimes(even, pair(row, k), pair(x, k));
  return plus(even, odd);
}

/** Heats and voltages of all contacts at their present currents and the present temperatures. */
export function updateContacts(loadCount: i32, sourceCount: i32): void {
  const n = slotCount;
  if (any) {
    addEdge(loadNode, loadCurrent, loadResistance, loadHeatShare, loadEdgeHeight, loadCount, -1);
    addEdge(sourceNode, sourceCurrent, sourceResistance, sourceHeatShare, sourceEdgeHeight, sourceCount, 1);
    for (let i = 0; i < n; i++) {
      if (at(edgeHeight, i) == 0) continue;
      const into = pair(edgeCurrent, i);
      const all = plusTimes(felt(i, edgeCurrent), pair(patchMean, i), into);
      const slope = pair(sheetSlope, i);
      const volts = times(all, plusTimes(pair(sheetOffset, i), slope, pair(temperature, i)));
      // What flows into the supply pole flows out of the return pole: the voltages add up.
      put(edgeVoltage, i, supplyOf(volts) + returnOf(volts));
      const heat = times(into, volts);
      setPair(spreadingHeat, i, heat);
      setPair(spreadingHeatSlope, i, times(times(into, all), slope));
      setPair(edgeLoadHeat, i, plus(pair(edgeLoadHeat, i), heat));
    }
  }
  memory.copy(contactVoltage, edgeVoltage, <usize>n << 3);
  memory.copy(contactHeat, spreadingHeat, <usize>n << 4);
  memory.copy(contactHeatSlope, spreadingHeatSlope, <usize>n << 4);
  addHeat(loadNode, loadCurrent, loadResistance, loadHeatShare, loadCount);
  addHeat(sourceNode, sourceCurrent, sourceResistance, sourceHeatShare, sourceCount);
}

/** Current into the supply pole and heat through the patch of the contacts at the front edge. */
function addEdge(
  node: usize, current: usize, resistance: usize, heatShare: usize, height: usize, count: i32, sign: f64,
): void {
  for (let k = 0; k < count; k++) {
    if (at(height, k) == 0) continue;
    const amperes = at(current, k);
    const i = wholeAt(node, k);
    setPair(edgeCurrent, i, both(sign * amperes));
    setPair(edgeLoadHeat, i, times(both(amperes * amperes * at(heatShare, k)), pair(resistance, k)));
  }
}

/** I²·R·(share that enters the bar) of every contact. */
function addHeat(node: usize, current: usize, resistance: usize, heatShare: usize, count: i32): void {
  for (let k = 0; k < count; k++) {
    const amperes = at(current, k);
    const i = wholeAt(node, k);
    const heat = times(both(amperes * amperes * at(heatShare, k)), pair(resistance, k));
    setPair(contactHeat, i, plus(pair(contactHeat, i), heat));
  }
}

/**
 * Heats at the front edge for temperatures a Newton step away (`stepped`) or those of the moment, with the bounds of the
 * hot spots that they make and of their rates.
 */
export function updateEdgeHeat(relativeRate: f64, stepped: bool): void {
  if (!any) return;
  const n = slotCount;
  heatRate = relativeRate;
  const factor: f64 = stepped ? 1 : 0;
  let largest = both(0);
  for (let i = 0; i < n; i++) {
    if (at(edgeHeight, i) == 0) continue;
    const g = at(unitConductance, i);
    const slope = minus(pair(spreadingHeatSlope, i), both(g));
    const path = times(both(g), minus(both(at(air, i) + at(unitRise, i)), pair(temperature, i)));
    const moved = times(both(factor), times(slope, pair(change, i)));
    const heat = plus(plus(pair(edgeLoadHeat, i), path), moved);
    setPair(edgeHeat, i, heat);
    largest = f64x2.max(largest, heat);
    const own = minus(plus(times(both(factor), times(slope, pair(rate, i))), both(g * at(airSlope, i))), times(both(relativeRate), path));
    setPair(hotSpotOwnRate, i, times(pair(sheetThermal, i), times(pair(patchMiddle, i), own)));
  }
  for (let i = 0; i < n; i++) {
    const own = times(pair(patchMiddle, i), f64x2.max(both(0), pair(edgeHeat, i)));
    setPair(hotSpotBound, i, times(pair(sheetThermal, i), plusTimes(own, pair(feltAtMost, i), largest)));
  }
}

/** Heats at the front edge as far as currents make them, the units' heat paths left out. */
export function updateEdgeHeatOfLoad(): void {
  memory.copy(edgeHeat, edgeLoadHeat, <usize>slotCount << 4);
}

/** K, front edge in the middle of a slot above the mean over the depth, not below 0, for the heats last updated. */
export function hotSpotAt(entry: i32): f64 {
  if (!any) return 0;
  const i = entry >> 1;
  const row = mutual + ((<usize>i * <usize>slotCount) << 4) + (<usize>(entry & 1) << 3);
  const heats = edgeHeat + (<usize>(entry & 1) << 3);
  const last = wholeAt(feltTo, i);
  let k = wholeAt(feltFrom, i);
  let even: f64 = 0;
  let odd: f64 = 0;
  for (; k < last; k += 2) {
    even += at(row, 2 * k) * at(heats, 2 * k);
    odd += at(row, 2 * k + 2) * at(heats, 2 * k + 2);
  }
  if (k == last) even += at(row, 2 * k) * at(heats, 2 * k);
  const felt = even + odd + at(patchMiddle, entry) * at(edgeHeat, entry);
  // Where units cool the front edge the mean over the depth stands for the hottest point.
  return felt > 0 ? felt * at(sheetThermal, entry) : 0;
}

/** K/W, how the hot spot (K) at an entry follows the power. */
export function hotSpotRateAt(entry: i32, hotSpot: f64): f64 {
  // That the neighbours' heat follows the temperature is left out: a step is a little off, a solution is not.
  return hotSpot > 0 ? heatRate * hotSpot + at(hotSpotOwnRate, entry) : 0;
}
