/** Bounds on currents against sources and loads drawn at random inside what is allowed. */
import { describe, expect, it } from 'vitest';
import { randomStream, type StreamPurpose } from '../../lib/draw/index.js';
import { Currents, fedBelow } from '../../lib/worst/currents.js';

const stream = randomStream('currents', 1, 'test' as StreamPurpose);

describe('the share fed by the lowest sources', () => {
  it('lies between its bounds for any sharing within the spread, and comes to them', () => {
    for (let turn = 0; turn < 2000; turn++) {
      const inService = 1 + stream.integerBelow(6);
      const spread = 1 + 2 * stream.double();
      const weights = Array.from({ length: inService }, () => 1 + (spread - 1) * stream.double());
      const sum = weights.reduce((a, b) => a + b, 0);
      let below = 0;
      for (let n = 0; n <= inService; n++) {
        const { min, max } = fedBelow({ inService, spread }, n);
        expect(below / sum).toBeGreaterThanOrEqual(min - 1e-12);
        expect(below / sum).toBeLessThanOrEqual(max + 1e-12);
        below += weights[n];
      }
    }
    expect(fedBelow({ inService: 5, spread: 1.5 }, 2)).toEqual({ min: 2 / (2 + 4.5), max: 3 / (3 + 3) });
    expect(fedBelow({ inService: 1, spread: 3 }, 1)).toEqual({ min: 1, max: 1 });
  });
});

describe('the largest square of a segment’s current', () => {
  it('is not exceeded by any loads and sources between their ends', () => {
    const voltage = { min: 48, max: 51 };
    const sharing = { inService: 3, spread: 1.3 };
    const bins = 10;
    const currents = new Currents(60e3, voltage, sharing);
    const squares = currents.largestSquares(bins);
    let nearest = 0;
    for (let turn = 0; turn < 20_000; turn++) {
      const share = turn % 10 === 0 ? 1 : stream.double();
      const n = stream.integerBelow(4);
      const fed = fedBelow(sharing, n);
      const part = fed.min + (fed.max - fed.min) * stream.double();
      // Loads below and above, each at a voltage of its own.
      const below = (60e3 * share) / (voltage.min + 3 * stream.double());
      const above = (60e3 * (1 - share)) / (voltage.min + 3 * stream.double());
      const square = (part * (below + above) - below) ** 2;
      const bound = squares[n][Math.floor(share * bins)];
      expect(square).toBeLessThanOrEqual(bound * (1 + 1e-9));
      if (bound > 0) nearest = Math.max(nearest, square / bound);
    }
    expect(nearest).toBeGreaterThan(0.99);
    expect(currents.largestSource).toBeCloseTo((1.3 / 3.3) * (60e3 / 48), 9);
  });

  it('is the largest at the corners of what a bin holds', () => {
    const voltage = { min: 47, max: 52 };
    for (const [inService, spread, bins] of [[3, 1.3, 10], [2, 2.5, 7], [1, 1, 4]]) {
      const sharing = { inService, spread };
      const squares = new Currents(60e3, voltage, sharing).largestSquares(bins);
      for (let n = 0; n <= inService; n++) {
        const { min, max } = fedBelow(sharing, n);
        for (let g = 0; g <= bins; g++) {
          let most = 0;
          // Bin g holds shares from g to g + 1 parts, the last one all of the load.
          for (const share of g === bins ? [1] : [g / bins, (g + 1) / bins]) {
            for (const part of [min, max]) {
              for (const low of [voltage.min, voltage.max]) {
                for (const high of [voltage.min, voltage.max]) {
                  const [below, above] = [(60e3 * share) / low, (60e3 * (1 - share)) / high];
                  most = Math.max(most, (part * (below + above) - below) ** 2);
                }
              }
            }
          }
          expect(squares[n][g]).toBeCloseTo(most, 6);
        }
      }
    }
  });
});
