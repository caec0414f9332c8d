// Newton step and dT/dP of both poles' temperatures: see thermalLadder.ts for the equations.

import { at, both, minus, over, pair, plus, plusTimes, returnOf, setPair, supplyOf, times } from './lanes';
import {
  air, airPull, airSlope, change, contactHeat, spreadingHeatSlope, contactVoltage, heat, heatSlope, multiplier, rate,
  segmentConductance, segmentCurrent, segmentOffset, segmentSlope, slotCount, temperature, unitConductance, unitRise,
} from './memory';
import { pitch } from './rack';

/** Of the last linearisation, over both poles: K of the hottest slot a Newton step away, K/W of the largest rate, K of the largest step. */
export let hottestNext: f64 = 0;
export let fastestRate: f64 = 0;
export let largestChange: f64 = 0;

/**
 * Linearises at the present temperatures, currents, contact heats and losses. The matrix is eliminated from both ends of the
 * bar at once, so that neither has to wait for the other's divisions, and they meet at the slot in the middle. Both ways are
 * written out: what they carry from slot to slot stays in registers only within one function.
 * @param currentOrder d ln I/d ln P
 * @returns false where the matrix is no M-matrix
 */
export function linearise(power: f64, currentOrder: f64): bool {
  const last = slotCount - 1;
  const middle = slotCount >> 1;
  const heatRate = both((2 * currentOrder) / power);
  const zero = both(0);
  // Both lanes full while all pivots are positive: looked at once, after the last.
  let good = f64x2.gt(both(1), zero);
  // Of the segment below slot i, from the elimination upwards.
  let belowFlow = zero;
  let belowDiagonal = zero;
  let belowJoule = zero;
  let belowCoupling = zero;
  let belowMultiplier = zero;
  let belowForward = zero;
  let belowForwardRate = zero;
  // Of the segment above slot j, from the elimination downwards.
  let aboveFlow = zero;
  let aboveDiagonal = zero;
  let aboveJoule = zero;
  let aboveCoupling = zero;
  let aboveMultiplier = zero;
  let aboveForward = zero;
  let aboveForwardRate = zero;
  for (let i = 0; i < middle; i++) {
    const here = pair(temperature, i);
    const next = pair(temperature, i + 1);
    const slope = lossSlope(i);
    const amperes = at(segmentCurrent, i);
    const halfSquare = both(0.5 * amperes * amperes);
    const perKelvin = pair(segmentSlope, i);
    const joule = times(halfSquare, plusTimes(pair(segmentOffset, i), perKelvin, plus(here, next)));
    const jouleSlope = times(halfSquare, perKelvin);
    const along = pair(segmentConductance, i);
    const flow = times(along, minus(here, next));
    const diagonal = minus(along, jouleSlope);
    const own = minus(slope, pair(spreadingHeatSlope, i));
    const pivot = minus(plus(plus(own, belowDiagonal), diagonal), times(belowCoupling, belowMultiplier));
    good = v128.and(good, f64x2.gt(pivot, zero));
    const inverse = over(both(1), pivot);
    const residual = plus(plus(heatIn(i, here), belowFlow), minus(joule, flow));
    const source = plusTimes(sourceOf(i, heatRate), heatRate, plus(belowJoule, joule));
    belowForward = plusTimes(residual, belowMultiplier, belowForward);
    belowForwardRate = plusTimes(source, belowMultiplier, belowForwardRate);
    belowFlow = plus(joule, flow);
    belowDiagonal = diagonal;
    belowJoule = joule;
    belowCoupling = plus(along, jouleSlope);
    belowMultiplier = times(belowCoupling, inverse);
    setPair(multiplier, i, belowMultiplier);
    setPair(change, i, times(belowForward, inverse));
    setPair(rate, i, times(belowForwardRate, inverse));

    const j = last - i;
    if (j == middle) break;
    const there = pair(temperature, j);
    const before = pair(temperature, j - 1);
    const slopeThere = lossSlope(j);
    const amperesThere = at(segmentCurrent, j - 1);
    const halfSquareThere = both(0.5 * amperesThere * amperesThere);
    const perKelvinThere = pair(segmentSlope, j - 1);
    const jouleThere = times(halfSquareThere, plusTimes(pair(segmentOffset, j - 1), perKelvinThere, plus(there, before)));
    const jouleSlopeThere = times(halfSquareThere, perKelvinThere);
    const alongThere = pair(segmentConductance, j - 1);
    const flowThere = times(alongThere, minus(there, before));
    const diagonalThere = minus(alongThere, jouleSlopeThere);
    const ownThere = minus(slopeThere, pair(spreadingHeatSlope, j));
    const pivotThere = minus(plus(plus(ownThere, aboveDiagonal), diagonalThere), times(aboveCoupling, aboveMultiplier));
    good = v128.and(good, f64x2.gt(pivotThere, zero));
    const inverseThere = over(both(1), pivotThere);
    const residualThere = plus(plus(heatIn(j, there), aboveFlow), minus(jouleThere, flowThere));
    const sourceThere = plusTimes(sourceOf(j, heatRate), heatRate, plus(aboveJoule, jouleThere));
    aboveForward = plusTimes(residualThere, aboveMultiplier, aboveForward);
    aboveForwardRate = plusTimes(sourceThere, aboveMultiplier, aboveForwardRate);
    aboveFlow = plus(jouleThere, flowThere);
    aboveDiagonal = diagonalThere;
    aboveJoule = jouleThere;
    aboveCoupling = plus(alongThere, jouleSlopeThere);
    aboveMultiplier = times(aboveCoupling, inverseThere);
    setPair(multiplier, j - 1, aboveMultiplier);
    setPair(change, j, times(aboveForward, inverseThere));
    setPair(rate, j, times(aboveForwardRate, inverseThere));
  }
  const here = pair(temperature, middle);
  const slope = lossSlope(middle);
  const couplings = plus(times(belowCoupling, belowMultiplier), times(aboveCoupling, aboveMultiplier));
  const pivot = minus(plus(minus(slope, pair(spreadingHeatSlope, middle)), plus(belowDiagonal, aboveDiagonal)), couplings);
  good = v128.and(good, f64x2.gt(pivot, zero));
  if (!i64x2.all_true(good)) return false;
  const inverse = over(both(1), pivot);
  const residual = plus(heatIn(middle, here), plus(belowFlow, aboveFlow));
  const source = plusTimes(sourceOf(middle, heatRate), heatRate, plus(belowJoule, aboveJoule));
  const moved = plus(times(belowMultiplier, belowForward), times(aboveMultiplier, aboveForward));
  const movedRate = plus(times(belowMultiplier, belowForwardRate), times(aboveMultiplier, aboveForwardRate));
  let below = times(plus(residual, moved), inverse);
  let belowRate = times(plus(source, movedRate), inverse);
  let above = below;
  let aboveRate = belowRate;
  setPair(change, middle, below);
  setPair(rate, middle, belowRate);
  let hottest = plus(here, below);
  let largest = f64x2.abs(below);
  let fastest = f64x2.abs(belowRate);
  for (let i = middle - 1; i >= 0; i--) {
    const m = pair(multiplier, i);
    below = plusTimes(pair(change, i), m, below);
    belowRate = plusTimes(pair(rate, i), m, belowRate);
    setPair(change, i, below);
    setPair(rate, i, belowRate);
    hottest = f64x2.pmax(hottest, plus(pair(temperature, i), below));
    largest = f64x2.pmax(largest, f64x2.abs(below));
    fastest = f64x2.pmax(fastest, f64x2.abs(belowRate));
    const j = last - i;
    if (j == middle) continue;
    const mThere = pair(multiplier, j - 1);
    above = plusTimes(pair(change, j), mThere, above);
    aboveRate = plusTimes(pair(rate, j), mThere, aboveRate);
    setPair(change, j, above);
    setPair(rate, j, aboveRate);
    hottest = f64x2.pmax(hottest, plus(pair(temperature, j), above));
    largest = f64x2.pmax(largest, f64x2.abs(above));
    fastest = f64x2.pmax(fastest, f64x2.abs(aboveRate));
  }
  hottestNext = max(supplyOf(hottest), returnOf(hottest));
  largestChange = max(supplyOf(largest), returnOf(largest));
  fastestRate = max(supplyOf(fastest), returnOf(fastest));
  return true;
}

