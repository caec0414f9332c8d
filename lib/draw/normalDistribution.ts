import erfc from '@stdlib/math-base-special-erfc';
import erfcinv from '@stdlib/math-base-special-erfcinv';

/** Standard normal distribution function Φ(z) = erfc(−z/√2)/2; relative error below 1e-12 down to Φ = 1e-200. */
export function normalCdf(z: number): number {
  return 0.5 * erfc(-z / Math.SQRT2);
}

/** Standard normal quantile Φ⁻¹(p) = −√2·erfcinv(2p), 0 ≤ p ≤ 1; as accurate in the lower tail. */
export function normalQuantile(p: number): number {
  return -Math.SQRT2 * erfcinv(2 * p);
}

/**
 * Quantile function u ↦ z of the standard normal distribution truncated to low..high: Φ⁻¹(Φ(low) + u·(Φ(high)−Φ(low))).
 * @param low −Infinity where open
 * @returns null when the interval holds no probability that a double can tell from 0
 */
export function truncatedNormalQuantile(low: number, high: number): ((u: number) => number) | null {
  // An interval above the mean is mirrored: near 1 a double cannot tell probabilities apart as it can near 0.
  if (low > 0) {
    const mirrored = truncatedNormalQuantile(-high, -low);
    return mirrored && ((u) => -mirrored(1 - u));
  }
  const from = normalCdf(low);
  const mass = normalCdf(high) - from;
  if (!(mass > 0)) return null;
  return (u) => Math.min(Math.max(normalQuantile(from + u * mass), low), high);
}
