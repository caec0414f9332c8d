// The joint search for a rated power: see ratedPower.ts for the method.

import { currentShift, lowestVoltage } from './currents';
import { hasFrame } from './frame';
import { at, copy, put } from './lanes';
import { lastTemperature, outcome, RATED_POWER, SEEMS, slotCount, temperature } from './memory';
import { isDroop, mountings, setVoltage } from './rack';
import { beginAt } from './start';
import { currentOrder, SOLVED, stepToLimit, sweep, sweepAgain } from './sweep';
import { moveTemperatures, relativeNewtonStep } from './temperatures';

/** How a search ended: not at all; at a rated power; with the power carried that it was to stay below. */
export const NOT_CLOSED: i32 = 0;
export const FOUND: i32 = 1;
const CARRIED: i32 = 2;

/** K, as in ladder.ts. */
const HIGHEST_TEMPERATURE: f64 = 1273.15;
const LARGEST_STEP: f64 = 200;
/**
 * The last steps, small enough that their ratio says how the search converges, and what may be left after them; powers
 * relative, temperatures in K.
 */
const SMALL_POWER_STEP: f64 = 1e-4;
const SMALL_TEMPERATURE_STEP: f64 = 0.02;
const POWER_LEFT: f64 = 1e-7;
/** Change of currents, as part of their sum, that contacts may still ask for. */
const CURRENTS_LEFT: f64 = 1e-6;
const TEMPERATURE_LEFT_EQUAL: f64 = 1e-5;
const TEMPERATURE_LEFT_DROOP: f64 = 1e-6;
/** Steps are not taken to shrink faster than this: currents follow temperatures a sweep late. */
const LEAST_RATIO_EQUAL: f64 = 0.02;
const LEAST_RATIO_DROOP: f64 = 0.1;
/** Part of the step before last that may be left as well: contact voltages follow the currents yet another sweep late. */
const MEMORY: f64 = 3e-5;
/** How nearly the currents close, relative: in a first sweep that only begins, where a sweep can decide, and in a look. */
const FIRST_CLOSURE: f64 = 1e-5;
const FINE_CLOSURE: f64 = 1e-9;
const LOOK_CLOSURE: f64 = 1e-5;
/** Relative power by which a state must be clear of another, from the part of the rise that still moves. */
const MARGIN_SQUARE: f64 = 0.5;
const MARGIN_LATE_EQUAL: f64 = 0.005;
const MARGIN_LATE_DROOP: f64 = 0.02;
const MARGIN_LEAST: f64 = 1e-4;
const MARGIN_BENT: f64 = 2.5;
/** Part of the way to another power: what films feel of warmer air, and hot spots of each other, is left out of the rates. */
const MARGIN_RATE: f64 = 0.1;
const MARGIN_SHIFT: f64 = 10;
/** Parts of the rise and of the power beyond which a linearisation decides nothing. */
const FARTHEST: f64 = 0.3;
/** Part of the currents that contacts may still ask for, and d ln I/d ln P, beyond which it decides nothing either. */
const FARTHEST_CURRENTS: f64 = 0.01;
const STEEPEST_ORDER: f64 = 1.1;
/** Part of the set voltage that every load must still have for it. */
const LEAST_VOLTAGE: f64 = 0.9;
/** Part of the rise: where temperatures move by less, a state is decided together with its power. */
const UNDECIDED: f64 = 3e-4;
const JOINT_SWEEPS: i32 = 20;

/** W at which the temperatures in `lastTemperature` were linearised with their films; for which mounting. */
export let lastPower: f64 = 0;
let lastFor: i32 = -1;
/** Largest Newton step of the temperatures in the last linearisation, as part of the largest rise. */
let newtonStep: f64 = 0;

/** Whether another operating state has left temperatures from which the next can go on. */
export function hasLastSweep(): bool {
  // Beside a frame the heats of a sweep belong to its own state.
  return !hasFrame && lastFor == mountings && lastPower > 0;
}

export function forgetLastSweep(): void {
  lastPower = 0;
}

/**
 * What the present state surely carries (W), as linearised where the last sweep of another was; what it seems to carry is
 * left in `outcome`. 0 where that cannot be told.
 */
export function lookAt(): f64 {
  put(outcome, SEEMS, 0);
  if (!hasLastSweep()) return 0;
  copy(temperature, lastTemperature, 2 * slotCount);
  if (sweepAgain(lastPower, LOOK_CLOSURE) != SOLVED) return 0;
  const step = stepToLimit(lastPower, lowestVoltage());
  newtonStep = relativeNewtonStep();
  if (isNaN(step)) return 0;
  put(outcome, SEEMS, lastPower + step);
  return surelyCarried(lastPower + step, lastPower);
}

/**
 * Searches the rated power of the present state if it is below `upper`, W.
 * @param start W, the estimate of the start just solved; 0 to go on from another state's last sweep
 * @param keeps whether the last sweep is kept for other states
 */
