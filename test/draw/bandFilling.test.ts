import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ArrangementGraph } from '../../lib/draw/arrangementGraph.js';
import { bandFilling, bandsOverlap, worthReached } from '../../lib/draw/bandFilling.js';
import { countsOf } from '../../lib/draw/placementAutomata.js';
import type { PowerBand } from '../../lib/draw/ruleBook.js';
import { allOf } from '../../lib/draw/slotAutomaton.js';

function subsets(slots: number, count: number): number[][] {
  if (count === 0) return [[]];
  if (slots < count) return [];
  return [...subsets(slots - 1, count), ...subsets(slots - 1, count - 1).map((below) => [...below, slots])];
}

/** The most these units can draw: per band the units' caps or the band's, whichever is less. */
function most(bottoms: number[], bands: PowerBand[], unitCap: number): number {
  const inBand = bands.map((band) => bottoms.filter((slot) => slot >= band.fromSlot && slot <= band.toSlot).length);
  const outside = bottoms.length - inBand.reduce((sum, n) => sum + n, 0);
  return bands.reduce((sum, band, at) => sum + Math.min(inBand[at] * unitCap, band.power), outside * unitCap);
}

/** Up to three bands that do not overlap, some of them touching. */
const bandsOf = (slots: number): fc.Arbitrary<PowerBand[]> =>
  fc
    .tuple(
      fc.uniqueArray(fc.integer({ min: 1, max: slots }), { minLength: 2, maxLength: 5 }),
      fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 4, maxLength: 4 }),
      fc.boolean(),
    )
    .map(([edges, caps, gaps]) => {
      const sorted = [...edges].sort((a, b) => a - b);
      const bands = sorted.slice(1).map((edge, at) => ({ fromSlot: sorted[at] + 1, toSlot: edge, power: caps[at] }));
      return gaps ? bands.filter((_, at) => at % 2 === 0) : bands;
    });

describe('one-slot units under caps on bands that do not overlap', () => {
  it('are counted where they can share a total, as plain enumeration counts them', () => {
    let some = 0;
    let all = 0;
    fc.assert(
      fc.property(
        fc.integer({ min: 3, max: 9 }).chain((slots) => fc.tuple(fc.constant(slots), bandsOf(slots))),
        fc.integer({ min: 1, max: 5 }),
        fc.integer({ min: 1, max: 5 }),
        fc.integer({ min: 4, max: 14 }),
        ([slots, bands], count, unitCap, needed) => {
          const filling = bandFilling(bands, unitCap, needed);
          const automaton = allOf([countsOf([{ min: count, max: count }]), worthReached(count, filling, unitCap)]);
          const piece = { heightSlots: 1, permittedBottoms: new Uint8Array(slots + 2).fill(1, 1, slots + 1) };
          const wanted = subsets(slots, count).filter((bottoms) => most(bottoms, bands, unitCap) >= needed).length;
          expect(new ArrangementGraph(slots, [piece], automaton).total).toBe(wanted);
          if (wanted > 0) some++;
          if (wanted > 0 && wanted === subsets(slots, count).length) all++;
        },
      ),
      { numRuns: 3000, seed: 23 },
    );
    expect(some).toBeGreaterThan(600);
    expect(some - all).toBeGreaterThan(200);
  });

  it('add to their band until it is full, and start anew in the next', () => {
    const bands = [
      { fromSlot: 1, toSlot: 3, power: 5 },
      { fromSlot: 4, toSlot: 5, power: 3 },
    ];
    const { condition, worth } = bandFilling(bands, 2, 10);
    let state = condition.start;
    const worths: number[] = [];
    for (let slot = 1; slot <= 6; slot++) {
      worths.push(worth.of(state, slot));
      state = condition.place(state, 0, slot);
    }
    expect(worths).toEqual([2, 2, 1, 2, 1, 2]);
  });
});

describe('bands', () => {
  it('overlap when they share a slot', () => {
    const band = (fromSlot: number, toSlot: number): PowerBand => ({ fromSlot, toSlot, power: 1 });
    expect(bandsOverlap([band(1, 4), band(5, 9)])).toBe(false);
    expect(bandsOverlap([band(5, 9), band(1, 5)])).toBe(true);
    expect(bandsOverlap([band(1, 9), band(3, 4)])).toBe(true);
  });
});
