import { describe, expect, it } from 'vitest';
import { randomStream } from '../../lib/draw/randomStream.js';
import { truncatedBeta } from '../../lib/draw/truncatedBeta.js';
import { kolmogorovScore, POOR_DISTANCE } from './goodnessOfFit.js';

/** Integral of (x(1−x))^(shape−1) from low to x: Simpson's rule after x = sin²(t), which takes the poles away. */
function integral(shape: number, low: number, x: number): number {
  const from = Math.asin(Math.sqrt(low));
  const to = Math.asin(Math.sqrt(x));
  const steps = 400;
  const width = (to - from) / steps;
  let sum = 0;
  for (let at = 0; at <= steps; at++) {
    const t = from + at * width;
    const factor = at === 0 || at === steps ? 1 : at % 2 === 1 ? 4 : 2;
    sum += factor * 2 * Math.max(0, Math.sin(t) * Math.cos(t)) ** (2 * shape - 1);
  }
  return (sum * width) / 3;
}

describe('a truncated symmetric beta variate', () => {
  it.each([
    [1, 0.2, 0.9],
    [3, 0, 1],
    [3, 0, 0.2],
    [3, 0.7, 1],
    [3, 0.4, 0.8],
    [40, 0, 0.3],
    [40, 0.45, 0.95],
    [0.6, 0, 1],
    [0.6, 0, 0.3],
    [0.6, 0.2, 0.6],
    [0.6, 0.8, 1],
  ])('has the right distribution: shape %d within %d..%d', (shape, low, high) => {
    const stream = randomStream('beta', 0, 'placement');
    const sample = Array.from({ length: 4000 }, () => truncatedBeta(shape, low, high, stream));
    expect(sample.every((x) => x >= low && x <= high)).toBe(true);
    const whole = integral(shape, low, high);
    expect(kolmogorovScore(sample, (x) => integral(shape, low, x) / whole)).toBeLessThan(POOR_DISTANCE);
  });

  it('is the one point of an empty interval', () => {
    expect(truncatedBeta(2, 0.4, 0.4, randomStream('b', 0, 'placement'))).toBe(0.4);
  });
});
