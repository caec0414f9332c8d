import { InventoryLoads } from '../draw/inventoryLoads.js';
import type { RandomStream } from '../draw/randomStream.js';
import { StandingUnits } from '../draw/standingUnits.js';
import type { UnitType } from '../draw/unitTypes.js';
import { flowAround, rearranged, spliced, type Move } from './searchMove.js';
import {
  isLoad, isSource, itemsAt, sameItem, standingOf, type Candidate, type Item, type Layout, type StandingItem,
} from './searchLayout.js';
import type { SearchSpace } from './searchSpace.js';
import type { ToleranceRanges } from './toleranceRanges.js';

/** Times that one observed rack is shuffled among the neighbours of a layout. */
const SHUFFLES = 6;

/** The moves of a search and what they lead to. */
export class SearchMoves {
  private readonly loadTypes: readonly UnitType[];
  private readonly racks: number;
  private readonly shuffled: InventoryLoads | null;
  private readonly standing: StandingUnits;
  private readonly weights: readonly number[];

  constructor(private readonly space: SearchSpace, private readonly ranges: ToleranceRanges) {
    const { study, book } = space;
    const { loads } = study;
    const byId = 'id' in loads ? [book.types.load(loads.id, 'loads.id')] : [];
    this.loadTypes = loads.draw === 'catalogue' ? book.types.all.filter(({ load }) => load !== null) : byId;
    this.racks = loads.draw === 'inventory' ? loads.racks.length : 1;
    this.shuffled = loads.draw === 'inventory' && loads.places === 'shuffled' ? new InventoryLoads(book, loads) : null;
    this.standing = new StandingUnits(book);
    const { min, max } = ranges.sharingWeight;
    // Droop sharing finds the currents from the network; weights play no part.
    this.weights = study.rack.sharing.model === 'droop' || min === max ? [] : [min, max];
  }

  /** Every single move from a layout, in no order that matters. */
  neighbours({ items, inlet, rack }: Layout): Move[] {
    const moves: Move[] = [];
    const last = items.length - 1;
    for (let one = 0; one <= last; one++) {
      for (let other = one + 1; other <= last; other++) {
        if (!sameItem(items[one], items[other])) moves.push({ move: 'exchange', one, other });
      }
      this.inserts(items, one, moves);
      this.stretches(items, one, moves);
    }
    this.runs(items, moves);
    moves.push({ move: 'reverse', from: 0, to: last });
    this.loadMoves(items, moves);
    for (let at = 0; at <= last; at++) {
      if (!isSource(items[at])) continue;
      for (const weight of this.weights) if (weight !== items[at].weight) moves.push({ move: 'weight', at, weight });
    }
    for (const other of [this.ranges.inlet.min, this.ranges.inlet.max]) {
      if (other !== inlet) moves.push({ move: 'inlet', inlet: other });
    }
    for (let other = 0; other < this.racks; other++) {
      if (this.shuffled === null && other === rack) continue;
      // Shuffled loads stand otherwise each time.
      const times = this.shuffled === null ? 1 : SHUFFLES;
      for (let time = 0; time < times; time++) moves.push({ move: 'rack', rack: other });
    }
    return moves;
  }

  /** A random move far or near, for leaving a local worst. */
  kick(layout: Layout, stream: RandomStream): Candidate | null {
    const { items } = layout;
    const size = items.length;
    if (stream.integerBelow(4) === 0) {
      const [a, b] = [stream.integerBelow(size), stream.integerBelow(size)];
      return this.apply(layout, { move: 'reverse', from: Math.min(a, b), to: Math.max(a, b) }, stream);
    }
    const moves = this.neighbours(layout);
    return this.apply(layout, moves[stream.integerBelow(moves.length)], stream);
  }

  /** The allowed placement a move leads to; null where it leads to none. */
  apply(layout: Layout, move: Move, stream: RandomStream): Candidate | null {
    const { space } = this;
    const { items } = layout;
    const fromTop = stream.integerBelow(2) === 1;
    switch (move.move) {
      case 'weight': {
        const weighted = { ...items[move.at], weight: move.weight };
        return space.candidate({ ...layout, items: spliced(items, move.at, 1, weighted) });
      }
      case 'inlet':
        return space.candidate({ ...layout, inlet: move.inlet });
      case 'rack':
        return this.withRack(layout, move.rack, stream);
      case 'power': {
        const changed = spliced(items, move.at, 1, { ...items[move.at], power: move.power });
        return space.candidate({ ...layout, items: changed }, fromTop, move.at);
      }
      case 'transfer': {
        const { one, other, power } = move;
        const kept = items[one].power + items[other].power - power;
        const changed = [...items];
        changed[one] = { ...items[one], power };
        changed[other] = { ...items[other], power: kept };
        return space.candidate({ ...layout, items: changed }, fromTop, one);
      }
      default: {
        const moved = rearranged(items, move);
        if (moved === null) return null;
        const next = { ...layout, items: moved };
        return space.candidate(next, fromTop) ?? this.aroundSources(layout, moved, fromTop)
          ?? (space.directed ? space.candidate(next, !fromTop) : null)
          // Observed loads may be left out where they find no place: placed anew beside the moved sources.
          ?? (this.shuffled !== null ? this.withRack(next, layout.rack, stream) : null);
      }
    }
  }

