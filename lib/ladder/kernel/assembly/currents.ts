// Currents and voltages along the poles: see electricalLadder.ts for the method.

import { voltageShift } from './contacts';
import { lowestWithDroop, solveDroop } from './droop';
import { at, both, clear, copy, pair, plus, plusTimes, put, returnOf, setPair, supplyOf, wholeAt } from './lanes';
import {
  active, byBottomVoltage, byTotalCurrent, contactVoltage, drop, droopResistance, heldUnknowns, injected, loadAt, loadCurrent, loadNode, loadResistance, loadSlope, loopResistance,
  ownSpreading, segmentCurrent, segmentOffset, segmentSlope, seriesResistance, share, sharingWeight, slotCount, sourceAt, sourceCurrent, sourceNode,
  sourceResistance, sourceWeight, temperature, unknowns, voltage,
} from './memory';
import { isDroop, loadCount, setVoltage, sourceCount } from './rack';

/** A, sum of the load currents of the last march. */
export let totalCurrent: f64 = 0;

let activeCount: i32 = 0;
/** Ω, the least of contacts and droop of a source in service. */
let leastSeries: f64 = Infinity;
/** Power for which the unknowns are a solution; 0: none yet. */
let solvedPower: f64 = 0;

/**
 * Closures no finer than this are believed of a Newton step; what it leaves, as a multiple of the square of what it closes:
 * loads of constant power fed over a bar that drops some per cent have a tenth of it.
 */
const COARSEST_PROVEN: f64 = 1e-10;
const LEFT_BY_STEP: f64 = 10;
/** Closures no finer than this are worth the try of solveAgain. */
const COARSEST_AGAIN: f64 = 1e-6;
/** Whether any load of the last march is so near to its own collapse that its current is far from straight in the voltage. */
let isSteep: bool = false;

/** Ω; a source without any resistance counts as one of this. */
const LEAST_SERIES: f64 = 1e-12;

/** V, lowest at the terminals of any load in the last march. */
let lowestInMarch: f64 = 0;

/** Whether the currents last found answer to small changes of voltage along straight lines. */
export function areStraight(): bool {
  return !isDroop && !isSteep;
}

/** V, lowest at the terminals of any load. */
export function lowestVoltage(): f64 {
  return isDroop ? lowestWithDroop : lowestInMarch;
}

let residualCurrent: f64 = 0;
let residualVoltage: f64 = 0;
let currentByVoltage: f64 = 0;
let currentByCurrent: f64 = 0;
let meanByVoltage: f64 = 0;
let meanByCurrent: f64 = 0;

/**
 * Puts the sources in and out of service that `active` says. Earlier solutions are forgotten, unless the next one is to
 * start from the last.
 */
export function setState(startFromLast: bool): void {
  let sum: f64 = 0;
  let count = 0;
  for (let k = 0; k < sourceCount; k++) {
    put(sourceCurrent, k, 0);
    if (wholeAt(active, k) == 0) continue;
    sum += at(sharingWeight, k);
    count++;
  }
  activeCount = count;
  leastSeries = Infinity;
  for (let k = 0; k < sourceCount; k++) {
    if (wholeAt(active, k) == 0) continue;
    put(sourceWeight, k, at(sharingWeight, k) / sum);
    const series = at(droopResistance, k) + (at(sourceResistance, 2 * k) + at(sourceResistance, 2 * k + 1));
    put(seriesResistance, k, max(LEAST_SERIES, series));
    leastSeries = min(leastSeries, at(seriesResistance, k));
  }
  if (!startFromLast) solvedPower = 0;
}

/** Ω of supply and return of every segment at the present temperatures. */
export function updateLoopResistance(): void {
  const last = slotCount - 1;
  let here = pair(temperature, 0);
  let i = 0;
  // Two segments fill a register.
  for (; i + 1 < last; i += 2) {
    const next = pair(temperature, i + 1);
    const afterNext = pair(temperature, i + 2);
    const first = plusTimes(pair(segmentOffset, i), pair(segmentSlope, i), plus(here, next));
    const second = plusTimes(pair(segmentOffset, i + 1), pair(segmentSlope, i + 1), plus(next, afterNext));
    const supply = v128.shuffle<f64>(first, second, 0, 2);
    const back = v128.shuffle<f64>(first, second, 1, 3);
    setPair(loopResistance, i >> 1, plus(supply, back));
    here = afterNext;
  }
  if (i < last) {
    const ohms = plusTimes(pair(segmentOffset, i), pair(segmentSlope, i), plus(here, pair(temperature, i + 1)));
    put(loopResistance, i, supplyOf(ohms) + returnOf(ohms));
  }
}

