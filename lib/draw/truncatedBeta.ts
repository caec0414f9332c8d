import type { RandomStream } from './randomStream.js';

/**
 * A variate of the symmetric beta distribution, density ∝ (x·(1−x))^(shape−1), kept within low..high. Exact, by
 * rejection from an envelope that suits the interval (Devroye 1986, Non-Uniform Random Variate Generation, VII.2).
 *
 * Shape ≥ 1: the density is log-concave, so the exponential that touches it at the interval's point m nearest to ½
 * lies above it. Shape < 1: below ½ the envelope is 2^(1−shape)·x^(shape−1), above ½ its mirror image; at least half
 * of the candidates are accepted.
 * @param shape > 0
 * @param low 0 ≤ low ≤ high ≤ 1
 */
export function truncatedBeta(shape: number, low: number, high: number, stream: RandomStream): number {
  if (!(low < high)) return low;
  return shape < 1 ? fromPowers(shape, low, high, stream) : fromExponential(shape, low, high, stream);
}

function fromExponential(shape: number, low: number, high: number, stream: RandomStream): number {
  const power = shape - 1;
  const m = Math.min(Math.max(0.5, low), high);
  const logDensityAtM = power * Math.log(m * (1 - m));
  const slope = power * (1 / m - 1 / (1 - m));
  for (;;) {
    const x = exponentialWithin(slope, low, high, stream);
    const logRatio = power * Math.log(x * (1 - x)) - logDensityAtM - slope * (x - m);
    if (Math.log(stream.double()) <= logRatio) return x;
  }
}

/** Density ∝ exp(slope·x) on low..high, by inversion from the end where it is largest. */
function exponentialWithin(slope: number, low: number, high: number, stream: RandomStream): number {
  const u = stream.double();
  const width = high - low;
  const decay = Math.abs(slope) * width;
  if (decay < 1e-12) return low + u * width;
  const distance = (-Math.log1p(u * Math.expm1(-decay)) / decay) * width;
  return slope > 0 ? high - distance : low + distance;
}

function fromPowers(shape: number, low: number, high: number, stream: RandomStream): number {
  // Masses of x^(shape−1) over the part below ½ and, mirrored, over the part above ½.
  const powerOf = (x: number): number => x ** shape;
  const below = low < 0.5 ? { from: powerOf(low), to: powerOf(Math.min(high, 0.5)) } : { from: 0, to: 0 };
  const above = high > 0.5 ? { from: powerOf(1 - high), to: powerOf(Math.min(1 - low, 0.5)) } : { from: 0, to: 0 };
  const belowMass = below.to - below.from;
  const aboveMass = above.to - above.from;
  for (;;) {
    const isBelow = stream.double() * (belowMass + aboveMass) < belowMass;
    const part = isBelow ? below : above;
    const x = (part.from + stream.double() * (part.to - part.from)) ** (1 / shape);
    // (1−x)^(shape−1) runs from 1 at x = 0 to 2^(1−shape) at ½.
    if (stream.double() * 2 ** (1 - shape) <= (1 - x) ** (shape - 1)) {
      return Math.min(Math.max(isBelow ? x : 1 - x, low), high);
    }
  }
}
