/** How the search writes a placement down. */
import type { UnitType } from '../draw/unitTypes.js';
import type { PlacedUnit } from '../draw/index.js';

/** A unit without a place, or a single empty slot. */
export interface Item {
  /** null: an empty slot. */
  readonly type: UnitType | null;
  readonly heightSlots: number;
  /** W; 0 for sources and empty slots. */
  readonly power: number;
  /** Sharing weight of a source; 1 for everything else. */
  readonly weight: number;
}

export const EMPTY: Item = { type: null, heightSlots: 1, power: 0, weight: 1 };

/**
 * Items one upon the other from slot 1 up; their heights add up to the rack. Places are thus always apart, and a move
 * is a change of order. Where loads follow from the sources (hand-picked or observed), they are no items.
 */
export interface Layout {
  readonly items: readonly Item[];
  /** Position of the observed rack whose loads stand (draw `inventory`). */
  readonly rack: number;
  /** K. */
  readonly inlet: number;
}

/** A layout that is allowed, with its units. */
export interface Candidate {
  readonly layout: Layout;
  readonly units: readonly PlacedUnit[];
  /** Equal for equal placements. */
  readonly key: string;
}

export function isSource({ type }: Item): boolean {
  return type !== null && type.source !== null;
}

export function isLoad({ type }: Item): boolean {
  return type !== null && type.load !== null;
}

export function sameItem(one: Item, other: Item): boolean {
  return one === other || (one.type === other.type && one.heightSlots === other.heightSlots && one.power === other.power
    && one.weight === other.weight);
}

/** Lowest slot of each item. */
export function bottomsOf(items: readonly Item[]): number[] {
  let slot = 1;
  return items.map(({ heightSlots }) => {
    const bottom = slot;
    slot += heightSlots;
    return bottom;
  });
}

/** An item at its lowest slot. */
export interface StandingItem {
  readonly item: Item;
  readonly bottomSlot: number;
}

/** Items at given places as a layout's list, empty slots between; null where two collide or one leaves the rack. */
export function itemsAt(slotCount: number, standing: readonly StandingItem[]): Item[] | null {
  const items: Item[] = [];
  let next = 1;
  for (const { item, bottomSlot } of [...standing].sort((a, b) => a.bottomSlot - b.bottomSlot)) {
    if (bottomSlot < next) return null;
    for (; next < bottomSlot; next++) items.push(EMPTY);
    items.push(item);
    next += item.heightSlots;
  }
  if (next > slotCount + 1) return null;
  for (; next <= slotCount; next++) items.push(EMPTY);
  return items;
}

/** What stands of a list, with places, empty slots left out. */
export function standingOf(items: readonly Item[]): StandingItem[] {
  const bottoms = bottomsOf(items);
  return items.flatMap((item, at) => (item.type === null ? [] : [{ item, bottomSlot: bottoms[at] }]));
}