/**
 * Currents and voltages for a total load power (W) at the present loop resistances.
 *
 * @param closure how nearly current and voltage must close, relative
 * @returns false where the voltage has collapsed
 */
export function solveCurrents(power: f64, closure: f64): bool {
  const isSolved = isDroop ? solveWithDroop(power, closure) : solveEqual(power, closure);
  solvedPower = isSolved ? power : 0;
  return isSolved;
}

/**
 * As solveCurrents, sooner where it is enough, for other sources at the power and nearly the voltages of the last solution:
 * with equal sharing the currents of the loads give all others and all voltages by two sums along the bar, and the loads
 * answer to a small change of voltage along their slopes.
 */
export function solveAgain(power: f64, closure: f64): bool {
  const isNear = !isDroop && closure >= COARSEST_AGAIN && solvedPower == power;
  if (isNear && followSources(power, closure)) return true;
  return solveCurrents(power, closure);
}

/** @returns whether the currents close; if not, only the unknowns are kept as they were */
function followSources(power: f64, closure: f64): bool {
  if (!findLoads(power)) return false;
  const shift = alongBar(byBottomVoltage);
  // Loads once more, where their voltages now are.
  let moved: f64 = 0;
  let total: f64 = 0;
  for (let l = 0; l < loadCount; l++) {
    const i = wholeAt(loadNode, l);
    const change = at(byBottomVoltage, i) + shift - at(voltage, i);
    moved = max(moved, abs(change));
    const current = at(loadCurrent, l) - at(loadSlope, l) * change;
    put(loadCurrent, l, current);
    total += current;
  }
  totalCurrent = total;
  const second = alongBar(byTotalCurrent);
  let left: f64 = 0;
  for (let l = 0; l < loadCount; l++) {
    const i = wholeAt(loadNode, l);
    left = max(left, abs(at(byTotalCurrent, i) + second - (at(byBottomVoltage, i) + shift)));
  }
  const bent = moved / lowestInMarch;
  if (isSteep || !(left / lowestInMarch + LEFT_BY_STEP * bent * bent <= closure)) return false;
  const level = both(second);
  // Two slots fill a register.
  for (let k = 0; 2 * k < slotCount; k++) setPair(voltage, k, plus(pair(byTotalCurrent, k), level));
  put(unknowns, 0, at(voltage, 0));
  put(unknowns, 1, total);
  return true;
}

/** A that a load of `p` watts draws at a voltage; `root` of its discriminant. */
// @ts-ignore: decorator
@inline function drawn(p: f64, atContact: f64, root: f64): f64 {
  return (2 * p) / (atContact + root);
}

/** Currents of the loads, and their slopes, at the voltages of the last solution. @returns false where one finds none */
function findLoads(power: f64): bool {
  let total: f64 = 0;
  let straight: f64 = 0;
  let lowest = 2 * setVoltage;
  for (let l = 0; l < loadCount; l++) {
    const i = wholeAt(loadNode, l);
    const contact = at(loadResistance, 2 * l) + at(loadResistance, 2 * l + 1) + at(ownSpreading, i);
    const p = power * at(share, l);
    const atContact = at(voltage, i) + at(contactVoltage, i);
    const discriminant = atContact * atContact - 4 * p * contact;
    if (!(atContact > 0 && discriminant > 0)) return false;
    const root = sqrt(discriminant);
    const current = drawn(p, atContact, root);
    put(loadCurrent, l, current);
    put(loadSlope, l, current / root);
    total += current;
    straight = min(straight, root - 0.7 * atContact);
    lowest = min(lowest, atContact + root);
  }
  isSteep = straight < 0;
  lowestInMarch = 0.5 * lowest;
  totalCurrent = total;
  return true;
}

/**
 * Segment currents for the loads' currents of the moment, and voltages above that of the lowest slot.
 * @returns V to be added to those, so that the mean terminal voltage of the sources in service is the set voltage
 */
