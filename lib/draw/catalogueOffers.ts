import { InputError } from '../rack/errors.js';
import type { LoadDemand } from './loadsPlacer.js';
import type { SoughtLoads } from './loadSearch.js';
import { permittedBottoms, shareInBand, type RuleBook } from './ruleBook.js';
import { kilowatts } from './words.js';

/** A load type of the catalogue, numbers only. */
export interface Offer {
  readonly type: number;
  readonly heightSlots: number;
  readonly weight: number;
  readonly minPower: number;
  readonly maxPower: number;
  /** W: the most a unit may draw by the cap per slot. */
  readonly cap: number;
}

/**
 * The loads of the catalogue.
 * @throws InputError when it has none
 */
export function offersOf(book: RuleBook): Offer[] {
  const offers = book.types.all.flatMap(({ index, heightSlots, load }): Offer[] => {
    if (load === null) return [];
    const { mixWeight, power } = load;
    const cap = book.powerPerSlot * heightSlots;
    return [{ type: index, heightSlots, weight: mixWeight, minPower: power.min, maxPower: power.max, cap }];
  });
  if (offers.length > 0) return offers;
  const allowed = 'at least one load of the equipment catalogue is needed for this draw';
  throw new InputError([{ file: 'study', path: 'loads.draw', found: 'a catalogue without loads', allowed }]);
}

/** Mix weight times the part of the type's range of powers up to `highest`. */
export function openWeight({ weight, minPower, maxPower }: Offer, highest: number): number {
  if (highest < minPower) return 0;
  if (maxPower === minPower) return weight;
  return (weight * (Math.min(highest, maxPower) - minPower)) / (maxPower - minPower);
}

/** The draw is possible where one unit of any type can stand at its lowest power. */
export function oneUnitDemand(book: RuleBook, offers: readonly Offer[], totalPower: number): LoadDemand {
  const affordable = offers.filter((offer) => openWeight(offer, Math.min(offer.cap, totalPower)) > 0);
  const least = Math.min(...offers.map(({ minPower, heightSlots }) => minPower / heightSlots));
  const tooDear =
    `no type can stay within ${kilowatts(totalPower)} in all and ${kilowatts(book.powerPerSlot)} per slot; ` +
    `the least power per slot in the catalogue is ${kilowatts(least)}`;
  return {
    words: 'one unit of the catalogue',
    hopeless: affordable.length > 0 ? null : tooDear,
    sought: () =>
      affordable.map((offer): SoughtLoads => {
        const { type, heightSlots } = offer;
        const bottoms = permittedBottoms(book, type, heightSlots);
        for (const band of book.powerInBand) {
          bottoms.forEach((allowed, bottom) => {
            const share = shareInBand(band, bottom, heightSlots);
            const fits = share === 0 || openWeight(offer, band.power / share) > 0;
            if (allowed === 1 && !fits) bottoms[bottom] = 0;
          });
        }
        return { type, heightSlots, maxCount: 1, permittedBottoms: bottoms, condition: null, worth: null };
      }),
  };
}
