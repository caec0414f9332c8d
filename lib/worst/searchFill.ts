import { offersOf } from '../draw/catalogueOffers.js';
import type { RuleBook } from '../draw/ruleBook.js';
import { StandingUnits } from '../draw/standingUnits.js';
import type { Study } from '../rack/index.js';
import { isLoad, itemsAt, standingOf, type Item, type StandingItem } from './searchLayout.js';

/**
 * Adds the lightest loads of the catalogue, each at its least power (W), until none finds a place or power: the draw
 * `catalogue` leaves no unit out that could be added.
 * @returns null where the items do not stand in the rack
 */
export type LightestFill = (items: readonly Item[], fromTop: boolean) => Item[] | null;

/** The fill of a study with draw `catalogue`; null for other draws. */
export function lightestFill(study: Study, book: RuleBook): LightestFill | null {
  const { loads } = study;
  if (loads.draw !== 'catalogue') return null;
  const standing = new StandingUnits(book);
  const perSlot = (offer: { readonly minPower: number; readonly heightSlots: number }): number =>
    offer.minPower / offer.heightSlots;
  const offers = offersOf(book).filter(({ weight, minPower, cap }) => weight > 0 && minPower <= cap)
    .sort((a, b) => perSlot(a) - perSlot(b));
  const { slotCount } = book;

  return (items, fromTop) => {
    const all = standingOf(items);
    standing.clear();
    let left = loads.totalPower;
    for (const { item, bottomSlot } of all) {
      standing.put(item.type?.index ?? -1, bottomSlot, item.heightSlots, item.power);
      if (isLoad(item)) left -= item.power;
    }
    const added: StandingItem[] = [];
    for (const { type, heightSlots, minPower } of offers) {
      const item = { type: book.types.all[type], heightSlots, power: minPower, weight: 1 };
      for (let step = 1; step <= slotCount && left >= minPower; step++) {
        const bottomSlot = fromTop ? slotCount + 1 - step : step;
        if (standing.typeInSlot[bottomSlot] !== 0 || !standing.fits(type, bottomSlot, heightSlots)) continue;
        if (minPower > standing.roomInBands(bottomSlot, heightSlots)) continue;
        standing.put(type, bottomSlot, heightSlots, minPower);
        added.push({ item, bottomSlot });
        left -= minPower;
      }
    }
    return itemsAt(slotCount, [...all, ...added]);
  };
}
