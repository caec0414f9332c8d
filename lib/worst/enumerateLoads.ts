import { AlikePlacement } from '../draw/alikePlacement.js';
import type { RuledUnit } from '../draw/index.js';
import { InventoryLoads } from '../draw/inventoryLoads.js';
import { randomStream } from '../draw/randomStream.js';
import type { RuleBook } from '../draw/ruleBook.js';
import { StandingUnits } from '../draw/standingUnits.js';
import type { ObservedUnit, Study } from '../rack/index.js';
import { standSources } from './allowedPlacementParts.js';
import { cornerPowers, edgeTotals, gridPowers, powerRangeOf } from './enumeratePowers.js';

/** Loads beside given sources; some may break a rule: the caller checks. */
export type LoadsBeside = (sources: readonly RuledUnit[]) => Iterable<readonly RuledUnit[]>;

interface Piece {
  readonly id: string;
  readonly heightSlots: number;
}

/**
 * All candidates for the loads of a study's draw.
 * @param powerSteps for `random-split`: powers on a grid of total/powerSteps; null: at the corners
 * @param step called once per branch; throws to stop
 */
export function loadsBesideOf(study: Study, book: RuleBook, powerSteps: number | null, step: () => void): LoadsBeside {
  const draw = study.loads;
  switch (draw.draw) {
    case 'fixed': {
      const loads = draw.units.map(({ id, bottomSlot, power }): RuledUnit =>
        ({ kind: 'load', equipment: id, bottomSlot, heightSlots: book.types.load(id, 'loads').heightSlots, power }));
      return () => [loads];
    }
    case 'even':
    case 'random-split': {
      const { heightSlots } = book.types.load(draw.id, 'loads.id');
      return function* (sources) {
        for (let count = draw.count.min; count <= draw.count.max; count++) {
          const pieces = [{ id: draw.id, heightSlots, count }];
          for (const loads of arrangements(book.slotCount, sources, pieces, step)) {
            if (loads.length !== count) continue;
            if (draw.draw === 'even') yield withPowers(loads, loads.map(() => draw.totalPower / count));
            else if (powerSteps === null) yield* atCorners(loads);
            else {
              for (const powers of gridPowers(count, draw.totalPower, powerSteps)) yield withPowers(loads, powers);
            }
          }
        }
      };
    }
    case 'all-or-nothing': {
      const { id, index, heightSlots } = book.types.load(draw.id, 'loads.id');
      const standing = new StandingUnits(book);
      const tiles = new AlikePlacement(book, index, heightSlots);
      return function* (sources) {
        standSources(standing, sources);
        tiles.prepare(standing, true);
        const places = [...tiles.places.subarray(0, tiles.placeCount)];
        for (let chosen = 1; chosen < 2 ** places.length; chosen++) {
          step();
          yield places.filter((_, at) => (chosen >> at) % 2 === 1).map((bottomSlot): RuledUnit =>
            ({ kind: 'load', equipment: id, bottomSlot, heightSlots, power: draw.cap }));
        }
      };
    }
    case 'catalogue': {
      const pieces = study.catalogue.loads.map(({ id, heightSlots }) => ({ id, heightSlots, count: Infinity }));
      return function* (sources) {
        for (const loads of arrangements(book.slotCount, sources, pieces, step)) {
          if (loads.length > 0) yield* atCorners(loads);
        }
      };
    }
    case 'inventory':
      return draw.places === 'observed' ? observedLoads(book, draw) : shuffledLoads(book, draw.racks, step);
  }

  function* atCorners(loads: readonly RuledUnit[]): Generator<RuledUnit[]> {
    const ranges = loads.map(({ equipment }) => powerRangeOf(study, book, equipment));
    if (ranges.some(({ low, high }) => high < low)) return;
    const least = ranges.reduce((sum, { low }) => sum + low, 0);
    const [total, ...others] = edgeTotals(study);
    const most = ranges.reduce((sum, { high }) => sum + high, 0);
    // Too much at the least, or room for every type at the most and a free slot for it: cannot be allowed.
    if (least > total * (1 + 1e-9)) return;
    if (draw.draw === 'random-split' && most < total * (1 - 1e-9)) return;
    for (const powers of cornerPowers(loads, ranges, [total, ...others], book)) {
      step();
      const sum = powers.reduce((all, power) => all + power, 0);
      if (sum <= total * (1 + 1e-9)) yield withPowers(loads, powers);
    }
  }
}

function observedLoads(
  book: RuleBook, draw: Extract<Study['loads'], { draw: 'inventory' }>,
): LoadsBeside {
  const placer = new InventoryLoads(book, draw);
  const standing = new StandingUnits(book);
  const unused = randomStream('', 0, 'check');
  return function* (sources) {
    for (let rack = 0; rack < draw.racks.length; rack++) {
      standSources(standing, sources);
      if (placer.place(rack, standing, unused) < 0) continue;
      yield standingLoads(standing, sources.length);
    }
  };
}

/** The units put after the first `skipped`, as loads. */
export function standingLoads(standing: StandingUnits, skipped: number): RuledUnit[] {
  return Array.from({ length: standing.count - skipped }, (_, i): RuledUnit => {
    const at = skipped + i;
    return {
      kind: 'load', equipment: standing.book.types.all[standing.type[at]].id, bottomSlot: standing.bottomSlot[at],
      heightSlots: standing.heightSlots[at], power: standing.power[at],
    };
  });
}

function shuffledLoads(
  book: RuleBook, racks: readonly { readonly units: readonly ObservedUnit[] }[], step: () => void,
): LoadsBeside {
  return function* (sources) {
    for (const { units } of racks) {
      const kinds = new Map<string, { id: string; heightSlots: number; power: number; count: number }>();
      for (const { equipment: id, heightSlots, power } of units) {
        const key = `${heightSlots} ${power} ${id}`;
        kinds.set(key, { id, heightSlots, power, count: (kinds.get(key)?.count ?? 0) + 1 });
      }
      const pieces = [...kinds.values()];
      for (const loads of arrangements(book.slotCount, sources, pieces, step)) if (loads.length > 0) yield loads;
    }
  };
}

/** Every way to stand up to `count` of each piece on the free slots, from the bottom up. */
function* arrangements(
  slotCount: number,
  sources: readonly RuledUnit[],
  pieces: readonly (Piece & { readonly count: number; readonly power?: number })[],
  step: () => void,
): Generator<RuledUnit[]> {
  const taken = new Uint8Array(slotCount + 2);
  for (const { bottomSlot, heightSlots } of sources) taken.fill(1, bottomSlot, bottomSlot + heightSlots);
  const left = pieces.map(({ count }) => count);
  yield* from(1, []);

  function* from(slot: number, below: readonly RuledUnit[]): Generator<RuledUnit[]> {
    step();
    if (slot > slotCount) {
      yield [...below];
      return;
    }
    yield* from(slot + 1, below);
    for (let at = 0; at < pieces.length; at++) {
      const { id, heightSlots, power } = pieces[at];
      if (left[at] === 0 || slot + heightSlots - 1 > slotCount) continue;
      if (taken.subarray(slot, slot + heightSlots).includes(1)) continue;
      left[at]--;
      const unit: RuledUnit = { kind: 'load', equipment: id, bottomSlot: slot, heightSlots, power: power ?? 0 };
      yield* from(slot + heightSlots, [...below, unit]);
      left[at]++;
    }
  }
}

function withPowers(loads: readonly RuledUnit[], powers: readonly number[]): RuledUnit[] {
  return loads.map((unit, at) => ({ ...unit, power: powers[at] }));
}
