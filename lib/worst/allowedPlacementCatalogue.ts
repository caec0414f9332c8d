import { offersOf, type Offer } from '../draw/catalogueOffers.js';
import type { RuledUnit } from '../draw/index.js';
import { shareInBand, type RuleBook } from '../draw/ruleBook.js';
import { StandingUnits } from '../draw/standingUnits.js';
import type { LoadsDraw } from '../rack/index.js';
import { ROUNDING, standSources, type ObjectionToLoads } from './allowedPlacementParts.js';

/**
 * Draw `catalogue`: every power in its type's range, the total not exceeded, no unit left that could be added.
 *
 * The draw ends when what is left of the total lies below the least power of every type that still finds a place. A sum
 * of powers at either edge of that window is allowed where powers drawn inside their ranges come as near to it as one
 * likes: at the upper edge unless every unit draws its least, at the lower edge unless every unit draws its most.
 */
export function catalogueObjection(
  book: RuleBook, draw: Extract<LoadsDraw, { draw: 'catalogue' }>,
): ObjectionToLoads {
  const offers = offersOf(book).filter(({ weight }) => weight > 0);
  const offerOf = new Map(offers.map((offer) => [book.types.all[offer.type].id, offer]));
  const standing = new StandingUnits(book);
  const slack = ROUNDING * draw.totalPower;

  return (sources, loads) => {
    if (loads.length === 0) return 'no load';
    let sum = 0;
    let ranged = false;
    let aboveLeast = false;
    let belowMost = false;
    for (const { equipment, heightSlots, power } of loads) {
      const offer = offerOf.get(equipment);
      if (!offer || offer.heightSlots !== heightSlots) return `"${equipment}" is not what the catalogue says`;
      const most = Math.min(offer.maxPower, offer.cap);
      if (power < offer.minPower - slack || power > most + slack) return `the power of a "${equipment}"`;
      if (most > offer.minPower) {
        ranged = true;
        if (power > offer.minPower + slack) aboveLeast = true;
        if (power < most - slack) belowMost = true;
      }
      sum += power;
    }
    const left = draw.totalPower - sum;
    if (left < -slack) return 'more power than the total';
    if (ranged && !aboveLeast && left <= slack) return 'these loads reach the total only if each draws its very least';
    if (!bandsReached(loads)) return 'a band reaches its cap only if each load draws its very least';
    standSources(standing, sources);
    const kept = draw.fill === 'anywhere' ? standAll(loads) : standInOrder(loads);
    if (!kept) return `the loads do not stand as filled ${draw.fill}`;
    const room = left + slack;
    for (const offer of offers) {
      if (couldBeAdded(offer, room, ranged, belowMost)) {
        return `a "${book.types.all[offer.type].id}" could be added`;
      }
    }
    return null;
  };

  /** The same edge for the caps on bands. */
  function bandsReached(loads: readonly RuledUnit[]): boolean {
    return book.powerInBand.every((band) => {
      let inBand = 0;
      let ranged = false;
      let aboveLeast = false;
      for (const { equipment, bottomSlot, heightSlots, power } of loads) {
        const share = shareInBand(band, bottomSlot, heightSlots);
        const offer = offerOf.get(equipment);
        if (share === 0 || !offer) continue;
        inBand += share * power;
        if (offer.maxPower === offer.minPower) continue;
        ranged = true;
        if (power > offer.minPower + slack) aboveLeast = true;
      }
      return !ranged || aboveLeast || inBand < band.power - slack;
    });
  }

  function couldBeAdded(offer: Offer, left: number, ranged: boolean, belowMost: boolean): boolean {
    const { type, heightSlots, minPower } = offer;
    const most = Math.min(offer.maxPower, offer.cap);
    if (most < minPower || left < minPower) return false;
    for (let bottom = 1; bottom + heightSlots - 1 <= book.slotCount; bottom++) {
      if (standing.typeInSlot[bottom] !== 0 || !standing.fits(type, bottom, heightSlots)) continue;
      const room = Math.min(left, standing.roomInBands(bottom, heightSlots) + slack);
      // Room for the very least only: a little more drawn elsewhere, where that is possible, and there is none.
      if (room > minPower + 2 * slack) return true;
      if (room < minPower) continue;
      if (ranged ? !belowMost : offer.maxPower === minPower) return true;
    }
    return false;
  }

  function standAll(loads: readonly RuledUnit[]): boolean {
    for (const load of loads) put(load);
    return true;
  }

  /**
   * Whether some order of the units puts each at the first place that it fits at its turn. What stands only ever takes
   * places away, so that a unit once at its first place stays there and any such unit may come next; under a `together`
   * rule, where a block also opens places, an order that exists may be missed.
   */
  function standInOrder(loads: readonly RuledUnit[]): boolean {
    const waiting = [...loads].sort((a, b) => a.bottomSlot - b.bottomSlot);
    if (draw.fill === 'top-down') waiting.reverse();
    while (waiting.length > 0) {
      const next = waiting.findIndex(isAtFirstPlace);
      if (next < 0) return false;
      put(waiting[next]);
      waiting.splice(next, 1);
    }
    return true;
  }

  function isAtFirstPlace({ equipment, bottomSlot, heightSlots, power }: RuledUnit): boolean {
    const type = offerOf.get(equipment)?.type ?? -1;
    const step = draw.fill === 'bottom-up' ? 1 : -1;
    const from = draw.fill === 'bottom-up' ? 1 : book.slotCount;
    for (let bottom = from; bottom !== bottomSlot; bottom += step) {
      if (standing.typeInSlot[bottom] === 0 && standing.fits(type, bottom, heightSlots)
        && power <= standing.roomInBands(bottom, heightSlots) - slack) return false;
    }
    return standing.fits(type, bottomSlot, heightSlots);
  }

  function put({ equipment, bottomSlot, heightSlots, power }: RuledUnit): void {
    standing.put(offerOf.get(equipment)?.type ?? -1, bottomSlot, heightSlots, power);
  }
}
