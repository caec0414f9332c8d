// Rates one operating state after the other: the one in which the bar carries most first, for it often carries least, the others
// by what they seem to carry, and passes over those that surely carry what the ones before do.

import { at, both, clear, minus, pair, plus, plusTimes, put, putWhole, setPair, times, wholeAt } from './lanes';
import { setState } from './currents';
import { beginLooks, lookAround } from './looks';
import {
  active, ALONE, BATTERIES_ALONE, contactVoltage, isShelf, LEAST, LIMIT, LIMIT_NODE, LIMIT_POLE, loadAt, LOWEST_LIMIT, LOWEST_NODE, LOWEST_POLE,
  LOWEST_POWER, LOWEST_STATE, LOWEST_SWEEPS, ONE_SOURCE_OUT, outcome, RATED_POWER, rules, seems, SEEMS, share, sharingWeight, slotCount, sourceAt, sourceNode,
  squares, stateOrder, stateOut, stateRule, stateWeight, STATES_AT_ONCE, surely, SWEEPS, temperature,
} from './memory';
import { CONTACT_TEMPERATURE } from './limits';
import { lowestLoadVoltage, setVoltage, sourceCount, staysCool } from './rack';
import { forgetLastSweep, FOUND, hasLastSweep, joint, lookAt, NOT_CLOSED } from './search';
import { solveStart } from './start';

// How rating ended: with all states rated; with one that the host must rate by itself, before it asks to go on; with a rack
// that may break a limit without any load, which the host must look at first.
const ENDED: i32 = 0;
const NEEDS_HOST: i32 = 1;
const MAY_BE_WARM: i32 = 2;

/** K: poles that are built alike are equally warm but for rounding; the supply pole is then named. */
const ALIKE: f64 = 1e-6;

let ruleCount: i32 = 0;
let stateCount: i32 = 0;

/** Takes the kinds of states that stand in `rules`. */
export function setRules(count: i32): void {
  ruleCount = count;
}

/** Lays out the states that the mounted scenario must survive. @returns whether each has a source in service */
export function layStates(): bool {
  let shelves = 0;
  for (let k = 0; k < sourceCount; k++) shelves += wholeAt(isShelf, k);
  stateCount = 0;
  let areFed = true;
  for (let r = 0; r < ruleCount; r++) {
    const rule = wholeAt(rules, r);
    if (rule == ONE_SOURCE_OUT) {
      for (let k = 0; k < sourceCount; k++) if (wholeAt(isShelf, k) == 1) addState(rule, k);
      if (shelves == 1) areFed = false;
    } else {
      addState(rule, -1);
      if ((rule == BATTERIES_ALONE ? sourceCount - shelves : shelves) == 0) areFed = false;
    }
  }
  return areFed;
}

function addState(rule: i32, out: i32): void {
  putWhole(stateRule, stateCount, rule);
  putWhole(stateOut, stateCount, out);
  stateCount++;
}

export function countStates(): i32 {
  return stateCount;
}

/** For the benchmark: of the states laid out only the first so many count. */
export function keepStates(count: i32): void {
  stateCount = min(stateCount, count);
}

// @ts-ignore: decorator
@inline function isActive(s: i32, k: i32): bool {
  return wholeAt(stateRule, s) == BATTERIES_ALONE ? wholeAt(isShelf, k) == 0 : wholeAt(isShelf, k) == 1 && wholeAt(stateOut, s) != k;
}

/** Place in `stateOrder` of the state to be rated next. */
let turn: i32 = 0;

/**
 * Rates the mounted scenario in all its states as far as it carries less than `upper`, W.
 * @param isSure whether the rack is known to hold its limits without load
 */
export function rateStates(upper: f64, isSure: bool): i32 {
  if (!isSure && !(staysCool() && lowestLoadVoltage < setVoltage)) return MAY_BE_WARM;
  forgetLastSweep();
  put(outcome, LEAST, upper);
  put(outcome, LOWEST_STATE, -1);
  putWhole(stateOrder, 0, stateCount > 1 ? heaviest() : 0);
  turn = 0;
  return rateOn();
}

/** Goes on after the host has rated a state. @param power W, its rated power where it carries less than those before; else what those do */
export function goOn(power: f64): i32 {
  if (power < at(outcome, LEAST)) {
    put(outcome, LEAST, power);
    put(outcome, LOWEST_STATE, -1);
  }
  turn++;
  return rateOn();
}

function rateOn(): i32 {
  for (; turn < stateCount; turn++) {
    if (turn == 1) orderOthers();
    const s = wholeAt(stateOrder, turn);
    const least = at(outcome, LEAST);
    if (turn > 0 && (least == 0 || at(surely, s) >= least)) continue;
    const goesOn = turn > 0 && hasLastSweep();
    setStateOf(s, goesOn);
    if (!goesOn) clear(contactVoltage, slotCount);
    const ended = joint(goesOn ? 0 : solveStart(), least, stateCount > 1);
    if (ended == NOT_CLOSED) {
      forgetLastSweep();
      put(outcome, ALONE, <f64>s);
      return NEEDS_HOST;
    }
    if (ended == FOUND) keep(s);
  }
  return ENDED;
}

