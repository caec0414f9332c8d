import { InputError } from '../rack/errors.js';
import type { LoadsDraw, ObservedRack } from '../rack/studyModel.js';
import { NO_PLACEMENT, type LoadDemand, type LoadsPlacer } from './loadsPlacer.js';
import type { SoughtLoads } from './loadSearch.js';
import type { RandomStream } from './randomStream.js';
import { permittedBottoms, shareInBand, withinCap, type RuleBook } from './ruleBook.js';
import type { StandingUnits } from './standingUnits.js';
import { kilowatts, plural } from './words.js';

/** An observed unit, its type found in the catalogue. */
interface Observed {
  readonly type: number;
  readonly bottomSlot: number;
  readonly heightSlots: number;
  readonly power: number;
}

/**
 * Draw `inventory`: one rack of the inventory, each equally likely, with its units' powers as observed.
 *
 * `observed`: units whose own place is free and allowed keep it; then the others, from the bottom up, go to the nearest
 * place that is (the lower of two at one distance). `shuffled`: units are placed the highest first, in random order
 * among one height, each at a place drawn uniformly among those it may take; for one-slot units every allowed placement
 * is equally likely. A unit for which no place is left, or that would break a rule on power, is left out and counted.
 */
export class InventoryLoads implements LoadsPlacer {
  readonly demands: readonly LoadDemand[];
  private readonly racks: readonly (readonly Observed[])[];
  private readonly order: Int32Array;
  private readonly places: Int32Array;

  /**
   * @throws InputError when there is no rack, a rack draws no power, or a unit is not in the catalogue or lower than
   *   its contact
   */
  constructor(
    private readonly book: RuleBook,
    private readonly draw: Extract<LoadsDraw, { draw: 'inventory' }>,
  ) {
    if (draw.racks.length === 0) throw badInventory('loads.racks', 'no rack', 'at least one observed rack is needed');
    this.racks = draw.racks.map((rack, at) => readRack(book, rack, `loads.racks[${at}]`));
    this.order = new Int32Array(Math.max(...this.racks.map((units) => units.length)));
    this.places = new Int32Array(book.slotCount);
    this.demands = this.racks.map((units, at) => this.anyUnitOf(units, draw.racks[at].rack));
  }

  begin(stream: RandomStream): number {
    return stream.integerBelow(this.racks.length);
  }

  place(demand: number, standing: StandingUnits, stream: RandomStream): number {
    const units = this.racks[demand];
    const sources = standing.count;
    if (this.draw.places === 'observed') this.placeAsObserved(units, standing);
    else this.placeShuffled(units, standing, stream);
    for (let at = sources; at < standing.count; at++) {
      if (standing.power[at] > 0) return units.length - (standing.count - sources);
    }
    standing.keepFirst(sources);
    return NO_PLACEMENT;
  }

  describe(): string[] {
    const where = this.draw.places === 'observed' ? 'at their observed places where free' : 'at uniformly drawn places';
    return [`loads: ${plural(this.racks.length, 'observed rack')}, each equally likely, units ${where}`];
  }

  private placeAsObserved(units: readonly Observed[], standing: StandingUnits): void {
    let displaced = 0;
    for (let at = 0; at < units.length; at++) {
      if (!this.tryAt(units[at], units[at].bottomSlot, standing)) this.order[displaced++] = at;
    }
    for (let at = 0; at < displaced; at++) {
      const unit = units[this.order[at]];
      // An observed rack may be higher than this one.
      const farthest = Math.max(this.book.slotCount, unit.bottomSlot);
      for (let distance = 1; distance <= farthest; distance++) {
        if (this.tryAt(unit, unit.bottomSlot - distance, standing)) break;
        if (this.tryAt(unit, unit.bottomSlot + distance, standing)) break;
      }
    }
  }

  private placeShuffled(units: readonly Observed[], standing: StandingUnits, stream: RandomStream): void {
    const { order, places } = this;
    for (let at = 0; at < units.length; at++) order[at] = at;
    for (let at = units.length - 1; at > 0; at--) {
      const other = stream.integerBelow(at + 1);
      const moved = order[at];
      order[at] = order[other];
      order[other] = moved;
    }
    // Stable: the random order stays within each height.
    const sorted = order.subarray(0, units.length).sort((a, b) => units[b].heightSlots - units[a].heightSlots);
    for (const at of sorted) {
      const unit = units[at];
      let count = 0;
      for (let bottom = 1; bottom <= this.book.slotCount; bottom++) {
        if (this.mayStand(unit, bottom, standing)) places[count++] = bottom;
      }
      if (count > 0) standing.put(unit.type, places[stream.integerBelow(count)], unit.heightSlots, unit.power);
    }
  }

  private tryAt(unit: Observed, bottomSlot: number, standing: StandingUnits): boolean {
    if (!this.mayStand(unit, bottomSlot, standing)) return false;
    standing.put(unit.type, bottomSlot, unit.heightSlots, unit.power);
    return true;
  }

  private mayStand({ type, heightSlots, power }: Observed, bottomSlot: number, standing: StandingUnits): boolean {
    if (!standing.fits(type, bottomSlot, heightSlots)) return false;
    if (!withinCap(power / heightSlots, this.book.powerPerSlot)) return false;
    return power <= standing.roomInBands(bottomSlot, heightSlots);
  }

  /** A rack can be drawn where one of its units that draws power can stand. */
  private anyUnitOf(units: readonly Observed[], name: string): LoadDemand {
    const { book } = this;
    const possible = units.filter(
      ({ power, heightSlots }) => power > 0 && withinCap(power / heightSlots, book.powerPerSlot),
    );
    return {
      words: `any unit of the observed rack "${name}"`,
      hopeless:
        possible.length > 0
          ? null
          : `each of its units draws more than the cap of ${kilowatts(book.powerPerSlot)} per slot`,
      sought: () =>
        possible.map(({ type, heightSlots, power }): SoughtLoads => {
          const bottoms = permittedBottoms(book, type, heightSlots);
          for (const band of book.powerInBand) {
            bottoms.forEach((allowed, bottom) => {
              if (allowed === 1 && power * shareInBand(band, bottom, heightSlots) > band.power) bottoms[bottom] = 0;
            });
          }
          return { type, heightSlots, maxCount: 1, permittedBottoms: bottoms, condition: null, worth: null };
        }),
    };
  }
}

function readRack(book: RuleBook, rack: ObservedRack, path: string): Observed[] {
  const units = rack.units.map(({ equipment, bottomSlot, heightSlots, power }, at): Observed => {
    const type = book.types.load(equipment, `${path}.units[${at}].equipment`);
    if (type.contactSlot > heightSlots) {
      const allowed = `"${equipment}" has its contact in slot ${type.contactSlot} of the unit: at least that height`;
      throw badInventory(`${path}.units[${at}].heightSlots`, String(heightSlots), allowed);
    }
    return { type: type.index, bottomSlot, heightSlots, power };
  });
  if (!units.some((unit) => unit.power > 0)) {
    throw badInventory(`${path}.units`, `no unit of "${rack.rack}" that draws power`, 'at least one is needed');
  }
  return units.sort((a, b) => a.bottomSlot - b.bottomSlot);
}

function badInventory(path: string, found: string, allowed: string): InputError {
  return new InputError([{ file: 'study', path, found, allowed }]);
}
