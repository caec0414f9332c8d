// Lays a scenario out slot by slot.

import { setArea } from './area';
import { beginContacts } from './contacts';
import { patchMean as meanOf, patchMiddle as middleOf } from './host';
import { at, both, clear, pair, put, putWhole, setPair, times, wholeAt, wholeOf } from './lanes';
import {
  airBase, airProfile, airSlope, black, depth, droopResistance, edgeSlot, emissivity, envelope, isShelf, loadAt, loadEdgeHeight, loadHeatShare,
  loadNode, loadResistance, loadThermalResistance, maxCurrent, maxPower, nominalEmissivity, outcome, patches, patchMean, patchMiddle, share,
  sharingWeight, slotCount, sourceAt, sourceEdgeHeight, sourceHeatShare, sourceNode, sourceResistance,
  sourceThermalResistance, SWEEPS, unitConductance, unitCounts, UNIT_NUMBERS, unitRise, units,
} from './memory';
import { beginTouching, setScenario, touch } from './rack';
import { layStates } from './states';

// Numbers of a unit, in the order in which the host puts them.
/** 0 for a load, 1 for a power shelf, 2 for a battery shelf. */
const KIND: i32 = 0;
const BOTTOM_SLOT: i32 = 1;
const HEIGHT_SLOTS: i32 = 2;
const CONTACT_SLOT: i32 = 3;
const POWER: i32 = 4;
const SUPPLY_RESISTANCE: i32 = 5;
const RETURN_RESISTANCE: i32 = 6;
const THERMAL_RESISTANCE: i32 = 7;
const HEAT_SHARE: i32 = 8;
const EDGE_HEIGHT: i32 = 9;
const HEAT_CONDUCTANCE: i32 = 10;
const HEAT_RISE: i32 = 11;
const SHARING_WEIGHT: i32 = 12;
const MAX_CURRENT: i32 = 13;
const MAX_POWER: i32 = 14;
const DROOP_RESISTANCE: i32 = 15;

/** W/(m²·K⁴), as in radiation.ts. */
const STEFAN_BOLTZMANN: f64 = 5.670374e-8;

// How mounting ended.
const MOUNTED: i32 = 0;
const NO_LOAD: i32 = 1;
const LEAVES_RACK: i32 = 2;
const TWO_CONTACTS: i32 = 3;
const NOT_FED: i32 = 4;

/** The unit at which mounting ended. */
export let faultyUnit: i32 = 0;

/** Of the mounted scenario: K/W of the air beside any slot, up or down; K/A² of any contact spot above its bar, of loads and of sources. */
export let airSlopeAtMost: f64 = 0;
export let loadSpotAtMost: f64 = 0;
export let sourceSpotAtMost: f64 = 0;

/**
 * Lays out `count` units and everything that varies from scenario to scenario.
 *
 * @param exhaustRise K per W of a unit's share of the load
 * @param inlet K
 * @param radiates emissivity of every section, or not a number for what the rack file says
 */
export function mount(
  count: i32, contactFactor: f64, exhaustRise: f64, inlet: f64, radiates: f64, filmFactor: f64, areaFactor: f64,
): i32 {
  clearSlots(inlet, radiates);
  let total: f64 = 0;
  for (let u = 0; u < count; u++) if (at(unitAt(u), KIND) == 0) total += at(unitAt(u), POWER);
  if (!(total > 0)) return NO_LOAD;
  let loads = 0;
  let sources = 0;
  let atEdge = 0;
  airSlopeAtMost = 0;
  loadSpotAtMost = 0;
  sourceSpotAtMost = 0;
  for (let u = 0; u < count; u++) {
    faultyUnit = u;
    const unit = unitAt(u);
    const height = at(unit, HEIGHT_SLOTS);
    const bottom = slotOf(at(unit, BOTTOM_SLOT));
    const top = slotOf(at(unit, BOTTOM_SLOT) + height - 1);
    const contact = slotOf(at(unit, CONTACT_SLOT));
    if (bottom == 0 || top == 0 || contact == 0) return LEAVES_RACK;
    const node = contact - 1;
    if (wholeAt(loadAt, node) >= 0 || wholeAt(sourceAt, node) >= 0) return TWO_CONTACTS;
    if (at(unit, KIND) == 0) {
      addContact(loads, unit, node, contactFactor, loadNode, loadResistance, loadThermalResistance, loadHeatShare, loadEdgeHeight);
      putWhole(loadAt, node, loads);
      const part = at(unit, POWER) / total;
      put(share, loads, part);
      loadSpotAtMost = max(loadSpotAtMost, spotOf(loads, loadResistance, loadThermalResistance));
      const perSlot = (exhaustRise * part) / height;
      airSlopeAtMost = max(airSlopeAtMost, abs(perSlot));
      for (let i = bottom - 1; i < top; i++) put(airSlope, i, perSlot);
      loads++;
    } else {
      addContact(
        sources, unit, node, contactFactor, sourceNode, sourceResistance, sourceThermalResistance, sourceHeatShare, sourceEdgeHeight);
      sourceSpotAtMost = max(sourceSpotAtMost, spotOf(sources, sourceResistance, sourceThermalResistance));
      putWhole(sourceAt, node, sources);
      putWhole(isShelf, sources, at(unit, KIND) == 1 ? 1 : 0);
      put(sharingWeight, sources, at(unit, SHARING_WEIGHT));
      put(maxCurrent, sources, at(unit, MAX_CURRENT));
      put(maxPower, sources, at(unit, MAX_POWER));
      put(droopResistance, sources, at(unit, DROOP_RESISTANCE));
      sources++;
    }
    const rise = at(unit, HEAT_RISE);
    put(unitConductance, node, at(unit, HEAT_CONDUCTANCE));
    put(unitRise, node, rise);
    if (rise > 0 && at(unit, HEAT_CONDUCTANCE) > 0) touch(at(airBase, node) + rise);
    const patchHeight = at(unit, EDGE_HEIGHT);
    if (patchHeight > 0) {
      putWhole(edgeSlot, atEdge++, node);
      addPatch(node, patchHeight);
    }
  }
  put(outcome, SWEEPS, 0);
  putWhole(unitCounts, 0, loads);
  putWhole(unitCounts, 1, sources);
  setScenario(loads, sources, filmFactor);
  setArea(areaFactor);
  beginContacts(atEdge);
  return layStates() ? MOUNTED : NOT_FED;
}

