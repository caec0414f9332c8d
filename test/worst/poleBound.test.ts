/** Lines under the loss and the inverse they lead to, against losses and matrices written out anew. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { patchMean, patchMiddle, radiatedHeat } from '../../lib/ladder/index.js';
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

/** W lost by a node of the supply pole. */
function lossOf({ rack }: PoleCase) {
  const { sectionAt } = compileSegments(rack, rack.supply);
  const runLength = rack.slotCount * rack.pitch;
  const surfaces = new Map(rack.supply.sections.map((section) => [section, new Surface(
    { plates: section.plates, openFaces: section.openFaces, run: 'vertical', runLength }, rack.films, rack.air.altitude,
  )]));
  return (i: number, rise: number, air: number, film: number, emissivity: number): number => {
    const surface = surfaces.get(sectionAt[i]);
    if (surface === undefined) throw new Error('every slot has a section');
    const [heat, slope] = [new Float64Array(1), new Float64Array(1)];
    surface.addConvection(Float64Array.of(air + rise), Float64Array.of(air), 0, 1, 1, 0, heat, slope);
    return rack.pitch * (film * heat[0] + radiatedHeat(air + rise, rack.air.surroundings ?? air, emissivity, surface.envelope));
  };
}

/** Nothing varies but the area of the bar: what the lines lie under is one curve for each slot. */
const oneCurve = fc.record({
  rack: rackCase.map(({ rack }) => rack), near: between(5, 40), least: fc.constantFrom(1, 0.93), areas: fc.constantFrom(1, 1.08),
  surroundings: fc.option(between(285, 300)), coldestPath: fc.constantFrom(0, -6), emissivity: fc.option(between(0.1, 0.9)),
}).map(({ rack: drawn, near, least, areas, surroundings, coldestPath, emissivity }) => {
  const rack = { ...drawn, air: { ...drawn.air, surroundings } };
  const n = rack.slotCount;
  const given: PoleCase = {
    rack, pole: rack.supply, highestRise: new Float64Array(n).fill(LIMIT), mostExhaust: 0, coldestPath,
    areaFactor: { min: least, max: least * areas },
    ranges: {
      coverPercent: 90, contactFactor: point(1), filmFactor: point(0.9), emissivity: emissivity === null ? null : point(emissivity),
      areaFactor: { min: 0.8, max: 1.3 }, inlet: point(rack.air.inlet), sourceContact: null, loadContact: null, sharingWeight: point(1),
    },
  };
  return { given, bound: new PoleBound(given, new Float64Array(n).fill(near)), near };
});

/** Every half kelvin from the coldest that a node can be to the limit, with the loss there. */
function* curve(given: PoleCase, i: number): Generator<{ rise: number; loss: number }> {
  const { rack, ranges, coldestPath } = given;
  const { profile, surroundings, inlet } = rack.air;
  const coldest = Math.min(
    -1, Math.min(...profile) + coldestPath - profile[i], surroundings === null ? 0 : surroundings - inlet - profile[i],
  );
  const loss = lossOf(given);
  const emissivity = ranges.emissivity?.min ?? compileSegments(rack, rack.supply).sectionAt[i].emissivity;
  for (let rise = coldest; rise <= LIMIT; rise += 0.5) {
    yield { rise, loss: loss(i, rise, inlet + profile[i], ranges.filmFactor.min, emissivity) };
  }
}

describe('the line under one curve', () => {
  it('is nowhere above it, and touches it near the rise asked for', () => {
    fc.assert(fc.property(oneCurve, ({ given, bound, near }) => {
      const n = given.rack.slotCount;
      for (const i of new Set([0, n >> 1, n - 1])) {
        let [least, at, largest] = [Number.POSITIVE_INFINITY, 0, 0];
        for (const { rise, loss } of curve(given, i)) {
          const above = loss - (bound.slope[i] * rise + bound.offset[i]);
          if (above < least) [least, at] = [above, rise];
          largest = Math.max(largest, loss);
        }
        expect(least).toBeGreaterThanOrEqual(-1e-9);
        // A quarter of a step of 2 K times what the slope changes by there, and half a kelvin between the points here.
        expect(least).toBeLessThan(0.01 * largest);
        if (at > 1) expect(Math.abs(at - near)).toBeLessThan(2.6);
      }
    }), { numRuns: 25, seed: 73, endOnFailure: true });
  });

  it('leaves as much heat for a unit’s heat path as it brings beyond the line, and little more', () => {
    fc.assert(fc.property(oneCurve, between(0.02, 0.6), between(-5, 50), ({ given, bound }, conductance, pathRise) => {
      const i = given.rack.slotCount >> 1;
      const heat = bound.pathHeat(i, { conductance, rise: pathRise });
      let [least, largest] = [Number.POSITIVE_INFINITY, 0];
      for (const { rise, loss } of curve(given, i)) {
        const above = loss + conductance * (rise - pathRise) - (bound.slope[i] * rise + bound.offset[i] - heat);
        least = Math.min(least, above);
        largest = Math.max(largest, loss, conductance * Math.abs(pathRise));
      }
      expect(least).toBeGreaterThanOrEqual(-1e-9);
      if (bound.areaSpan === 1 || heat > 0) expect(least).toBeLessThan(0.02 * largest + 2.1 * conductance);
      if (bound.areaSpan > 1) expect(heat).toBeGreaterThanOrEqual(0);
      expect(bound.pathHeat(i, { conductance: 0, rise: pathRise })).toBe(0);
    }), { numRuns: 30, seed: 74, endOnFailure: true });
  });

  it('is refused where the film falls as the bar warms', () => {
    fc.assert(fc.property(oneCurve, ({ given }) => {
      const { rack } = given;
      const still = { ...given, rack: { ...rack, films: { ...rack.films, factor: 0 } }, ranges: { ...given.ranges, emissivity: point(0) } };
      expect(() => new PoleBound(still, new Float64Array(rack.slotCount).fill(20)))
        .toThrow(/^slot 1: the film falls as the bar warms; a floor needs one that does not/);
    }), { numRuns: 3, seed: 75, endOnFailure: true });
  });
});