/** Keeps what the search in a state has found: looks at others leave their own in the same places. */
function keep(s: i32): void {
  const power = at(outcome, RATED_POWER);
  const limit = at(outcome, LIMIT);
  const node = at(outcome, LIMIT_NODE);
  const pole = at(outcome, LIMIT_POLE);
  const e = 2 * <i32>node;
  const isAlike = pole == 1 && <i32>limit != CONTACT_TEMPERATURE && at(temperature, e + 1) - at(temperature, e) < ALIKE;
  put(outcome, LEAST, power);
  put(outcome, LOWEST_STATE, <f64>s);
  put(outcome, LOWEST_POWER, power);
  put(outcome, LOWEST_LIMIT, limit);
  put(outcome, LOWEST_NODE, node);
  put(outcome, LOWEST_POLE, isAlike ? 0 : pole);
  put(outcome, LOWEST_SWEEPS, at(outcome, SWEEPS));
}

function setStateOf(s: i32, startFromLast: bool): void {
  for (let k = 0; k < sourceCount; k++) putWhole(active, k, isActive(s, k) ? 1 : 0);
  setState(startFromLast);
}

/**
 * The state in which the bar carries most, as the sum of the squares of its currents has it: often the one with the
 * lowest rated power, and then the others are passed over soonest.
 */
function heaviest(): i32 {
  let which = 0;
  let most: f64 = -1;
  for (let first = 0; first < stateCount; first += STATES_AT_ONCE) {
    const count = min(STATES_AT_ONCE, stateCount - first);
    layWeights(first, count);
    squaredCurrents();
    for (let s = 0; s < count; s++) {
      if (!(at(squares, s) > most)) continue;
      most = at(squares, s);
      which = first + s;
    }
  }
  return which;
}

/**
 * Finds what every state but the one first rated seems to carry and what it surely does, as linearised where that one's last sweep
 * was (0 where that cannot be told), and puts them in order of the former. A single other state is not looked at.
 */
function orderOthers(): void {
  const first = wholeAt(stateOrder, 0);
  const looks = stateCount > 2 && hasLastSweep();
  const isTold = looks && lookAtAll(first);
  let count = 1;
  for (let s = 0; s < stateCount; s++) {
    if (s == first) continue;
    if (!isTold) {
      put(seems, s, 0);
      put(surely, s, 0);
    }
    if (looks && !isTold) {
      setStateOf(s, true);
      put(surely, s, lookAt());
      put(seems, s, at(outcome, SEEMS));
    }
    let place = count++;
    for (; place > 1 && at(seems, wholeAt(stateOrder, place - 1)) > at(seems, s); place--) {
      putWhole(stateOrder, place, wholeAt(stateOrder, place - 1));
    }
    putWhole(stateOrder, place, s);
  }
}

/** Looks at all states but one. @returns false where each must be solved for by itself */
export function lookAtAll(except: i32): bool {
  if (!beginLooks()) return false;
  for (let first = 0; first < stateCount; first += STATES_AT_ONCE) {
    const count = min(STATES_AT_ONCE, stateCount - first);
    layWeights(first, count);
    lookAround(first, count, except);
  }
  return true;
}

/** Lays out what part of the current each source feeds in `count` states from `first` on. */
export function layWeights(first: i32, count: i32): void {
  for (let s = 0; s < count; s++) {
    let sum: f64 = 0;
    for (let k = 0; k < sourceCount; k++) if (isActive(first + s, k)) sum += at(sharingWeight, k);
    for (let k = 0; k < sourceCount; k++) {
      put(stateWeight, STATES_AT_ONCE * k + s, isActive(first + s, k) ? at(sharingWeight, k) / sum : 0);
    }
  }
}

/**
 * A², sum of the squares of the currents along the bar, per W² of load and V² of set voltage, of the states
 * whose weights are laid out, side by side, into `squares`.
 */
function squaredCurrents(): void {
  const last = slotCount - 1;
  let c0 = both(0);
  let c1 = both(0);
  let c2 = both(0);
  let c3 = both(0);
  let s0 = both(0);
  let s1 = both(0);
  let s2 = both(0);
  let s3 = both(0);
  for (let i = 0; i < last; i++) {
    const k = wholeAt(sourceAt, i);
    if (k >= 0) {
      const row = (STATES_AT_ONCE >> 1) * k;
      c0 = plus(c0, pair(stateWeight, row));
      c1 = plus(c1, pair(stateWeight, row + 1));
      c2 = plus(c2, pair(stateWeight, row + 2));
      c3 = plus(c3, pair(stateWeight, row + 3));
    }
    const l = wholeAt(loadAt, i);
    if (l >= 0) {
      const taken = both(at(share, l));
      c0 = minus(c0, taken);
      c1 = minus(c1, taken);
      c2 = minus(c2, taken);
      c3 = minus(c3, taken);
    }
    s0 = plusTimes(s0, c0, c0);
    s1 = plusTimes(s1, c1, c1);
    s2 = plusTimes(s2, c2, c2);
    s3 = plusTimes(s3, c3, c3);
  }
  setPair(squares, 0, s0);
  setPair(squares, 1, s1);
  setPair(squares, 2, s2);
  setPair(squares, 3, s3);
}
