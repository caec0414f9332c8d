// Where the search for a rated power starts: one linear solve per operating state with the films frozen. It depends on the
// mounted scenario alone, never on the one before, so that results do not depend on their order.

import { hotSpotAt, updateContacts, updateEdgeHeatOfLoad } from './contacts';
import { assembleLossAt } from './films';
import { at, both, clear, copy, minus, over, pair, plus, plusTimes, positive, put, setPair, times, wholeAt } from './lanes';
import {
  active, air, coarseRise, coarseVoltage, contactHeat, contactVoltage, frozenMultiplier, frozenPivot, heat,
  loadAt, loadCurrent, maxCurrent, maxPower, sectionFirst, segmentConductance, segmentCurrent, segmentOffset, segmentSlope,
  share, sharingWeight, slotCount, sourceAt, sourceCurrent, temperature, unitConductance,
} from './memory';
import {
  barRise, barTemperature, contactTemperature, loadContactCurrent, mountings, pitch, setAir, setVoltage, sourceCount,
} from './rack';

/** Rise assumed where no temperature is limited, K. */
const NO_LIMIT_RISE: f64 = 50;
/** K; a start above this rise is held there. */
const HIGHEST_START: f64 = 300;

/** Rise above the air to which the films are frozen, K; whether the frozen ladder has a solution; for which mounting. */
let reference: f64 = NO_LIMIT_RISE;
let hasSolution: bool = false;
let frozenFor: i32 = -1;

/**
 * Solves for the present state: where {@link beginAt} begins. Temperatures and currents are overwritten.
 * @returns an estimate of the rated power, W
 */
export function solveStart(): f64 {
  setAir(0);
  if (frozenFor != mountings) freeze();
  let weights: f64 = 0;
  for (let k = 0; k < sourceCount; k++) if (wholeAt(active, k) == 1) weights += at(sharingWeight, k);
  const isLoadLimited = isFinite(loadContactCurrent);
  let estimate: f64 = Infinity;
  let current: f64 = 0;
  for (let i = 0; i < slotCount; i++) {
    const k = wholeAt(sourceAt, i);
    if (k >= 0) {
      const part = wholeAt(active, k) == 1 ? at(sharingWeight, k) / weights : 0;
      const fed = part / setVoltage;
      put(sourceCurrent, k, fed);
      if (part > 0) {
        current += fed;
        estimate = min(estimate, min(at(maxCurrent, k) / fed, at(maxPower, k) / part));
      }
    }
    const l = wholeAt(loadAt, i);
    if (l >= 0) {
      const taken = at(share, l) / setVoltage;
      put(loadCurrent, l, taken);
      current -= taken;
      if (isLoadLimited && taken > 0) estimate = min(estimate, loadContactCurrent / taken);
    }
    put(segmentCurrent, i, current);
    setPair(temperature, i, both(at(air, i) + reference));
  }
  updateContacts();
  copy(coarseVoltage, contactVoltage, slotCount);
  if (hasSolution) solveFrozen();
  else clear(coarseRise, 2 * slotCount);
  updateEdgeHeatOfLoad();
  const steepest = steepestRise();
  if (steepest > 0) estimate = min(estimate, sqrt(reference / steepest));
  return isFinite(estimate) && estimate > 0 ? estimate : 100 * setVoltage;
}

/** K/W², of the hottest point anywhere. */
function steepestRise(): f64 {
  let largest = both(0);
  for (let i = 0; i < slotCount; i++) largest = f64x2.pmax(largest, pair(coarseRise, i));
  let steepest = max(f64x2.extract_lane(largest, 0), f64x2.extract_lane(largest, 1));
  // A hot spot adds a tenth at most as a rule: cooler slots do not matter for an estimate.
  const near = 0.9 * steepest;
  for (let i = 0; i < slotCount; i++) {
    if (!v128.any_true(f64x2.ge(pair(coarseRise, i), both(near)))) continue;
    for (let e = 2 * i; e < 2 * i + 2; e++) {
      if (at(coarseRise, e) >= near) steepest = max(steepest, at(coarseRise, e) + hotSpotAt(e));
    }
  }
  return steepest;
}