/** Heat that a pole conducts from each slot to its neighbours at these temperatures and area, W. */
function conducted(given: PoleCase, area: number, temperature: ArrayLike<number>): number[] {
  const { conductance } = compileSegments(given.rack, given.pole);
  const n = given.rack.slotCount;
  return Array.from({ length: n }, (_, i) => [i - 1, i + 1].filter((k) => k >= 0 && k < n).reduce(
    (sum, k) => sum + area * conductance[Math.min(i, k)] * (temperature[i] - temperature[k]), 0));
}

describe('figures of a pole', () => {
  it('hold for every area in range: heat that conduction brings without load, and the row of the inverse', () => {
    fc.assert(fc.property(oneCurve, fc.nat(), fc.array(between(0, 9), { minLength: 60, maxLength: 60 }), ({ given: drawn, bound: { areaSpan } }, pick, air) => {
      const n = drawn.rack.slotCount;
      const profile = air.slice(0, n);
      const given = { ...drawn, rack: { ...drawn.rack, air: { ...drawn.rack.air, profile } } };
      const bound = new PoleBound(given, new Float64Array(n).fill(20));
      const { min, max } = given.areaFactor;
      const row = new Float64Array(n);
      bound.green(pick % n, row);
      for (const area of [min, 0.5 * (min + max), max]) {
        conducted(given, area, profile).forEach((watts, i) => {
          expect(bound.constant[i]).toBeGreaterThanOrEqual(-bound.offset[i] - watts - 1e-9);
          if (areaSpan === 1) expect(bound.constant[i]).toBeCloseTo(-bound.offset[i] - watts, 9);
          else expect(bound.constant[i]).toBeGreaterThanOrEqual(0);
        });
        // An M-matrix times a row that is everywhere at least that of its inverse is at least the unit vector.
        const product = conducted(given, area, row).map((watts, i) => watts + bound.slope[i] * row[i]);
        if (area === max) product.forEach((value, i) => { expect(value).toBeCloseTo(i === pick % n ? max / min : 0, 9); });
        expect(product[pick % n]).toBeGreaterThanOrEqual(1 - 1e-9);
      }
      const ends = [min, max].map((area) => conducted(given, area, profile));
      if (areaSpan > 1) {
        ends[0].forEach((watts, i) => {
          const most = Math.max(0, -bound.offset[i] - Math.min(watts, ends[1][i]));
          expect(bound.constant[i]).toBeCloseTo(most, 9);
        });
      }
    }), { numRuns: 12, seed: 76, endOnFailure: true });
  });

  it('of resistance and conduction are those of the smallest area, by hand', () => {
    fc.assert(fc.property(oneCurve, ({ given, bound }) => {
      const { rack, areaFactor: { min } } = given;
      const n = rack.slotCount;
      const at = (slot: number) => {
        const section = rack.supply.sections.find(({ fromSlot, toSlot }) => slot >= fromSlot && slot <= toSlot);
        if (section === undefined) throw new Error('every slot has a section');
        return section;
      };
      const temperature = Float64Array.from({ length: n }, (_, i) => 300 + 3 * i);
      const resistivity = (slot: number, kelvin: number) => {
        const { resistivity20, temperatureCoefficient } = at(slot).material;
        return resistivity20 * (1 + temperatureCoefficient * (kelvin - 293.15));
      };
      for (let slot = 1; slot <= n; slot++) {
        const { plates: { count, depth, thickness }, material } = at(slot);
        expect(bound.sheetResistance(slot - 1, 350) / (resistivity(slot, 350) / (count * thickness * min))).toBeCloseTo(1, 9);
        expect(bound.sheetThermal[slot - 1] * material.thermalConductivity * count * thickness * min).toBeCloseTo(1, 9);
        expect(bound.patch(slot - 1, 0)).toEqual({ mean: 0, middle: 0 });
        expect(bound.patch(slot - 1, 0.01)).toEqual({ mean: patchMean(0.01, depth), middle: patchMiddle(0.01, depth) });
        if (slot === n) continue;
        // Half a pitch of either slot's section, both at the mean of the two temperatures, and a joint where there is one.
        const mean = 0.5 * (temperature[slot - 1] + temperature[slot]);
        const bar = [slot, slot + 1].reduce((sum, one) => {
          const { plates } = at(one);
          return sum + (0.5 * rack.pitch * resistivity(one, mean)) / (plates.count * plates.depth * plates.thickness * min);
        }, 0);
        const joint = rack.supply.joints.find(({ aboveSlot }) => aboveSlot === slot)?.resistance ?? 0;
        expect(bound.segmentResistance(slot - 1, temperature) / (bar + joint)).toBeCloseTo(1, 9);
      }
    }), { numRuns: 8, seed: 77, endOnFailure: true });
  });
});

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