export function joint(start: f64, upper: f64, keeps: bool): i32 {
  const compared = isFinite(upper);
  const goesOn = start == 0;
  let power = lastPower;
  if (goesOn) {
    copy(temperature, lastTemperature, 2 * slotCount);
  } else {
    power = compared ? upper : start;
    beginAt(power);
  }
  let lastStep: f64 = NaN;
  let lastLargest: f64 = NaN;
  for (let turn = 0; turn < JOINT_SWEEPS; turn++) {
    const closure = turn > 0 ? closureAfter(lastStep / power) : compared ? FINE_CLOSURE : FIRST_CLOSURE;
    if (goesOn && turn == 0) {
      if (sweepAgain(power, closure) != SOLVED) return NOT_CLOSED;
    } else {
      if (sweep(power, closure) != SOLVED) return NOT_CLOSED;
      if (keeps) {
        copy(lastTemperature, temperature, 2 * slotCount);
        lastPower = power;
        lastFor = mountings;
      }
    }
    const wanted = stepToLimit(power, lowestVoltage());
    if (!isFinite(wanted)) return NOT_CLOSED;
    let step = max(-0.5 * power, min(power, wanted));
    if (compared) {
      newtonStep = relativeNewtonStep();
      if (abs(upper - power) <= 0.05 * power && surelyCarried(power + step, power) >= upper) return CARRIED;
      // Too close to call: the temperatures at the upper power first, and only then another power.
      if (newtonStep > UNDECIDED && step + power >= upper) step = upper - power;
    }
    const largest = moveTemperatures(step, 1 + step / power);
    if (!(largest < LARGEST_STEP)) return NOT_CLOSED;
    power += step;
    if (currentShift() <= CURRENTS_LEFT && isSettled(power, step, lastStep, largest, lastLargest)) {
      // Near the collapse small steps do not mean that little is left.
      if (!isBelow(HIGHEST_TEMPERATURE) || currentOrder(power) > STEEPEST_ORDER) return NOT_CLOSED;
      put(outcome, RATED_POWER, power);
      return power < upper ? FOUND : CARRIED;
    }
    lastStep = step;
    lastLargest = largest;
  }
  return NOT_CLOSED;
}

function isBelow(highest: f64): bool {
  for (let e = 0; e < 2 * slotCount; e++) if (!(at(temperature, e) <= highest)) return false;
  return true;
}

/**
 * Of the power (W) that the last linearisation asks for, what leaves no doubt. What a Newton step of the temperatures
 * leaves is of second order, a tenth of the step's square at most in the demonstration's studies; five times that is
 * taken off, with a part for currents that follow the temperatures late. Rises grow with the second to third power of the
 * load, and faster where a hot bar resists more: up or down, the tangent lies below them, by the square of the part that the
 * power moves (its coefficient would be 1/2 for the second power, 1 for the third, 2 for the fifth). A load at U of the set voltage U₀ answers to power by d ln I/d ln P of up to
 * U₀/(2U − U₀), as if it were alone on what the voltage is lost in: it may meet a limit that much sooner than all together do.
 * @param power W, at which was linearised
 */
function surelyCarried(asked: f64, power: f64): f64 {
  return sureOf(asked, power, newtonStep, currentShift(), lowestVoltage());
}

/**
 * The same from what a linearisation has left.
 * @param step largest Newton step of the temperatures, as part of the largest rise
 * @param shift part of the currents that contacts may still ask for
 * @param lowest V, at the terminals of any load
 */
export function sureOf(asked: f64, power: f64, step: f64, shift: f64, lowest: f64): f64 {
  const fall = max(0, 1 - asked / power);
  const order = currentOrder(power);
  // Beside a frame the rates leave out that the return pole carries another current.
  if (hasFrame) return 0;
  // Far off, near the collapse, and with currents that do not know of their contacts yet, a straight line tells little.
  if (!(step <= FARTHEST && fall <= FARTHEST && shift <= FARTHEST_CURRENTS && order <= STEEPEST_ORDER)) return 0;
  if (!(lowest >= LEAST_VOLTAGE * setVoltage)) return 0;
  const late = isDroop ? MARGIN_LATE_DROOP : MARGIN_LATE_EQUAL;
  const sooner = max(1, setVoltage / (order * (2 * lowest - setVoltage)));
  const rise = min(FARTHEST, max(0, asked / power - 1) / sooner);
  const sure = min(asked, power * (1 + rise));
  return sure * (1 - MARGIN_SQUARE * step * step - late * step - MARGIN_SHIFT * shift - MARGIN_LEAST)
    - power * (MARGIN_BENT * (fall * fall + rise * rise) + MARGIN_RATE * (fall + rise));
}

/** Whether what is left to move is small: the steps shrink by the ratio of the last two. */
function isSettled(power: f64, step: f64, lastStep: f64, largest: f64, lastLargest: f64): bool {
  if (abs(step) > SMALL_POWER_STEP * power || largest > SMALL_TEMPERATURE_STEP) return false;
  const least = isDroop ? LEAST_RATIO_DROOP : LEAST_RATIO_EQUAL;
  return remainder(abs(step), abs(lastStep), least) <= POWER_LEFT * power
    && remainder(largest, lastLargest, least) <= (isDroop ? TEMPERATURE_LEFT_DROOP : TEMPERATURE_LEFT_EQUAL);
}

/** What is left of steps of which the last two are given; they shrink by their ratio, but not by less than `least`. */
function remainder(step: f64, lastStep: f64, least: f64): f64 {
  // A first step tells nothing of the next.
  if (!(lastStep > 0)) return Infinity;
  const ratio = min(0.99, max(least, step / lastStep));
  return max((step * ratio) / (1 - ratio), MEMORY * lastStep);
}

/** Currents close far within the step that the power still takes: an error in them is one in the power. */
function closureAfter(step: f64): f64 {
  return min(FIRST_CLOSURE, max(FINE_CLOSURE, 1e-6 * abs(step)));
}
