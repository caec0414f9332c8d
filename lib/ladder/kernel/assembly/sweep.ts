// A sweep: currents at the present temperatures, then all temperatures linearised at once.

import { updateContacts, updateOwnSpreading } from './contacts';
import { solveAgain, solveCurrents, totalCurrent, tryCurrents, updateLoopResistance } from './currents';
import { assembleLoss } from './films';
import { at, put } from './lanes';
import { linearisedStep } from './limits';
import { outcome, SWEEPS } from './memory';
import { radiant, setAir, setVoltage } from './rack';
import { addFrameHeat, hasFrame } from './frame';
import { addStored, isStored } from './storage';
import { linearise } from './temperatures';

// How a sweep ended.
export const SOLVED: i32 = 0;
export const VOLTAGE_COLLAPSE: i32 = 1;
export const NO_STEADY_STATE: i32 = 2;

// For the benchmark: how many times more than it must each stage runs.
let moreCurrents: i32 = 0;
let moreContacts: i32 = 0;
let moreFilms: i32 = 0;
let moreNewton: i32 = 0;
let moreLimits: i32 = 0;

export function repeatStages(currents: i32, contacts: i32, films: i32, newton: i32, limits: i32): void {
  moreCurrents = currents;
  moreContacts = contacts;
  moreFilms = films;
  moreNewton = newton;
  moreLimits = limits;
}

/**
 * One sweep at a power (W) from the present temperatures; they are not yet moved by what it finds.
 * @param closure how nearly the currents close, relative
 */
export function sweep(power: f64, closure: f64): i32 {
  setAir(power);
  updateLoopResistance();
  updateOwnSpreading();
  return sweepWith(power, closure, true);
}

/**
 * A sweep for another operating state at the power and the temperatures of the last one: what the bar loses to the air
 * is known from there.
 */
export function sweepAgain(power: f64, closure: f64): i32 {
  return sweepWith(power, closure, false);
}

// @ts-ignore: decorator
@inline function sweepWith(power: f64, closure: f64, withFilms: bool): i32 {
  put(outcome, SWEEPS, at(outcome, SWEEPS) + 1);
  for (let k = 0; k < moreCurrents; k++) tryCurrents(power, closure);
  if (!(withFilms ? solveCurrents(power, closure) : solveAgain(power, closure))) return VOLTAGE_COLLAPSE;
  for (let k = 0; k < moreContacts; k++) updateContacts();
  updateContacts();
  if (withFilms) {
    for (let k = 0; k < moreFilms; k++) assembleLoss(radiant);
    assembleLoss(radiant);
    if (isStored) addStored();
    if (hasFrame) addFrameHeat();
  }
  const order = currentOrder(power);
  for (let k = 0; k < moreNewton; k++) linearise(power, order);
  return linearise(power, order) ? SOLVED : NO_STEADY_STATE;
}

/** How strongly current follows power, d ln I/d ln P: above 1 by the share of the fed power lost on the way. */
export function currentOrder(power: f64): f64 {
  return min(2, max(1, (totalCurrent * setVoltage) / power));
}

/** W, the power change at which, to first order, the first limit is met; see limits.ts. @param lowest V, about the lowest of any load */
export function stepToLimit(power: f64, lowest: f64): f64 {
  const order = currentOrder(power);
  for (let k = 0; k < moreLimits; k++) linearisedStep(power, order, lowest);
  return linearisedStep(power, order, lowest);
}
