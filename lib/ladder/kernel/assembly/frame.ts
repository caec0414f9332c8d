// A frame beside the return pole: see ../../frameNetwork.ts, which divides the current.

import { at, both, clear, copy, pair, plus, put, returnOf, setPair, wholeAt } from './lanes';
import {
  contactVoltage, edgeVoltage, frameCurrent, frameLimit, frameMost, frameNode, frameShift, frameVoltage, heat, heatSlope,
  heldVoltage, returnCurrent, segmentCurrent, segmentOffset, segmentSlope, slotCount, temperature,
} from './memory';
import { pitch } from './rack';

/** Whether the rack has a frame that carries return current. */
export let hasFrame: bool = false;
/** Ground contacts and bonds. */
export let frameCount: i32 = 0;

export function setFrame(on: bool, count: i32): void {
  hasFrame = on;
  frameCount = count;
}

/** Keeps the contact voltages of the last update; those of slots that the next one does not write begin at 0. */
export function beginFrameVoltages(): void {
  copy(heldVoltage, contactVoltage, slotCount);
  clear(contactVoltage, slotCount);
  clear(edgeVoltage, slotCount);
}

/** Adds what the frame does. @returns V, the largest change since the last update */
export function addFrameVoltages(): f64 {
  let largest: f64 = 0;
  for (let i = 0; i < slotCount; i++) {
    const volts = at(contactVoltage, i) + at(frameVoltage, i);
    put(contactVoltage, i, volts);
    put(edgeVoltage, i, at(edgeVoltage, i) + at(frameShift, i));
    largest = max(largest, abs(volts - at(heldVoltage, i)));
  }
  return largest;
}

/** The return pole carries another current than the supply pole: the difference in heat, taken off what it loses. */
export function addFrameHeat(): void {
  for (let i = 0; i < slotCount - 1; i++) {
    const supply = at(segmentCurrent, i);
    const back = at(returnCurrent, i);
    const halfSquare = (0.5 * (back * back - supply * supply)) / pitch;
    const slope = returnOf(pair(segmentSlope, i));
    const sum = returnOf(plus(pair(temperature, i), pair(temperature, i + 1)));
    const heatEach = halfSquare * (returnOf(pair(segmentOffset, i)) + slope * sum);
    for (let k = i; k < i + 2; k++) {
      setPair(heat, k, plus(pair(heat, k), f64x2.replace_lane(both(0), 1, -heatEach)));
      setPair(heatSlope, k, plus(pair(heatSlope, k), f64x2.replace_lane(both(0), 1, -halfSquare * slope)));
    }
  }
}

// What the last frame limit met is.
export let metLimit: i32 = 0;
export let metNode: i32 = 0;

/** The lower of `best` and the power change (W) at which a ground contact or a bond meets its limit. */
export function frameStep(best: f64, perPower: f64): f64 {
  let lowest = best;
  metLimit = -1;
  for (let k = 0; k < frameCount; k++) {
    const current = abs(at(frameCurrent, k));
    const room = at(frameMost, k) - current;
    if (!(room < lowest * perPower * current)) continue;
    lowest = room / (perPower * current);
    metLimit = wholeAt(frameLimit, k);
    metNode = wholeAt(frameNode, k);
  }
  return lowest;
}
