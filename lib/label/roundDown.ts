import { requirePositive } from './checks.js';

/**
 * The largest whole multiple of `step` that is at most `power`, both in W: 100,000 W stays, 99,999.9 W gives 99,000 W
 * at steps of 1 kW. A label may never be rounded up, so no allowance is made for rounding errors of `power`.
 *
 * @throws RangeError unless power is finite and ≥ 0 and step is finite and > 0
 * @example roundDown(104_320, 1000) // 104000
 */
export function roundDown(power: number, step: number): number {
  requirePositive('step', step, 'W');
  if (!(power >= 0 && Number.isFinite(power))) {
    throw new RangeError(`power: found ${power} W; a finite power of at least 0 W is needed`);
  }
  let steps = Math.floor(power / step);
  if (!Number.isSafeInteger(steps)) throw new RangeError(`step: found ${step} W; a step of at least ${power / Number.MAX_SAFE_INTEGER} W is needed`);
  // The division may have been rounded to either side of a whole number.
  if ((steps + 1) * step <= power) steps++;
  else if (steps * step > power) steps--;
  return steps * step;
}