// @ts-ignore: decorator
@inline function unitAt(u: i32): usize {
  return units + (<usize>u * UNIT_NUMBERS << 3);
}

/** A number as that of a slot, from 1 on; 0 where it is none. */
// @ts-ignore: decorator
@inline function slotOf(x: f64): i32 {
  const slot = wholeOf(x);
  return <f64>slot == x && slot >= 1 && slot <= slotCount ? slot : 0;
}

/** No units; air at an inlet temperature and its profile. */
function clearSlots(inlet: f64, radiates: f64): void {
  const n = slotCount;
  let coldest: f64 = Infinity;
  let warmest: f64 = 0;
  for (let i = 0; i < n; i++) {
    putWhole(loadAt, i, -1);
    putWhole(sourceAt, i, -1);
    const base = inlet + at(airProfile, i);
    put(airBase, i, base);
    coldest = min(coldest, base);
    warmest = max(warmest, base);
  }
  beginTouching(coldest, warmest);
  clear(airSlope, n);
  clear(unitConductance, n);
  clear(unitRise, n);
  clear(patchMean, 2 * n);
  clear(patchMiddle, 2 * n);
  const asDrawn = isNaN(radiates);
  for (let i = 0; i < n; i++) {
    const here = asDrawn ? pair(nominalEmissivity, i) : both(radiates);
    setPair(emissivity, i, here);
    setPair(black, i, times(times(here, both(STEFAN_BOLTZMANN)), pair(envelope, i)));
  }
}

// @ts-ignore: decorator
@inline function addContact(
  k: i32, unit: usize, slot: i32, factor: f64, node: usize, resistance: usize, thermalResistance: usize, heatShare: usize,
  edgeHeights: usize,
): void {
  putWhole(node, k, slot);
  put(resistance, 2 * k, factor * at(unit, SUPPLY_RESISTANCE));
  put(resistance, 2 * k + 1, factor * at(unit, RETURN_RESISTANCE));
  put(thermalResistance, k, at(unit, THERMAL_RESISTANCE));
  put(heatShare, k, at(unit, HEAT_SHARE));
  put(edgeHeights, k, at(unit, EDGE_HEIGHT));
}

/** K/A² of the warmer spot of a contact. */
// @ts-ignore: decorator
@inline function spotOf(k: i32, resistance: usize, thermalResistance: usize): f64 {
  return at(thermalResistance, k) * max(at(resistance, 2 * k), at(resistance, 2 * k + 1));
}

// Patches met so far, of which a rack knows few: height, depth, S and M of each; with the place of the last one found.
const PATCH: i32 = 4;
const MOST_PATCHES: i32 = 16;
let patchCount: i32 = 0;
let found: i32 = 0;

function addPatch(slot: i32, height: f64): void {
  for (let e = 2 * slot; e < 2 * slot + 2; e++) {
    const here = at(depth, e);
    if (!isPatch(found, height, here)) findPatch(height, here);
    put(patchMean, e, at(patches, PATCH * found + 2));
    put(patchMiddle, e, at(patches, PATCH * found + 3));
  }
}

// @ts-ignore: decorator
@inline function isPatch(k: i32, height: f64, here: f64): bool {
  return at(patches, PATCH * k) == height && at(patches, PATCH * k + 1) == here;
}

function findPatch(height: f64, here: f64): void {
  const known = min(patchCount, MOST_PATCHES);
  for (found = 0; found < known; found++) if (isPatch(found, height, here)) return;
  // The new one takes the place of the oldest.
  found = patchCount % MOST_PATCHES;
  patchCount++;
  put(patches, PATCH * found, height);
  put(patches, PATCH * found + 1, here);
  put(patches, PATCH * found + 2, meanOf(height, here));
  put(patches, PATCH * found + 3, middleOf(height, here));
}