function alongBar(volts: usize): f64 {
  const last = slotCount - 1;
  clear(injected, slotCount);
  for (let l = 0; l < loadCount; l++) put(injected, wholeAt(loadNode, l), -at(loadCurrent, l));
  for (let k = 0; k < sourceCount; k++) {
    if (wholeAt(active, k) == 0) continue;
    const fed = at(sourceWeight, k) * totalCurrent;
    put(sourceCurrent, k, fed);
    put(injected, wholeAt(sourceNode, k), fed);
  }
  let u: f64 = 0;
  let c: f64 = 0;
  for (let i = 0; i < last; i++) {
    put(volts, i, u);
    c += at(injected, i);
    put(segmentCurrent, i, c);
    u -= at(loopResistance, i) * c;
  }
  put(volts, last, u);
  let sum: f64 = 0;
  for (let k = 0; k < sourceCount; k++) {
    if (wholeAt(active, k) == 0) continue;
    const i = wholeAt(sourceNode, k);
    const contact = at(sourceResistance, 2 * k) + at(sourceResistance, 2 * k + 1) + at(ownSpreading, i);
    sum += at(volts, i) + at(contactVoltage, i) + at(sourceCurrent, k) * contact;
  }
  return setVoltage - sum / <f64>activeCount;
}

function solveWithDroop(power: f64, closure: f64): bool {
  const isKnown = solvedPower > 0;
  const scale = power / solvedPower;
  if (isKnown) for (let i = 0; i < slotCount; i++) put(drop, i, scale * at(drop, i));
  totalCurrent = solveDroop(power, isKnown, closure);
  return isFinite(totalCurrent);
}

function solveEqual(power: f64, closure: f64): bool {
  if (solvedPower > 0) put(unknowns, 1, (power / solvedPower) * at(unknowns, 1));
  else startFlat(power);
  return newtonEqual(power, closure) || continueFromNoLoad(power, closure);
}

/**
 * How much currents may still change, as part of their sum, because the contacts' voltages have moved (V) since they were
 * found: a stiff source answers to microvolts.
 */
export function currentShift(): f64 {
  if (!isDroop) return voltageShift / setVoltage;
  return totalCurrent > 0 ? voltageShift / (leastSeries * totalCurrent) : 0;
}

/** For the benchmark: as solveCurrents, but the next one starts from where this one did. */
export function tryCurrents(power: f64, closure: f64): void {
  const volts = at(unknowns, 0);
  const amperes = at(unknowns, 1);
  const before = solvedPower;
  solveCurrents(power, closure);
  put(unknowns, 0, volts);
  put(unknowns, 1, amperes);
  solvedPower = before;
}

function startFlat(power: f64): void {
  put(unknowns, 0, setVoltage);
  put(unknowns, 1, power / setVoltage);
}

/** Follows the solution from no load in growing steps; a step that cannot be made however small is the collapse. */
function continueFromNoLoad(power: f64, closure: f64): bool {
  let reached: f64 = 0;
  let step: f64 = 0.25;
  startFlat(0);
  while (reached < 1) {
    copy(heldUnknowns, unknowns, 2);
    const next = min(1, reached + step);
    if (reached > 0) put(unknowns, 1, (next / reached) * at(unknowns, 1));
    else startFlat(power * next);
    if (newtonEqual(power * next, closure)) {
      reached = next;
      step *= 1.5;
    } else {
      copy(unknowns, heldUnknowns, 2);
      step *= 0.5;
      if (step < 1e-9) return false;
    }
  }
  return true;
}

/** Newton on the bottom voltage and the total current. Without load the determinant is −1: beyond the collapse positive. */
function newtonEqual(power: f64, closure: f64): bool {
  const tolerance = closure * setVoltage + 1e-15 * setVoltage;
  for (let iteration = 0; iteration < 40; iteration++) {
    if (!march(power)) return false;
    if (abs(residualCurrent) <= closure * totalCurrent && abs(residualVoltage) <= tolerance) return true;
    const determinant = currentByVoltage * meanByCurrent - currentByCurrent * meanByVoltage;
    if (!(determinant < 0)) return false;
    const volts = (meanByCurrent * residualCurrent - currentByCurrent * residualVoltage) / determinant;
    const amperes = (currentByVoltage * residualVoltage - meanByVoltage * residualCurrent) / determinant;
    put(unknowns, 0, at(unknowns, 0) - volts);
    put(unknowns, 1, at(unknowns, 1) - amperes);
    // A Newton step leaves about the square of what it closes: where that is enough, no march needs to show it.
    const open = max(abs(residualCurrent) / totalCurrent, abs(residualVoltage) / setVoltage);
    if (closure >= COARSEST_PROVEN && !isSteep && LEFT_BY_STEP * open * open <= closure) {
      followStep(volts, amperes);
      return true;
    }
  }
  return false;
}