  /** The moved loads in their new order with the sources where they stood: for positions that bind. */
  private aroundSources(layout: Layout, moved: readonly Item[], fromTop: boolean): Candidate | null {
    const { space } = this;
    if (space.loadsFollow) return null;
    const before = standingOf(layout.items).filter(({ item }) => isSource(item));
    const after = standingOf(moved);
    const sourcesAfter = after.filter(({ item }) => isSource(item));
    if (before.every(({ item, bottomSlot }, at) =>
      sourcesAfter[at].bottomSlot === bottomSlot && sameItem(item, sourcesAfter[at].item))) return null;
    const items = itemsAt(space.book.slotCount, flowAround(before, after.filter(({ item }) => isLoad(item))));
    return items === null ? null : space.candidate({ ...layout, items }, fromTop);
  }

  private inserts(items: readonly Item[], from: number, moves: Move[]): void {
    for (let to = 0; to < items.length; to++) {
      // A neighbour passed is an exchange already; among its like it changes nothing.
      if (Math.abs(to - from) < 2 || sameItem(items[from], items[to])) continue;
      moves.push({ move: 'insert', from, to });
    }
  }

  private stretches(items: readonly Item[], one: number, moves: Move[]): void {
    const { heightSlots } = items[one];
    if (heightSlots < 2) return;
    for (let from = 0; from < items.length; from++) {
      let height = 0;
      let count = 0;
      while (height < heightSlots && from + count < items.length && from + count !== one) {
        height += items[from + count++].heightSlots;
      }
      if (height === heightSlots && count > 1) moves.push({ move: 'exchange-stretch', one, from, count });
    }
  }

  private runs(items: readonly Item[], moves: Move[]): void {
    for (let from = 0; from < items.length; from++) {
      if (!isSource(items[from]) || (from > 0 && isSource(items[from - 1]))) continue;
      let count = 1;
      while (from + count < items.length && isSource(items[from + count])) count++;
      if (count === 1) continue;
      const run = items.slice(from, from + count);
      const alike = run.every((item, at) => sameItem(item, run[count - 1 - at]));
      for (let to = 0; to <= items.length - count; to++) {
        if (to !== from) moves.push({ move: 'insert-run', from, count, to, turned: false });
        if (!alike) moves.push({ move: 'insert-run', from, count, to, turned: true });
      }
    }
  }

  private loadMoves(items: readonly Item[], moves: Move[]): void {
    const { powers, study } = this.space;
    const { draw } = study.loads;
    if (draw === 'fixed' || draw === 'inventory') return;
    items.forEach((item, at) => {
      if (isLoad(item)) moves.push({ move: 'remove', at });
      if (!isSource(item)) {
        for (const type of this.loadTypes) {
          const blank = { type, heightSlots: type.heightSlots, power: 1, weight: 1 };
          const { low, high } = powers.rangeOf(blank);
          for (const power of new Set([low, high])) {
            if (type !== item.type && power <= high) moves.push({ move: 'put', at, type, power });
          }
        }
      }
      if (!powers.chosen || !isLoad(item)) return;
      for (const power of powers.corners(items, at)) moves.push({ move: 'power', at, power });
      for (let other = 0; other < items.length; other++) {
        if (other === at || !isLoad(items[other])) continue;
        for (const power of powers.transfers(items, at, other)) moves.push({ move: 'transfer', one: at, other, power });
      }
    });
  }

  private withRack(layout: Layout, rack: number, stream: RandomStream): Candidate | null {
    const { shuffled, standing, space } = this;
    if (shuffled === null) return space.candidate({ ...layout, rack });
    const sources = standingOf(layout.items).filter(({ item }) => isSource(item));
    standing.clear();
    for (const { item, bottomSlot } of sources) standing.put(item.type?.index ?? -1, bottomSlot, item.heightSlots, 0);
    if (shuffled.place(rack, standing, stream) < 0) return null;
    const loads: StandingItem[] = [];
    for (let at = sources.length; at < standing.count; at++) {
      const type = space.book.types.all[standing.type[at]];
      const item = { type, heightSlots: standing.heightSlots[at], power: standing.power[at], weight: 1 };
      loads.push({ item, bottomSlot: standing.bottomSlot[at] });
    }
    const items = itemsAt(space.book.slotCount, [...sources, ...loads]);
    return items === null ? null : space.candidate({ ...layout, items, rack });
  }
}
