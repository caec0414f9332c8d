import type { RandomStream } from './randomStream.js';

/**
 * Natural logarithm of a gamma variate with the given shape and scale 1.
 *
 * Marsaglia & Tsang 2000, "A simple method for generating gamma variables": d = shape − 1/3, c = 1/√(9d),
 * V = (1 + c·X)³ with X standard normal, accepted when ln U < X²/2 + d − dV + d·ln V; the variate is dV. Below
 * shape 1 (their section 6): G(shape) = G(shape+1)·U^(1/shape). The logarithm, because such variates fall below the
 * smallest double when the shape is small.
 * @param shape > 0
 */
export function logGamma(shape: number, stream: RandomStream): number {
  if (shape < 1) return logGamma(shape + 1, stream) + Math.log(stream.double()) / shape;
  const d = shape - 1 / 3;
  const c = 1 / Math.sqrt(9 * d);
  for (;;) {
    const x = standardNormal(stream);
    const root = 1 + c * x;
    if (root <= 0) continue;
    const v = root * root * root;
    const u = stream.double();
    // The first test spares most logarithms (their squeeze).
    if (u < 1 - 0.0331 * x * x * x * x) return Math.log(d * v);
    if (Math.log(u) < 0.5 * x * x + d * (1 - v + Math.log(v))) return Math.log(d * v);
  }
}

/** One standard normal variate by the polar method (Marsaglia & Bray 1964). */
function standardNormal(stream: RandomStream): number {
  for (;;) {
    const x = 2 * stream.double() - 1;
    const y = 2 * stream.double() - 1;
    const square = x * x + y * y;
    if (square < 1 && square > 0) return x * Math.sqrt((-2 * Math.log(square)) / square);
  }
}