/** Voltages and currents of the last march moved by a Newton step, to first order. */
function followStep(volts: f64, amperes: f64): void {
  const totalFed = at(unknowns, 1);
  let c: f64 = 0;
  let total: f64 = 0;
  for (let i = 0; i < slotCount; i++) {
    const moved = at(byBottomVoltage, i) * volts + at(byTotalCurrent, i) * amperes;
    put(voltage, i, at(voltage, i) - moved);
    const k = wholeAt(sourceAt, i);
    if (k >= 0 && wholeAt(active, k) == 1) {
      const fed = at(sourceWeight, k) * totalFed;
      put(sourceCurrent, k, fed);
      c += fed;
    }
    const l = wholeAt(loadAt, i);
    if (l >= 0) {
      const current = at(loadCurrent, l) + at(loadSlope, l) * moved;
      put(loadCurrent, l, current);
      total += current;
      c -= current;
    }
    put(segmentCurrent, i, c);
  }
  totalCurrent = total;
}

/** One march up the bar: voltages, currents, residuals and Jacobian. @returns false where a load finds no voltage */
function march(power: f64): bool {
  const part = 1.0 / <f64>activeCount;
  const totalFed = at(unknowns, 1);
  const last = slotCount - 1;
  let u = at(unknowns, 0);
  let uByVoltage: f64 = 1;
  let uByCurrent: f64 = 0;
  let c: f64 = 0;
  let cByVoltage: f64 = 0;
  let cByCurrent: f64 = 0;
  let total: f64 = 0;
  let mean: f64 = 0;
  let byVoltage: f64 = 0;
  let byCurrent: f64 = 0;
  // Lowest of what the loads answer steeply by, and of twice their voltage: side by side in one register.
  let least = f64x2.replace_lane(both(0), 1, 2 * setVoltage);
  for (let i = 0; i < slotCount; i++) {
    put(voltage, i, u);
    put(byBottomVoltage, i, uByVoltage);
    put(byTotalCurrent, i, uByCurrent);
    const k = wholeAt(sourceAt, i);
    if (k >= 0 && wholeAt(active, k) == 1) {
      const w = at(sourceWeight, k);
      const contact = at(sourceResistance, 2 * k) + at(sourceResistance, 2 * k + 1) + at(ownSpreading, i);
      const fed = w * totalFed;
      put(sourceCurrent, k, fed);
      c += fed;
      cByCurrent += w;
      mean += part * (u + at(contactVoltage, i) + fed * contact);
      byVoltage += part * uByVoltage;
      byCurrent += part * (uByCurrent + w * contact);
    }
    const l = wholeAt(loadAt, i);
    if (l >= 0) {
      const p = power * at(share, l);
      const contact = at(loadResistance, 2 * l) + at(loadResistance, 2 * l + 1) + at(ownSpreading, i);
      const atContact = u + at(contactVoltage, i);
      const discriminant = atContact * atContact - 4 * p * contact;
      if (!(atContact > 0 && discriminant > 0)) return false;
      const root = sqrt(discriminant);
      const current = drawn(p, atContact, root);
      put(loadCurrent, l, current);
      least = f64x2.pmin(least, f64x2.replace_lane(both(root - 0.7 * atContact), 1, atContact + root));
      total += current;
      c -= current;
      const slope = current / root;
      put(loadSlope, l, slope);
      cByVoltage += slope * uByVoltage;
      cByCurrent += slope * uByCurrent;
    }
    if (i < last) {
      put(segmentCurrent, i, c);
      const r = at(loopResistance, i);
      u -= r * c;
      uByVoltage -= r * cByVoltage;
      uByCurrent -= r * cByCurrent;
    }
  }
  isSteep = supplyOf(least) < 0;
  lowestInMarch = 0.5 * returnOf(least);
  totalCurrent = total;
  residualCurrent = c;
  residualVoltage = mean - setVoltage;
  currentByVoltage = cByVoltage;
  currentByCurrent = cByCurrent;
  meanByVoltage = byVoltage;
  meanByCurrent = byCurrent;
  return isFinite(u) && isFinite(c);
}
