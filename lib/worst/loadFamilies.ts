/**
 * What a study's loads can be, as families wide enough to hold every placement that its draw can make. A bound on the
 * families is a bound on the draw; what a family leaves out of the draw's conditions can only make the bound lower.
 */
import { permittedBottoms, type RuleBook } from '../draw/ruleBook.js';
import type { UnitType } from '../draw/unitTypes.js';
import type { ObservedRack, Study } from '../rack/index.js';
import type { Range } from './toleranceRanges.js';

/** A kind of load unit that may stand any number of times. */
export interface LoadOption {
  readonly type: UnitType;
  readonly heightSlots: number;
  /** `[bottomSlot]`, 1-based: 1 where it may stand with its lowest slot there. */
  readonly bottoms: Uint8Array;
  /** Its power as drawn, in the unit of the family's total. */
  readonly power: Range;
}

export interface LoadFamily {
  readonly options: readonly LoadOption[];
  /** Power of all units together as drawn; a unit's share of the load is its power over this. */
  readonly total: Range;
  /** Totals are whole numbers: they count units. */
  readonly counts: boolean;
  readonly mayLeaveEmpty: boolean;
  /** Least power that each slot beside a unit holds; 0 where slots may stay empty. */
  readonly leastPerSlot: number;
  /** Slots that the sources leave. */
  readonly freeSlots: number;
  /** Most power whose contacts are in the lowest (or in the highest) m slots, `[m]`; null: what the options allow. */
  readonly atOneEnd: Float64Array | null;
}

/** Powers that a unit of an option may have where all units together have a total of this range. */
export function powerWithin(family: LoadFamily, total: Range, option: number): Range {
  const { power, heightSlots } = family.options[option];
  const beside = family.leastPerSlot * Math.max(0, family.freeSlots - heightSlots);
  return { min: power.min, max: Math.min(power.max, Math.max(power.min, total.max - beside)) };
}

/** Largest share of the load that a unit of an option may have. */
export function largestShare(family: LoadFamily, total: Range, option: number): number {
  return Math.min(1, powerWithin(family, total, option).max / total.min);
}

/** The families of a study: together they hold every placement of loads that it can draw. */
export function loadFamilies(study: Study, book: RuleBook): LoadFamily[] {
  const { loads } = study;
  const option = (type: UnitType, power: Range, heightSlots = type.heightSlots): LoadOption =>
    ({ type, heightSlots, bottoms: permittedBottoms(book, type.index, heightSlots), power });
  const one: Range = { min: 1, max: 1 };
  switch (loads.draw) {
    case 'fixed': {
      const options = loads.units.map(({ id, bottomSlot, power }, at): LoadOption => {
        const type = book.types.load(id, `loads.units[${at}].id`);
        const bottoms = new Uint8Array(book.slotCount + 2);
        bottoms[bottomSlot] = 1;
        return { type, heightSlots: type.heightSlots, bottoms, power: { min: power, max: power } };
      });
      const total = options.reduce((sum, { power }) => sum + power.max, 0);
      return [family(options, { min: total, max: total })];
    }
    case 'even': {
      const type = book.types.load(loads.id, 'loads.id');
      const most = book.powerPerSlot * type.heightSlots;
      // Fewer units than this would each draw more than the cap.
      const least = Math.max(loads.count.min, Math.ceil((loads.totalPower / most) * (1 - 1e-9)));
      return [family([option(type, one)], { min: least, max: loads.count.max }, true)];
    }
    case 'random-split': {
      const type = book.types.load(loads.id, 'loads.id');
      const max = Math.min(loads.totalPower, book.powerPerSlot * type.heightSlots * (1 + 1e-9));
      return [family([option(type, { min: 0, max })], { min: loads.totalPower, max: loads.totalPower })];
    }
    case 'all-or-nothing': {
      const type = book.types.load(loads.id, 'loads.id');
      return [family([option(type, one)], { min: 1, max: Math.floor(book.slotCount / type.heightSlots) }, true)];
    }
    case 'catalogue':
      return catalogueFamilies(study, book, loads.totalPower, option);
    case 'inventory':
      return loads.racks.map((rack) => inventoryFamily(rack, study, book, option));
  }
}

type MakeOption = (type: UnitType, power: Range, heightSlots?: number) => LoadOption;

function family(options: readonly LoadOption[], total: Range, counts = false, mayLeaveEmpty = true): LoadFamily {
  return { options, total, counts, mayLeaveEmpty, leastPerSlot: 0, freeSlots: 0, atOneEnd: null };
}

