import type { UnitType } from '../draw/unitTypes.js';
import { EMPTY, isSource, type Item, type StandingItem } from './searchLayout.js';

/** One change of a layout; positions are those of its items. */
export type Move =
  | { readonly move: 'exchange'; readonly one: number; readonly other: number }
  | { readonly move: 'insert'; readonly from: number; readonly to: number }
  /** A stretch of items takes the place of one as high as all of them, and the other way round. */
  | { readonly move: 'exchange-stretch'; readonly one: number; readonly from: number; readonly count: number }
  /** A run of neighbouring sources goes elsewhere as one, turned over or not. */
  | { readonly move: 'insert-run'; readonly from: number; readonly count: number; readonly to: number;
    readonly turned: boolean }
  | { readonly move: 'reverse'; readonly from: number; readonly to: number }
  | { readonly move: 'power'; readonly at: number; readonly power: number }
  | { readonly move: 'transfer'; readonly one: number; readonly other: number; readonly power: number }
  | { readonly move: 'remove'; readonly at: number }
  | { readonly move: 'put'; readonly at: number; readonly type: UnitType; readonly power: number }
  | { readonly move: 'weight'; readonly at: number; readonly weight: number }
  | { readonly move: 'inlet'; readonly inlet: number }
  | { readonly move: 'rack'; readonly rack: number };

/** The items a move of places leads to; null where there is no room for them. */
export function rearranged(
  items: readonly Item[],
  move: Exclude<Move, { move: 'power' | 'transfer' | 'weight' | 'inlet' | 'rack' }>,
): Item[] | null {
  switch (move.move) {
    case 'exchange': {
      const moved = [...items];
      moved[move.one] = items[move.other];
      moved[move.other] = items[move.one];
      return moved;
    }
    case 'insert': {
      const moved = spliced(items, move.from, 1);
      moved.splice(move.to, 0, items[move.from]);
      return moved;
    }
    case 'insert-run': {
      const moved = spliced(items, move.from, move.count);
      const run = items.slice(move.from, move.from + move.count);
      moved.splice(move.to, 0, ...(move.turned ? run.reverse() : run));
      return moved;
    }
    case 'exchange-stretch': {
      const { one, from, count } = move;
      const stretch = items.slice(from, from + count);
      const moved = [...items];
      if (one < from) {
        moved.splice(from, count, items[one]);
        moved.splice(one, 1, ...stretch);
      } else {
        moved.splice(one, 1, ...stretch);
        moved.splice(from, count, items[one]);
      }
      return moved;
    }
    case 'reverse':
      return [
        ...items.slice(0, move.from),
        ...items.slice(move.from, move.to + 1).reverse(),
        ...items.slice(move.to + 1),
      ];
    case 'remove':
      return spliced(items, move.at, 1, ...new Array<Item>(items[move.at].heightSlots).fill(EMPTY));
    case 'put': {
      const { at, type, power } = move;
      let height = 0;
      let count = 0;
      while (height < type.heightSlots) {
        if (at + count >= items.length || isSource(items[at + count])) return null;
        height += items[at + count++].heightSlots;
      }
      const unit = { type, heightSlots: type.heightSlots, power, weight: 1 };
      return spliced(items, at, count, unit, ...new Array<Item>(height - type.heightSlots).fill(EMPTY));
    }
  }
}

/** Loads in their order at their places or, where sources stand in the way, just above them. */
export function flowAround(sources: readonly StandingItem[], loads: readonly StandingItem[]): StandingItem[] {
  let next = 1;
  const flowed = loads.map(({ item, bottomSlot }) => {
    let bottom = Math.max(next, bottomSlot);
    for (const { item: source, bottomSlot: from } of sources) {
      const top = from + source.heightSlots - 1;
      if (bottom <= top && bottom + item.heightSlots - 1 >= from) bottom = top + 1;
    }
    next = bottom + item.heightSlots;
    return { item, bottomSlot: bottom };
  });
  return [...sources, ...flowed];
}

/** A copy with `count` items from `at` on replaced. */
export function spliced(items: readonly Item[], at: number, count: number, ...instead: Item[]): Item[] {
  const changed = [...items];
  changed.splice(at, count, ...instead);
  return changed;
}