/** For the benchmark: the next start freezes the films anew, as for a scenario just mounted. */
export function forgetStart(): void {
  frozenFor = -1;
}

/** Films at their value for a rise that a limit may allow, eliminated once for all operating states. */
function freeze(): void {
  frozenFor = mountings;
  const room = min(barRise, min(barTemperature - at(air, 0), contactTemperature - at(air, 0)));
  reference = isFinite(room) ? min(HIGHEST_START, max(1, room)) : NO_LIMIT_RISE;
  const perKelvin = both(pitch / reference);
  for (let i = 0; i < slotCount; i++) {
    // The film hardly differs between the slots of a section: its lowest slot stands for all.
    const supply = wholeAt(sectionFirst, 2 * i);
    const back = wholeAt(sectionFirst, 2 * i + 1);
    if (supply == i || back == i) {
      setPair(temperature, i, both(at(air, i) + reference));
      assembleLossAt(i, 0);
      setPair(heat, i, f64x2.pmax(both(0), times(perKelvin, pair(heat, i))));
    }
    if (supply != i) put(heat, 2 * i, at(heat, 2 * supply));
    if (back != i) put(heat, 2 * i + 1, at(heat, 2 * back + 1));
  }
  hasSolution = eliminate();
}

/**
 * Eliminates the ladder with the films frozen: `heat` holds W/K of each node.
 * @returns false where it has no steady state at all
 */
function eliminate(): bool {
  let coupling = both(0);
  let inverse = both(0);
  for (let i = 0; i < slotCount; i++) {
    const m = times(coupling, inverse);
    if (i > 0) setPair(frozenMultiplier, i - 1, m);
    let pivot = plus(plus(pair(heat, i), both(at(unitConductance, i))), minus(coupling, times(coupling, m)));
    if (i < slotCount - 1) {
      coupling = pair(segmentConductance, i);
      pivot = plus(pivot, coupling);
    }
    if (!positive(pivot)) return false;
    inverse = over(both(1), pivot);
    setPair(frozenPivot, i, inverse);
  }
  return true;
}

/** Rise with the films frozen, for the currents in `segmentCurrent` and the present contact heats and temperatures. */
function solveFrozen(): void {
  const last = slotCount - 1;
  let below = both(0);
  let forward = both(0);
  for (let i = 0; i < slotCount; i++) {
    let source = plus(pair(contactHeat, i), below);
    if (i < last) {
      const amperes = at(segmentCurrent, i);
      const ohms = plusTimes(pair(segmentOffset, i), pair(segmentSlope, i), plus(pair(temperature, i), pair(temperature, i + 1)));
      below = times(both(0.5 * amperes * amperes), ohms);
      source = plus(source, below);
    }
    forward = i > 0 ? plusTimes(source, pair(frozenMultiplier, i - 1), forward) : source;
    setPair(coarseRise, i, forward);
  }
  let x = both(0);
  for (let i = last; i >= 0; i--) {
    const alone = times(pair(coarseRise, i), pair(frozenPivot, i));
    x = i < last ? plusTimes(alone, pair(frozenMultiplier, i), x) : alone;
    setPair(coarseRise, i, x);
  }
}

/** Air, temperatures and contact voltages where the start last solved has them at a power, W. */
export function beginAt(power: f64): void {
  setAir(power);
  const square = both(power * power);
  for (let i = 0; i < slotCount; i++) {
    put(contactVoltage, i, power * at(coarseVoltage, i));
    const rise = f64x2.pmin(both(HIGHEST_START), times(square, pair(coarseRise, i)));
    setPair(temperature, i, plus(both(at(air, i)), rise));
  }
}

