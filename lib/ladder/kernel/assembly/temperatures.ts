// Newton step and dT/dP of both poles' temperatures: see thermalLadder.ts for the equations.

import { at, both, minus, over, pair, plus, plusTimes, positive, put, setPair, times } from './lanes';
import {
  air, airBase, airSlope, change, coarseRise, coarseVoltage, contactHeat, contactHeatSlope, contactVoltage, frozenMultiplier, frozenPivot, heat,
  heatSlope, inversePivot, multiplier, rate, segmentConductance, segmentCurrent, segmentOffset, segmentSlope, slotCount,
  temperature, unitConductance, unitRise,
} from './memory';

/** Air beside the bar at a total load power, W. */
export function setAir(power: f64): void {
  for (let i = 0; i < slotCount; i++) put(air, i, at(airBase, i) + at(airSlope, i) * power);
}

/**
 * Linearises at the present temperatures, currents, contact heats and losses.
 * @param currentOrder d ln I/d ln P
 * @returns false where the matrix is no M-matrix
 */
export function linearise(pitch: f64, power: f64, currentOrder: f64): bool {
  const n = slotCount;
  const last = n - 1;
  const heatRate = both((2 * currentOrder) / power);
  const metres = both(pitch);
  let below = both(0);
  let belowDiagonal = both(0);
  let belowRate = both(0);
  let coupling = both(0);
  let inverse = both(0);
  let forward = both(0);
  let forwardRate = both(0);
  for (let i = 0; i < n; i++) {
    const g = at(unitConductance, i);
    const t = pair(temperature, i);
    const contact = pair(contactHeat, i);
    const slope = plusTimes(both(g), metres, pair(heatSlope, i));
    const unit = times(both(g), minus(both(at(air, i) + at(unitRise, i)), t));
    let residual = plus(minus(plus(contact, unit), times(metres, pair(heat, i))), below);
    let diagonal = plus(minus(slope, pair(contactHeatSlope, i)), belowDiagonal);
    let source = plus(plus(times(heatRate, contact), times(slope, both(at(airSlope, i)))), belowRate);
    const m = times(coupling, inverse);
    if (i > 0) setPair(multiplier, i - 1, m);
    const lower = coupling;
    if (i < last) {
      const amperes = at(segmentCurrent, i);
      const halfSquare = both(0.5 * amperes * amperes);
      const next = pair(temperature, i + 1);
      const perKelvin = pair(segmentSlope, i);
      const joule = times(halfSquare, plusTimes(pair(segmentOffset, i), perKelvin, plus(t, next)));
      const jouleSlope = times(halfSquare, perKelvin);
      const along = pair(segmentConductance, i);
      const flow = times(along, minus(t, next));
      residual = plus(residual, minus(joule, flow));
      below = plus(joule, flow);
      belowDiagonal = minus(along, jouleSlope);
      diagonal = plus(diagonal, belowDiagonal);
      belowRate = times(heatRate, joule);
      source = plus(source, belowRate);
      coupling = plus(along, jouleSlope);
    }
    const pivot = minus(diagonal, times(lower, m));
    if (!positive(pivot)) return false;
    inverse = over(both(1), pivot);
    setPair(inversePivot, i, inverse);
    forward = plusTimes(residual, m, forward);
    forwardRate = plusTimes(source, m, forwardRate);
    setPair(change, i, forward);
    setPair(rate, i, forwardRate);
  }
  let x = both(0);
  let r = both(0);
  for (let i = last; i >= 0; i--) {
    const pivot = pair(inversePivot, i);
    x = i < last ? plusTimes(times(pair(change, i), pivot), pair(multiplier, i), x) : times(pair(change, i), pivot);
    r = i < last ? plusTimes(times(pair(rate, i), pivot), pair(multiplier, i), r) : times(pair(rate, i), pivot);
    setPair(change, i, x);
    setPair(rate, i, r);
  }
  return true;
}

/**
 * Eliminates the ladder with the films frozen: `heat` holds W/K of each node.
 * @returns false where it has no steady state at all
 */
export function freeze(): bool {
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
export function solveFrozen(): void {
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

/**
 * Air, temperatures and contact voltages where a coarse solution (`rise` in K/W², `volts` in V/W) has them at a power, W.
 * @param highest rise above which a start is held, K
 */
export function beginAt(power: f64, highest: f64): void {
  setAir(power);
  const square = both(power * power);
  for (let i = 0; i < slotCount; i++) {
    put(contactVoltage, i, power * at(coarseVoltage, i));
    const rise = f64x2.min(both(highest), times(square, pair(coarseRise, i)));
    setPair(temperature, i, plus(both(at(air, i)), rise));
  }
}

/**
 * Moves the temperatures by the Newton step and by what they follow a power step (W), and the contacts' voltages by a
 * factor: the next update finds these anew.
 * @returns the largest move, K
 */
export function moveTemperatures(step: f64, voltageFactor: f64): f64 {
  for (let i = 0; i < slotCount; i++) put(contactVoltage, i, voltageFactor * at(contactVoltage, i));
  let largest = both(0);
  for (let i = 0; i < slotCount; i++) {
    const delta = plusTimes(pair(change, i), pair(rate, i), both(step));
    largest = f64x2.max(largest, f64x2.abs(delta));
    setPair(temperature, i, plus(pair(temperature, i), delta));
  }
  return max(f64x2.extract_lane(largest, 0), f64x2.extract_lane(largest, 1));
}

/** How much the Newton step moves the temperatures, as part of the largest rise; infinite without a rise. */
export function relativeNewtonStep(): f64 {
  let largest = both(0);
  let rise = both(0);
  for (let i = 0; i < slotCount; i++) {
    largest = f64x2.max(largest, f64x2.abs(pair(change, i)));
    rise = f64x2.max(rise, f64x2.abs(minus(pair(temperature, i), both(at(air, i)))));
  }
  const highest = max(f64x2.extract_lane(rise, 0), f64x2.extract_lane(rise, 1));
  return highest > 0 ? max(f64x2.extract_lane(largest, 0), f64x2.extract_lane(largest, 1)) / highest : Infinity;
}
