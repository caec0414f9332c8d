import type { Kernel } from '../kernel/kernel.js';

const MOST_ITERATIONS = 500;
const SETTLED = 1e-10;

/**
 * Slowest time constant of the bar about the temperatures at which the kernel was last linearised, currents given, s:
 * the largest 1/λ of J·x = λ·C·x, by inverse iteration with the elimination that the kernel has just done. The two poles
 * do not exchange heat; the slower one counts.
 * @param capacities J/K, `[slot × pole]`
 */
export function slowestTimeConstant(kernel: Kernel, capacities: Float64Array): number {
  const inversePivot = kernel.numbers('inversePivot');
  const multiplier = kernel.numbers('multiplier');
  return Math.max(...[0, 1].map((pole) => {
    const n = kernel.slotCount;
    let x = new Float64Array(n).fill(1);
    let last = 0;
    for (let iteration = 0; iteration < MOST_ITERATIONS; iteration++) {
      const next = new Float64Array(n);
      let forward = 0;
      for (let i = 0; i < n; i++) {
        const entry = 2 * i + pole;
        forward = capacities[entry] * x[i] + (i > 0 ? multiplier[entry - 2] * forward : 0);
        next[i] = forward;
      }
      for (let i = n - 1; i >= 0; i--) {
        const entry = 2 * i + pole;
        next[i] = next[i] * inversePivot[entry] + (i < n - 1 ? multiplier[entry] * next[i + 1] : 0);
      }
      let along = 0;
      let size = 0;
      for (let i = 0; i < n; i++) {
        const weight = capacities[2 * i + pole] * x[i];
        along += weight * next[i];
        size += weight * x[i];
      }
      const constant = along / size;
      if (Math.abs(constant - last) <= SETTLED * constant) return constant;
      last = constant;
      const length = Math.sqrt(next.reduce((sum, value) => sum + value * value, 0));
      x = next.map((value) => value / length);
    }
    // Modes that lie this close together are one time constant for any practical purpose.
    return last;
  }));
}
