// Newton step and dT/dP of both poles' temperatures: see thermalLadder.ts for the equations.

import { at, both, minus, over, pair, plus, plusTimes, setPair, times } from './lanes';
import {
  air, airSlope, change, contactHeat, spreadingHeatSlope, contactVoltage, heat, heatSlope, inversePivot, multiplier, rate,
  segmentConductance, segmentCurrent, segmentOffset, segmentSlope, slotCount, temperature, unitConductance, unitRise,
} from './memory';
import { pitch } from './rack';

/**
 * Linearises at the present temperatures, currents, contact heats and losses.
 * @param currentOrder d ln I/d ln P
 * @returns false where the matrix is no M-matrix
 */
export function linearise(power: f64, currentOrder: f64): bool {
  const temperatures = temperature;
  const contactHeats = contactHeat;
  const spreadingHeatSlopes = spreadingHeatSlope;
  const heats = heat;
  const heatSlopes = heatSlope;
  const unitConductances = unitConductance;
  const unitRises = unitRise;
  const airs = air;
  const airSlopes = airSlope;
  const segmentCurrents = segmentCurrent;
  const segmentOffsets = segmentOffset;
  const segmentSlopes = segmentSlope;
  const segmentConductances = segmentConductance;
  const inversePivots = inversePivot;
  const changes = change;
  const rates = rate;
  const multipliers = multiplier;
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
  // Both lanes full while all pivots are positive: looked at once, after the last.
  let good = f64x2.gt(both(1), both(0));
  for (let i = 0; i < n; i++) {
    const g = at(unitConductances, i);
    const t = pair(temperatures, i);
    const contact = pair(contactHeats, i);
    const slope = plusTimes(both(g), metres, pair(heatSlopes, i));
    const unit = times(both(g), minus(both(at(airs, i) + at(unitRises, i)), t));
    let residual = plus(minus(plus(contact, unit), times(metres, pair(heats, i))), below);
    let diagonal = plus(minus(slope, pair(spreadingHeatSlopes, i)), belowDiagonal);
    let source = plus(plus(times(heatRate, contact), times(slope, both(at(airSlopes, i)))), belowRate);
    const m = times(coupling, inverse);
    if (i > 0) setPair(multipliers, i - 1, m);
    const lower = coupling;
    if (i < last) {
      const amperes = at(segmentCurrents, i);
      const halfSquare = both(0.5 * amperes * amperes);
      const next = pair(temperatures, i + 1);
      const perKelvin = pair(segmentSlopes, i);
      const joule = times(halfSquare, plusTimes(pair(segmentOffsets, i), perKelvin, plus(t, next)));
      const jouleSlope = times(halfSquare, perKelvin);
      const along = pair(segmentConductances, i);
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
    good = v128.and(good, f64x2.gt(pivot, both(0)));
    inverse = over(both(1), pivot);
    setPair(inversePivots, i, inverse);
    forward = plusTimes(residual, m, forward);
    forwardRate = plusTimes(source, m, forwardRate);
    setPair(changes, i, forward);
    setPair(rates, i, forwardRate);
  }
  if (!i64x2.all_true(good)) return false;
  let x = both(0);
  let r = both(0);
  for (let i = last; i >= 0; i--) {
    const pivot = pair(inversePivots, i);
    x = i < last ? plusTimes(times(pair(changes, i), pivot), pair(multipliers, i), x) : times(pair(changes, i), pivot);
    r = i < last ? plusTimes(times(pair(rates, i), pivot), pair(multipliers, i), r) : times(pair(rates, i), pivot);
    setPair(changes, i, x);
    setPair(rates, i, r);
  }
  return true;
}

/**
 * Moves the temperatures by the Newton step and by what they follow a power step (W), and the contacts' voltages by a
 * factor: the next update finds these anew.
 * @returns the largest move, K
 */
export function moveTemperatures(step: f64, voltageFactor: f64): f64 {
  const temperatures = temperature;
  const changes = change;
  const rates = rate;
  const contactVoltages = contactVoltage;
  // Two slots fill a register.
  for (let k = 0; 2 * k < slotCount; k++) setPair(contactVoltages, k, times(both(voltageFactor), pair(contactVoltages, k)));
  let largest = both(0);
  for (let i = 0; i < slotCount; i++) {
    const delta = plusTimes(pair(changes, i), pair(rates, i), both(step));
    largest = f64x2.pmax(largest, f64x2.abs(delta));
    setPair(temperatures, i, plus(pair(temperatures, i), delta));
  }
  return max(f64x2.extract_lane(largest, 0), f64x2.extract_lane(largest, 1));
}

/** How much the Newton step moves the temperatures, as part of the largest rise; infinite without a rise. */
export function relativeNewtonStep(): f64 {
  let largest = both(0);
  let rise = both(0);
  for (let i = 0; i < slotCount; i++) {
    largest = f64x2.pmax(largest, f64x2.abs(pair(change, i)));
    rise = f64x2.pmax(rise, f64x2.abs(minus(pair(temperature, i), both(at(air, i)))));
  }
  const highest = max(f64x2.extract_lane(rise, 0), f64x2.extract_lane(rise, 1));
  return highest > 0 ? max(f64x2.extract_lane(largest, 0), f64x2.extract_lane(largest, 1)) / highest : Infinity;
}
