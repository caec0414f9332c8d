// What is the same for all powers and operating states: numbers of the rack and of the scenario that is mounted.

import { at, both, pair, plusTimes, setPair } from './lanes';
import { air, airBase, airSlope, slotCount } from './memory';

/** m; V; K, or 0 where the bar radiates to the local air. */
export let pitch: f64 = 0;
export let setVoltage: f64 = 0;
export let radiant: f64 = 0;
/** Whether each source follows a droop line instead of a share of the current. */
export let isDroop: bool = false;
/** K, K, K, A, V; infinite, and 0 V, where not limited. */
export let barRise: f64 = Infinity;
export let barTemperature: f64 = Infinity;
export let contactTemperature: f64 = Infinity;
export let loadContactCurrent: f64 = Infinity;
export let lowestLoadVoltage: f64 = 0;

export let loadCount: i32 = 0;
export let sourceCount: i32 = 0;
export let filmFactor: f64 = 1;
/** Scenarios mounted so far: tells those who prepare something for a scenario when it is a new one. */
export let mountings: i32 = 0;

export function setRack(pitchMetres: f64, volts: f64, surroundings: f64, droop: bool): void {
  pitch = pitchMetres;
  setVoltage = volts;
  radiant = surroundings;
  isDroop = droop;
}

export function setLimits(rise: f64, bar: f64, contact: f64, contactCurrent: f64, loadVoltage: f64): void {
  barRise = rise;
  barTemperature = bar;
  contactTemperature = contact;
  loadContactCurrent = contactCurrent;
  lowestLoadVoltage = loadVoltage;
}

/** Takes what a scenario just laid out is made of. */
export function setScenario(loads: i32, sources: i32, factor: f64): void {
  loadCount = loads;
  sourceCount = sources;
  filmFactor = factor;
  mountings++;
}

/** K, the coldest and the warmest thing that touches the bar of the mounted scenario without load. */
let coldest: f64 = 0;
let warmest: f64 = 0;

/** The air of a scenario that is being mounted; with the surroundings the first to touch the bar. */
export function beginTouching(coldestAir: f64, warmestAir: f64): void {
  coldest = coldestAir;
  warmest = max(radiant, warmestAir);
}

/** A unit's end, K. */
export function touch(temperature: f64): void {
  warmest = max(warmest, temperature);
}

/**
 * Whether the rack holds all limits of temperature without load: the bar then lies between the coldest and the warmest
 * thing that touches it.
 */
export function staysCool(): bool {
  return warmest - coldest < barRise && warmest < barTemperature && warmest < contactTemperature;
}

/** Air beside the bar at a total load power, W. */
export function setAir(power: f64): void {
  const watts = both(power);
  // Two slots fill a register.
  for (let k = 0; 2 * k < slotCount; k++) setPair(air, k, plusTimes(pair(airBase, k), pair(airSlope, k), watts));
}

