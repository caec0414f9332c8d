import type { Kernel } from '../kernel/kernel.js';
import type { NumbersName } from '../kernel/layout.js';

const MOST_ITERATIONS = 500;
const SETTLED = 1e-10;

/**
 * Slowest time constant of the bar about the temperatures at which the kernel was last linearised, currents given, s:
 * the largest 1/λ of J·x = λ·C·x, by inverse iteration. The two poles do not exchange heat; the slower one counts.
 * @param capacities J/K, `[slot × pole]`
 * @param pitch m
 */
export function slowestTimeConstant(kernel: Kernel, capacities: Float64Array, pitch: number): number {
  return Math.max(...[0, 1].map((pole) => {
    const solve = jacobianSolver(kernel, pole, pitch);
    let x = new Float64Array(kernel.slotCount).fill(1);
    let last = 0;
    for (let iteration = 0; iteration < MOST_ITERATIONS; iteration++) {
      const next = x.map((value, i) => capacities[2 * i + pole] * value);
      solve(next);
      let along = 0;
      let size = 0;
      for (let i = 0; i < x.length; i++) {
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

/** Solves J·x = b in place for one pole, J the symmetric tridiagonal matrix of thermalLadder.ts as last linearised, W/K. */
function jacobianSolver(kernel: Kernel, pole: number, pitch: number): (b: Float64Array) => void {
  const n = kernel.slotCount;
  const entries = (name: NumbersName) => kernel.numbers(name).filter((_, entry) => entry % 2 === pole);
  const [lossSlope, contactSlope, along, perKelvin] =
    (['heatSlope', 'spreadingHeatSlope', 'segmentConductance', 'segmentSlope'] as const).map(entries);
  const unitConductance = kernel.numbers('unitConductance');
  const current = kernel.numbers('segmentCurrent');
  // Half the Joule heat of a segment goes to each of its ends, and both their temperatures make it grow.
  const jouleSlope = perKelvin.map((slope, i) => 0.5 * current[i] ** 2 * slope);
  const coupling = (i: number) => along[i] + jouleSlope[i];
  const keeps = (i: number) => (i < 0 || i === n - 1 ? 0 : along[i] - jouleSlope[i]);
  const pivot = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    pivot[i] = unitConductance[i] + pitch * lossSlope[i] - contactSlope[i] + keeps(i - 1) + keeps(i);
    if (i > 0) pivot[i] -= coupling(i - 1) ** 2 / pivot[i - 1];
  }
  return (b) => {
    for (let i = 1; i < n; i++) b[i] += (coupling(i - 1) / pivot[i - 1]) * b[i - 1];
    for (let i = n - 1; i >= 0; i--) b[i] = (b[i] + (i < n - 1 ? coupling(i) * b[i + 1] : 0)) / pivot[i];
  };
}
