import type { LoadsDraw } from '../rack/studyModel.js';
import { offersOf, oneUnitDemand, openWeight, type Offer } from './catalogueOffers.js';
import { NO_PLACEMENT, type LoadDemand, type LoadsPlacer } from './loadsPlacer.js';
import type { RandomStream } from './randomStream.js';
import type { RuleBook } from './ruleBook.js';
import type { StandingUnits } from './standingUnits.js';
import { kilowatts } from './words.js';

/**
 * Draw `catalogue`: units offered one after the other until none can be added any more.
 *
 * An offer is a type, by mix weight, and a power, uniform in the type's range. An offer that would take the total above
 * `totalPower`, break a rule or find no place is not placed, and the next one is made. A placed unit stands at a place
 * drawn uniformly among those that it may take (`anywhere`), or at the lowest or highest of them. So every unit draws a
 * power of its own range, the total is never exceeded, and the draw ends when no unit of the catalogue could be added.
 *
 * Offers that power alone rules out are not made and then refused, but left out beforehand: a type's weight is
 * multiplied by the part of its range that is still open, and the power drawn in that part. That is the same law.
 */
export class CatalogueLoads implements LoadsPlacer {
  readonly demands: readonly LoadDemand[];
  private readonly offers: readonly Offer[];
  /** `[offer]`, W: the most a unit of it may still draw; falls during a draw. */
  private readonly open: Float64Array;
  /** `[offer]`: the weight of an offer up to the power in `reach`, W. */
  private readonly weights: Float64Array;
  private readonly reach: Float64Array;
  private readonly places: Int32Array;
  /** `[offer][…]`: places not yet found taken, used where a place once lost is lost for good. */
  private readonly listed: readonly Int32Array[];
  /** `[offer]`: how many places are listed, −1 before they are. */
  private readonly listLength: Int32Array;
  private readonly usesLists: boolean;

  /** @throws InputError when the catalogue has no loads */
  constructor(
    private readonly book: RuleBook,
    private readonly draw: Extract<LoadsDraw, { draw: 'catalogue' }>,
  ) {
    this.offers = offersOf(book);
    this.open = new Float64Array(this.offers.length);
    this.weights = new Float64Array(this.offers.length);
    this.reach = new Float64Array(this.offers.length).fill(Number.NaN);
    this.places = new Int32Array(book.slotCount);
    this.listed = this.offers.map(() => new Int32Array(book.slotCount));
    this.listLength = new Int32Array(this.offers.length);
    this.usesLists = draw.fill === 'anywhere' && book.powerInBand.length === 0 && book.together.length === 0;
    this.demands = [oneUnitDemand(book, this.offers, draw.totalPower)];
  }

  begin(): number {
    return 0;
  }

  place(_demand: number, standing: StandingUnits, stream: RandomStream): number {
    const { offers, open } = this;
    let left = this.draw.totalPower;
    let placed = 0;
    this.openAll();
    this.listLength.fill(-1);
    for (;;) {
      const at = this.drawOffer(left, stream);
      if (at < 0) return placed > 0 ? 0 : NO_PLACEMENT;
      const { type, heightSlots, minPower } = offers[at];
      const highest = Math.min(open[at], left);
      const power = highest > minPower ? minPower + (highest - minPower) * stream.double() : minPower;
      const bottom = this.usesLists
        ? this.drawListedPlace(at, standing, stream)
        : this.drawPlace(at, power, standing, stream);
      if (bottom === 0) continue;
      standing.put(type, bottom, heightSlots, power);
      left -= power;
      placed++;
      // A block grown by this unit may end in a neighbour that another type can touch.
      if (this.book.together.length > 0) this.openAll();
    }
  }

  describe(): string[] {
    const { fill, totalPower } = this.draw;
    const where = {
      anywhere: 'at uniformly drawn places',
      'bottom-up': 'from the bottom up',
      'top-down': 'from the top down',
    };
    return [
      `loads: units drawn from ${this.offers.length} catalogue types by mix weight, ${where[fill]}, ` +
        `until none fits or ${kilowatts(totalPower)} are reached`,
    ];
  }

  private openAll(): void {
    this.offers.forEach(({ maxPower, cap }, at) => {
      this.open[at] = Math.min(maxPower, cap);
    });
  }

  /** Position of the next offer, −1 when none is open. */
  private drawOffer(left: number, stream: RandomStream): number {
    const { open, weights, reach } = this;
    let sum = 0;
    for (let at = 0; at < open.length; at++) {
      const most = Math.min(open[at], left);
      // A weight changes only where the power that is left cuts into the offer's range.
      if (most !== reach[at]) {
        reach[at] = most;
        weights[at] = openWeight(this.offers[at], most);
      }
      sum += weights[at];
    }
    if (!(sum > 0)) return -1;
    let rest = stream.double() * sum;
    let chosen = -1;
    for (let at = 0; at < open.length; at++) {
      if (weights[at] === 0) continue;
      chosen = at;
      rest -= weights[at];
      if (rest < 0) break;
    }
    return chosen;
  }

  /** A place for the offer, 0 when there is none: then `open` falls to what a unit of the type could still draw. */
  private drawPlace(at: number, power: number, standing: StandingUnits, stream: RandomStream): number {
    const { book, places, draw } = this;
    const { type, heightSlots } = this.offers[at];
    const capped = book.powerInBand.length > 0;
    let count = 0;
    let mostRoom = -1;
    for (let step = 1; step <= book.slotCount; step++) {
      const bottom = draw.fill === 'top-down' ? book.slotCount + 1 - step : step;
      if (standing.typeInSlot[bottom] !== 0 || !standing.fits(type, bottom, heightSlots)) continue;
      const room = capped ? standing.roomInBands(bottom, heightSlots) : Infinity;
      mostRoom = Math.max(mostRoom, room);
      if (power > room) continue;
      if (draw.fill !== 'anywhere') return bottom;
      places[count++] = bottom;
    }
    if (count > 0) return places[stream.integerBelow(count)];
    this.open[at] = Math.min(this.open[at], mostRoom);
    return 0;
  }

  /**
   * The same by picking from a list and striking out what turns out to be taken: uniform over the places that are left,
   * and each place is looked at twice at most in a whole draw, not once for every unit.
   */
  private drawListedPlace(at: number, standing: StandingUnits, stream: RandomStream): number {
    const { type, heightSlots } = this.offers[at];
    const places = this.listed[at];
    let length = this.listLength[at];
    if (length < 0) length = standing.listPlaces(type, heightSlots, places);
    let found = 0;
    while (length > 0 && found === 0) {
      const pick = stream.integerBelow(length);
      if (standing.stillFits(type, places[pick], heightSlots)) found = places[pick];
      places[pick] = places[--length];
    }
    this.listLength[at] = length;
    if (found === 0) this.open[at] = -1;
    return found;
  }
}
