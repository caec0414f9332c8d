import fc from 'fast-check';
import type { Rule, SourceCount, SourcePositions, UnitSelector } from '../../lib/rack/studyModel.js';

/** Random parts of studies on the sample catalogue. */
export const randomSourceUnits: fc.Arbitrary<SourceCount[]> = fc
  .record({
    shelf: fc.integer({ min: 0, max: 2 }),
    tall: fc.integer({ min: 0, max: 2 }),
    battery: fc.integer({ min: 0, max: 1 }),
  })
  .map(({ shelf, tall, battery }) => [
    { id: 'shelf', count: shelf },
    { id: 'tall-shelf', count: tall },
    { id: 'battery', count: battery },
  ]);

const selector: fc.Arbitrary<UnitSelector> = fc.oneof(
  fc.constantFrom<UnitSelector>('sources', 'power-shelves', 'battery-shelves', 'loads'),
  fc.constantFrom('shelf', 'tall-shelf', 'battery', 'node', 'double').map((id) => ({ id })),
);

function band(slots: number): fc.Arbitrary<{ fromSlot: number; toSlot: number }> {
  return fc
    .tuple(fc.integer({ min: 1, max: slots }), fc.integer({ min: 1, max: slots }))
    .map(([a, b]) => ({ fromSlot: Math.min(a, b), toSlot: Math.max(a, b) }));
}

/** Up to three rules on places; with `powers` also on powers around these many W. */
export function randomRules(slots: number, powers: number | null = null): fc.Arbitrary<Rule[]> {
  const kinds: fc.Arbitrary<Rule>[] = [
    fc.tuple(selector, band(slots)).map(([units, b]) => ({ rule: 'only-in-band', units, ...b })),
    fc.tuple(selector, band(slots)).map(([units, b]) => ({ rule: 'keep-out', units, ...b })),
    fc.tuple(selector, selector).map(([units, neighbours]) => ({ rule: 'not-next-to', units, neighbours })),
    selector.map((units) => ({ rule: 'together', units })),
    fc
      .tuple(selector, fc.integer({ min: 0, max: 3 }))
      .map(([units, slotsBetween]) => ({ rule: 'apart', units, slotsBetween })),
    fc.integer({ min: 0, max: slots }).map((count) => ({ rule: 'min-free-slots', count })),
  ];
  if (powers !== null) {
    const power = fc.integer({ min: 1, max: 20 }).map((tenths) => (tenths * powers) / 10);
    kinds.push(power.map((cap) => ({ rule: 'max-power-per-slot', power: cap })));
    kinds.push(fc.tuple(power, band(slots)).map(([cap, b]) => ({ rule: 'max-power-in-band', power: cap, ...b })));
  }
  return fc.array(fc.oneof(...kinds), { maxLength: 3 });
}

export function randomPositions(slots: number, units: readonly SourceCount[]): fc.Arbitrary<SourcePositions> {
  const ids = units.flatMap(({ id, count }) => new Array<string>(count).fill(id));
  const total = ids.length;
  const groups = fc
    .array(fc.integer({ min: 1, max: 3 }), { minLength: 1, maxLength: 4 })
    .map((sizes): SourcePositions => {
      // Cut or filled up so that the sizes add up to the units.
      const cut: number[] = [];
      let left = total;
      for (const size of [...sizes, total]) {
        if (left <= 0) break;
        cut.push(Math.min(size, left));
        left -= cut[cut.length - 1];
      }
      return { draw: 'groups', sizes: cut };
    });
  const bands = fc
    .tuple(fc.integer({ min: 1, max: slots - 1 }), fc.integer({ min: 0, max: 2 }), fc.integer({ min: 0, max: total }))
    .map(
      ([end, gap, count]): SourcePositions => ({
        draw: 'bands',
        bands: [
          { fromSlot: Math.min(end + 1 + gap, slots), toSlot: slots, count: total - count },
          { fromSlot: 1, toSlot: end, count },
        ],
      }),
    );
  const fixed = fc.array(fc.integer({ min: 1, max: slots }), { minLength: total, maxLength: total }).map(
    (bottoms): SourcePositions => ({
      draw: 'fixed',
      units: ids.map((id, at) => ({ id, bottomSlot: bottoms[at] })),
    }),
  );
  return fc.oneof(
    { weight: 4, arbitrary: fc.constant<SourcePositions>({ draw: 'uniform' }) },
    { weight: 1, arbitrary: fc.constant<SourcePositions>({ draw: 'contiguous' }) },
    { weight: 2, arbitrary: groups },
    { weight: 2, arbitrary: bands },
    { weight: 1, arbitrary: fixed },
  );
}
