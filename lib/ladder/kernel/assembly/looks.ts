// What other operating states carry, told from where one was last linearised: see states.ts.
//
// With equal sharing another state means other currents of the sources, and the loads, which see nearly the same voltages,
// take nearly the same. So no currents are solved for anew: they, and the heats of the contacts, change by what the sources feed
// more or less, and only the temperatures are linearised again.

import { feedOtherwise } from './contacts';
import { areStraight, currentShift, lowestVoltage, totalCurrent } from './currents';
import { at, both, clear, copy, pair, plus, put, setPair, wholeAt } from './lanes';
import {
  contactHeat, edgeVoltage, injected, lastTemperature, loadNode, loopResistance, ownCurrent, ownEdgeVoltage, ownFed, ownHeat, ownHeatSlope,
  outcome, ownVoltage, seems, segmentCurrent, slotCount, sourceCurrent, sourceNode, sourceResistance, spreadingHeatSlope, STATES_AT_ONCE,
  stateWeight, surely, SWEEPS, temperature, voltage,
} from './memory';
import { loadCount, mountings, setVoltage, sourceCount } from './rack';
import { hasLastSweep, lastPower, sureOf } from './search';
import { currentOrder, stepToLimit } from './sweep';
import { largestChange, largestRise, linearise } from './temperatures';

/**
 * What loads that draw what they drew may hide, by the part of the voltage that moves: as they draw constant power, heats
 * follow by twice that.
 */
const MARGIN_MOVED: f64 = 3;

/** K, the largest rise where the looks begin; for which mounting, and after how many sweeps. */
let rise: f64 = 0;
let begunFor: i32 = -1;
let begunAfter: f64 = -1;

/**
 * Prepares looks from the last sweep of the state that was searched last.
 * @returns false where other states must be solved for by themselves
 */
export function beginLooks(): bool {
  if (!hasLastSweep() || !areStraight()) return false;
  // Looks leave what they found where that of the state stood.
  if (begunFor == mountings && begunAfter == at(outcome, SWEEPS)) return rise > 0;
  begunFor = mountings;
  begunAfter = at(outcome, SWEEPS);
  copy(temperature, lastTemperature, 2 * slotCount);
  copy(ownHeat, contactHeat, 2 * slotCount);
  copy(ownHeatSlope, spreadingHeatSlope, 2 * slotCount);
  copy(ownCurrent, segmentCurrent, slotCount);
  copy(ownVoltage, voltage, slotCount);
  copy(ownEdgeVoltage, edgeVoltage, slotCount);
  copy(ownFed, sourceCurrent, slotCount);
  rise = largestRise();
  return rise > 0;
}

/**
 * Looks at `count` states from `first` on, whose weights are laid out, but for one (-1: at all), and leaves what they seem to
 * carry and what they surely do, W, in `seems` and `surely`: 0 where that cannot be told.
 */
export function lookAround(first: i32, count: i32, except: i32): void {
  for (let column = 0; column < count; column++) if (first + column != except) look(first + column, column);
}

function look(s: i32, column: i32): void {
  put(seems, s, 0);
  put(surely, s, 0);
  const moved = feed(column);
  if (!linearise(lastPower, currentOrder(lastPower))) return;
  const lowest = lowestVoltage() - moved;
  const step = stepToLimit(lastPower, lowest);
  if (isNaN(step)) return;
  const asked = lastPower + step;
  put(seems, s, asked);
  const sure = sureOf(asked, lastPower, largestChange / rise, currentShift(), lowest);
  put(surely, s, sure - (MARGIN_MOVED * lastPower * moved) / setVoltage);
}

/** Currents, voltages and heats of contacts of a state. @returns V, by how much any load sees another voltage */
function feed(column: i32): f64 {
  const last = slotCount - 1;
  clear(injected, slotCount);
  for (let k = 0; k < sourceCount; k++) {
    const fed = at(stateWeight, STATES_AT_ONCE * k + column) * totalCurrent;
    put(sourceCurrent, k, fed);
    put(injected, wholeAt(sourceNode, k), fed - at(ownFed, k));
  }
  feedOtherwise();
  let u: f64 = 0;
  let c: f64 = 0;
  for (let i = 0; i < last; i++) {
    put(voltage, i, at(ownVoltage, i) + u);
    c += at(injected, i);
    put(segmentCurrent, i, at(ownCurrent, i) + c);
    u -= at(loopResistance, i) * c;
  }
  put(voltage, last, at(ownVoltage, last) + u);
  let sum: f64 = 0;
  let count = 0;
  for (let k = 0; k < sourceCount; k++) {
    const fed = at(sourceCurrent, k);
    if (fed == 0) continue;
    const i = wholeAt(sourceNode, k);
    sum += at(voltage, i) + at(edgeVoltage, i) + fed * (at(sourceResistance, 2 * k) + at(sourceResistance, 2 * k + 1));
    count++;
  }
  const level = setVoltage - sum / <f64>count;
  // Two slots fill a register.
  for (let k = 0; 2 * k < slotCount; k++) setPair(voltage, k, plus(pair(voltage, k), both(level)));
  let moved: f64 = 0;
  for (let l = 0; l < loadCount; l++) {
    const i = wholeAt(loadNode, l);
    moved = max(moved, abs(at(voltage, i) - at(ownVoltage, i) + (at(edgeVoltage, i) - at(ownEdgeVoltage, i))));
  }
  return moved;
}