/**
 * Units of the catalogue until none can be added: either the total is nearly reached, or, where some unit of one slot
 * may stand in every slot, no slot is left.
 */
function catalogueFamilies(study: Study, book: RuleBook, totalPower: number, option: MakeOption): LoadFamily[] {
  const options = book.types.all.flatMap((type) => {
    if (type.load === null) return [];
    const max = Math.min(type.load.power.max, book.powerPerSlot * type.heightSlots * (1 + 1e-9));
    const { min } = type.load.power;
    return min <= max ? [option(type, { min, max })] : [];
  });
  const smallest = Math.min(...options.map(({ power }) => power.min));
  const free = book.mayNotTouch.every((touch) => touch === 0) && book.apart.length === 0 && book.together.length === 0
    && book.minFreeSlots === 0 && book.powerInBand.length === 0;
  const everywhere = options.filter(({ heightSlots, bottoms }) =>
    heightSlots === 1 && bottoms.subarray(1, book.slotCount + 1).every((may) => may === 1));
  if (!free || everywhere.length === 0) {
    return [family(options, { min: Math.min(smallest, totalPower), max: totalPower })];
  }
  const filler = Math.min(...everywhere.map(({ power }) => power.min));
  const reached = Math.max(0, totalPower - filler);
  const families = [family(options, { min: reached, max: totalPower })];
  const leastPerSlot = Math.min(...options.map(({ power, heightSlots }) => power.min / heightSlots));
  const sourceSlots = sourceHeight(study, book);
  const least = leastPerSlot * (book.slotCount - sourceSlots);
  if (least < reached) {
    families.push({
      ...family(options, { min: least, max: reached }, false, false), leastPerSlot, freeSlots: book.slotCount - sourceSlots,
    });
  }
  return families;
}

/** Ids of all sources. */
function sourceIds({ sources: { positions, units } }: Study): string[] {
  return positions.draw === 'fixed' ? positions.units.map(({ id }) => id)
    : units.flatMap(({ id, count }) => new Array<string>(count).fill(id));
}

/** Slots that the sources of a study take together. */
export function sourceHeight(study: Study, book: RuleBook): number {
  return sourceIds(study).reduce((sum, id) => sum + book.types.source(id, 'sources.units').heightSlots, 0);
}

/** One observed rack, its units at any places. Units that may find no place may be missing from the total. */
function inventoryFamily(rack: ObservedRack, study: Study, book: RuleBook, option: MakeOption): LoadFamily {
  const { units } = rack;
  const options = new Map<string, LoadOption>();
  for (const { equipment, heightSlots, power } of units) {
    const type = book.types.load(equipment, `inventory ${rack.rack}`);
    options.set(`${equipment} ${heightSlots} ${power}`, option(type, { min: power, max: power }, heightSlots));
  }
  const total = units.reduce((sum, { power }) => sum + power, 0);
  // Without rules and with room to spare even between the tallest units, every unit finds a place.
  const taken = rack.units.reduce((sum, { heightSlots }) => sum + heightSlots, 0) + sourceHeight(study, book);
  const tallest = Math.max(...rack.units.map(({ heightSlots }) => heightSlots));
  const waste = (tallest - 1) * (rack.units.length + sourceIds(study).length + 1);
  const placed = study.rules.length === 0 && taken + (tallest > 1 ? waste : 0) <= book.slotCount;
  const least = placed ? total : Math.min(...units.filter(({ power }) => power > 0).map(({ power }) => power));
  return {
    ...family([...options.values()], { min: least, max: total }),
    atOneEnd: mostAtOneEnd(units, tallest, book.slotCount),
  };
}

/** Most power with contacts in m slots at one end: the densest units, cut where they overfill m slots and an overhang. */
function mostAtOneEnd(
  units: readonly { readonly power: number; readonly heightSlots: number }[], tallest: number, slotCount: number,
): Float64Array {
  const densest = [...units].sort((a, b) => b.power / b.heightSlots - a.power / a.heightSlots);
  return Float64Array.from({ length: slotCount + 1 }, (_, m) => {
    if (m === 0) return 0;
    let room = m + tallest - 1;
    let sum = 0;
    for (const { power, heightSlots } of densest) {
      const part = Math.min(1, room / heightSlots);
      sum += power * part;
      room -= heightSlots * part;
      if (room <= 0) break;
    }
    return sum;
  });
}
