import { describe, expect, it } from 'vitest';
import { splitAtRandom } from '../../lib/draw/dirichlet.js';
import { randomStream } from '../../lib/draw/randomStream.js';
import { kolmogorovScore, POOR_DISTANCE } from './goodnessOfFit.js';

const DRAWS = 60_000;

function firstShares(count: number, concentration: number): number[] {
  const parts = new Float64Array(count);
  const stream = randomStream('dirichlet', 0, 'placement');
  return Array.from({ length: DRAWS }, () => {
    splitAtRandom(1, count, concentration, stream, parts);
    return parts[0];
  });
}

describe('a random split of a total', () => {
  it.each([
    [2, 0.3],
    [5, 1],
    [16, 0.5],
    [16, 1],
    [16, 4],
    [3, 50],
  ])('has the mean and variance of a Dirichlet share: %i parts, concentration %d', (count, concentration) => {
    const shares = firstShares(count, concentration);
    const mean = shares.reduce((sum, x) => sum + x, 0) / DRAWS;
    const squares = shares.map((x) => (x - mean) ** 2);
    const variance = squares.reduce((sum, x) => sum + x, 0) / (DRAWS - 1);
    const wanted = (count - 1) / (count * count * (count * concentration + 1));
    const errorOfVariance = Math.sqrt(squares.reduce((sum, x) => sum + (x - variance) ** 2, 0)) / DRAWS;
    expect(Math.abs(mean - 1 / count)).toBeLessThan(4.4 * Math.sqrt(wanted / DRAWS));
    expect(Math.abs(variance - wanted)).toBeLessThan(4.4 * errorOfVariance);
  });

  it('is uniform over all splits at concentration 1: a share of n is beta(1, n−1)', () => {
    const score = kolmogorovScore(firstShares(4, 1), (x) => 1 - (1 - x) ** 3);
    expect(score).toBeLessThan(POOR_DISTANCE);
  });

  it('of two at concentration 1/2 follows the arcsine law', () => {
    const score = kolmogorovScore(firstShares(2, 0.5), (x) => (2 / Math.PI) * Math.asin(Math.sqrt(x)));
    expect(score).toBeLessThan(POOR_DISTANCE);
  });

  it('of two at concentration 3 is beta(3, 3)', () => {
    const score = kolmogorovScore(firstShares(2, 3), (x) => x ** 3 * (10 - 15 * x + 6 * x * x));
    expect(score).toBeLessThan(POOR_DISTANCE);
  });

  it('adds up to the total and stays a number however small the concentration', () => {
    const parts = new Float64Array(12);
    const stream = randomStream('tiny', 0, 'placement');
    for (let draw = 0; draw < 1000; draw++) {
      splitAtRandom(92_000, 10, 1e-4, stream, parts);
      const sum = parts.reduce((total, part) => total + part, 0);
      expect(Math.abs(sum - 92_000)).toBeLessThan(1e-6);
      expect(parts.every((part) => part >= 0)).toBe(true);
      expect(parts[10]).toBe(0);
    }
  });
});