/** W/K to the air and the units. */
// @ts-ignore: decorator
@inline function lossSlope(i: i32): v128 {
  return plusTimes(both(at(unitConductance, i)), both(pitch), pair(heatSlope, i));
}

/** W into a slot from contacts and units, less what it loses to the air. */
// @ts-ignore: decorator
@inline function heatIn(i: i32, t: v128): v128 {
  const unit = times(both(at(unitConductance, i)), minus(both(at(air, i) + at(unitRise, i)), t));
  return minus(plus(pair(contactHeat, i), unit), times(both(pitch), pair(heat, i)));
}

/** How that follows the power through contacts and air, W/W. */
// @ts-ignore: decorator
@inline function sourceOf(i: i32, heatRate: v128): v128 {
  const pull = plusTimes(both(at(unitConductance, i)), both(pitch), pair(airPull, i));
  return plusTimes(times(heatRate, pair(contactHeat, i)), pull, both(at(airSlope, i)));
}

/**
 * Moves the temperatures by the Newton step and by what they follow a power step (W), and the contacts' voltages by a
 * factor: the next update finds these anew.
 * @returns the largest move, K
 */
export function moveTemperatures(step: f64, voltageFactor: f64): f64 {
  // Two slots fill a register.
  for (let k = 0; 2 * k < slotCount; k++) setPair(contactVoltage, k, times(both(voltageFactor), pair(contactVoltage, k)));
  let largest = both(0);
  for (let i = 0; i < slotCount; i++) {
    const delta = plusTimes(pair(change, i), pair(rate, i), both(step));
    largest = f64x2.pmax(largest, f64x2.abs(delta));
    setPair(temperature, i, plus(pair(temperature, i), delta));
  }
  return max(f64x2.extract_lane(largest, 0), f64x2.extract_lane(largest, 1));
}

/** How much the Newton step moves the temperatures, as part of the largest rise; infinite without a rise. */
export function relativeNewtonStep(): f64 {
  const highest = largestRise();
  return highest > 0 ? largestChange / highest : Infinity;
}

/** K between any slot and the air beside it, up or down. */
export function largestRise(): f64 {
  let rise = both(0);
  for (let i = 0; i < slotCount; i++) rise = f64x2.pmax(rise, f64x2.abs(minus(pair(temperature, i), both(at(air, i)))));
  return max(supplyOf(rise), returnOf(rise));
}

