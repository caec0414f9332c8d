import { InventoryLoads } from '../draw/inventoryLoads.js';
import type { RuledUnit } from '../draw/index.js';
import { randomStream } from '../draw/randomStream.js';
import { withinCap, type RuleBook } from '../draw/ruleBook.js';
import { StandingUnits } from '../draw/standingUnits.js';
import type { LoadsDraw, ObservedUnit } from '../rack/index.js';
import { standSources, type ObjectionToLoads } from './allowedPlacementParts.js';

type InventoryDraw = Extract<LoadsDraw, { draw: 'inventory' }>;

/**
 * Draw `inventory`: the loads are those of one observed rack, at the places the draw gives them.
 *
 * Where `shuffled` leaves a unit out, it must have found no place at its turn. Under a `together` rule on loads an
 * order that exists may be missed.
 */
export function inventoryObjection(book: RuleBook, draw: InventoryDraw): ObjectionToLoads {
  const standing = new StandingUnits(book);
  if (draw.places === 'observed') {
    const placer = new InventoryLoads(book, draw);
    const unused = randomStream('', 0, 'check');
    return (sources, loads) => {
      for (let rack = 0; rack < draw.racks.length; rack++) {
        standSources(standing, sources);
        if (placer.place(rack, standing, unused) >= 0 && standsAsGiven(standing, sources.length, loads)) return null;
      }
      return 'no observed rack stands like this beside these sources';
    };
  }
  return (sources, loads) => {
    if (!loads.some(({ power }) => power > 0)) return 'no load draws any power';
    const drawn = draw.racks.some(({ units }) => {
      const leftOut = withoutPlaced(units, loads);
      if (leftOut === null) return false;
      standSources(standing, sources);
      return isShuffled(standing, loads, leftOut);
    });
    return drawn ? null : 'no observed rack can be shuffled into these places';
  };
}

/** Whether the units put after the first `skipped` are exactly these loads. */
function standsAsGiven(standing: StandingUnits, skipped: number, loads: readonly RuledUnit[]): boolean {
  if (standing.count - skipped !== loads.length) return false;
  const { types } = standing.book;
  return loads.every(({ equipment, bottomSlot, heightSlots, power }) => {
    for (let at = skipped; at < standing.count; at++) {
      if (standing.bottomSlot[at] !== bottomSlot) continue;
      return types.all[standing.type[at]].id === equipment && standing.heightSlots[at] === heightSlots
        && standing.power[at] === power;
    }
    return false;
  });
}

/** The units of a rack that are not among the placed ones; null where a placed one is not of the rack. */
function withoutPlaced(units: readonly ObservedUnit[], loads: readonly RuledUnit[]): ObservedUnit[] | null {
  const left = [...units];
  for (const { equipment, heightSlots, power } of loads) {
    const at = left.findIndex((one) =>
      one.equipment === equipment && one.heightSlots === heightSlots && one.power === power);
    if (at < 0) return null;
    left.splice(at, 1);
  }
  return left;
}

function isShuffled(standing: StandingUnits, loads: readonly RuledUnit[], leftOut: readonly ObservedUnit[]): boolean {
  const { book } = standing;
  const typeOf = (id: string): number => book.types.load(id, 'loads.racks').index;
  const findsNoPlace = ({ equipment, heightSlots, power }: ObservedUnit): boolean => {
    if (!withinCap(power / heightSlots, book.powerPerSlot)) return true;
    for (let bottom = 1; bottom <= book.slotCount; bottom++) {
      if (standing.fits(typeOf(equipment), bottom, heightSlots)
        && power <= standing.roomInBands(bottom, heightSlots)) return false;
    }
    return true;
  };
  const heights = [...new Set([...loads, ...leftOut].map(({ heightSlots }) => heightSlots))].sort((a, b) => b - a);
  for (const height of heights) {
    const waiting = loads.filter(({ heightSlots }) => heightSlots === height);
    let refused = leftOut.filter(({ heightSlots }) => heightSlots === height);
    refused = refused.filter((unit) => !findsNoPlace(unit));
    while (waiting.length > 0) {
      const next = waiting.findIndex((unit) => standing.fits(typeOf(unit.equipment), unit.bottomSlot, height));
      if (next < 0) return false;
      const { equipment, bottomSlot, power } = waiting[next];
      standing.put(typeOf(equipment), bottomSlot, height, power);
      waiting.splice(next, 1);
      refused = refused.filter((unit) => !findsNoPlace(unit));
    }
    if (refused.length > 0) return false;
  }
  return true;
}
