/** Lines under the loss and the inverse they lead to, against losses and matrices written out anew. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { radiatedHeat } from '../../lib/ladder/index.js';
import { compileSegments } from '../../lib/ladder/segments.js';
import { Surface } from '../../lib/ladder/surface.js';
import { PoleBound, type PoleCase } from '../../lib/worst/poleBound.js';
import type { ToleranceRanges } from '../../lib/worst/toleranceRanges.js';
import { rackCase } from '../ladder/randomRack.js';

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const LIMIT = 45;
const EXHAUST = 6;
const point = (value: number) => ({ min: value, max: value });

const boundCase = fc.record({
  rack: rackCase.map(({ rack }) => rack), near: between(0, 60), film: between(0.6, 1), emissivity: between(0.05, 0.5),
  inlet: between(0, 8), surroundings: fc.option(between(285, 315)), coldestPath: between(-8, 0),
}).map(({ rack: drawn, near, film, emissivity, inlet, surroundings, coldestPath }) => {
  const rack = { ...drawn, air: { ...drawn.air, surroundings } };
  const ranges: ToleranceRanges = {
    coverPercent: 90, contactFactor: point(1), filmFactor: { min: film, max: 1.2 }, emissivity: { min: emissivity, max: 0.9 },
    areaFactor: point(1), inlet: { min: rack.air.inlet, max: rack.air.inlet + inlet }, sourceContact: null, loadContact: null,
    sharingWeight: point(1),
  };
  const n = rack.slotCount;
  const given: PoleCase = {
    rack, pole: rack.supply, ranges, areaFactor: ranges.areaFactor, highestRise: new Float64Array(n).fill(LIMIT),
    mostExhaust: EXHAUST, coldestPath,
  };
  return { given, bound: new PoleBound(given, new Float64Array(n).fill(near)) };
});

/** Lowest rise that a node can have above its air, as the coldest thing it touches leaves it. */
function lowestRise({ rack, ranges, coldestPath }: PoleCase, i: number): number {
  const { profile, surroundings } = rack.air;
  return Math.min(
    -1, Math.min(...profile) + coldestPath - profile[i] - EXHAUST,
    surroundings === null ? 0 : surroundings - ranges.inlet.max - profile[i] - EXHAUST,
  );
}

describe('the line under the loss', () => {
  it('is nowhere above it, whatever rise, air, film and emissivity in range, and somewhere near', () => {
    let nearest = Number.POSITIVE_INFINITY;
    const part = between(0, 1);
    // The ends of the ranges are where the line comes near.
    const end = fc.oneof(fc.constantFrom(0, 1), part);
    const points = fc.array(fc.tuple(part, end, end, end, end), { minLength: 800, maxLength: 800 });
    fc.assert(fc.property(boundCase, points, ({ given, bound }, drawn) => {
      const { rack, ranges } = given;
      const { sectionAt } = compileSegments(rack, rack.supply);
      const runLength = rack.slotCount * rack.pitch;
      const surfaces = new Map(rack.supply.sections.map((section) => [section, new Surface(
        { plates: section.plates, openFaces: section.openFaces, run: 'vertical', runLength }, rack.films, rack.air.altitude,
      )]));
      drawn.forEach(([a, b, c, d, e], k) => {
        const i = k % rack.slotCount;
        const surface = surfaces.get(sectionAt[i]);
        if (surface === undefined) throw new Error('every slot has a section');
        const lowest = lowestRise(given, i);
        const rise = lowest + a * (LIMIT - lowest);
        const air = ranges.inlet.min + b * (ranges.inlet.max - ranges.inlet.min) + rack.air.profile[i] + c * EXHAUST;
        const film = ranges.filmFactor.min + d * (1.2 - ranges.filmFactor.min);
        const emissivity = (ranges.emissivity?.min ?? 0) + e * (0.9 - (ranges.emissivity?.min ?? 0));
        const [heat, slope] = [new Float64Array(1), new Float64Array(1)];
        surface.addConvection(Float64Array.of(air + rise), Float64Array.of(air), 0, 1, 1, 0, heat, slope);
        const radiated = radiatedHeat(air + rise, rack.air.surroundings ?? air, emissivity, surface.envelope);
        const loss = rack.pitch * (film * heat[0] + radiated);
        const above = loss - (bound.slope[i] * rise + bound.offset[i]);
        expect(above).toBeGreaterThanOrEqual(-1e-9);
        nearest = Math.min(nearest, above);
      });
    }), { numRuns: 60, seed: 71, endOnFailure: true });
    expect(nearest).toBeLessThan(0.003);
  });
});

describe('the inverse of conduction and slopes', () => {
  it('gives back the unit vector, and has no negative entry', () => {
    fc.assert(fc.property(boundCase, fc.nat(), ({ given, bound }, pick) => {
      const { rack } = given;
      const n = rack.slotCount;
      const m = pick % n;
      const row = new Float64Array(n);
      bound.green(m, row);
      const { conductance } = compileSegments(rack, rack.supply);
      for (let i = 0; i < n; i++) {
        let sum = bound.slope[i] * row[i];
        if (i > 0) sum += conductance[i - 1] * (row[i] - row[i - 1]);
        if (i < n - 1) sum += conductance[i] * (row[i] - row[i + 1]);
        expect(sum).toBeCloseTo(i === m ? 1 : 0, 9);
        expect(row[i]).toBeGreaterThanOrEqual(0);
      }
    }), { numRuns: 60, seed: 72, endOnFailure: true });
  });
});
