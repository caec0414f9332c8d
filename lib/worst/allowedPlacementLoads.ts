import { AlikePlacement } from '../draw/alikePlacement.js';
import { slotsWithin } from '../draw/evenLoads.js';
import type { RuleBook } from '../draw/ruleBook.js';
import { slotLimits } from '../draw/slotLimits.js';
import { StandingUnits } from '../draw/standingUnits.js';
import type { LoadsDraw, Study } from '../rack/index.js';
import { catalogueObjection } from './allowedPlacementCatalogue.js';
import { inventoryObjection } from './allowedPlacementInventory.js';
import { ROUNDING, standSources, type ObjectionToLoads } from './allowedPlacementParts.js';

/** The question for the loads draw of a study. */
export function loadsObjection(study: Study, book: RuleBook): ObjectionToLoads {
  const draw = study.loads;
  switch (draw.draw) {
    case 'fixed':
      return fixedObjection(draw);
    case 'even':
    case 'random-split':
      return splitObjection(book, draw);
    case 'all-or-nothing':
      return allOrNothingObjection(book, draw);
    case 'catalogue':
      return catalogueObjection(book, draw);
    case 'inventory':
      return inventoryObjection(book, draw);
  }
}

function fixedObjection(draw: Extract<LoadsDraw, { draw: 'fixed' }>): ObjectionToLoads {
  const wanted = new Map(draw.units.map((unit) => [unit.bottomSlot, unit]));
  return (_, loads) => {
    const same = loads.length === draw.units.length && loads.every(({ equipment, bottomSlot, power }) => {
      const unit = wanted.get(bottomSlot);
      return unit !== undefined && unit.id === equipment && unit.power === power;
    });
    return same ? null : 'the loads are not the hand-picked ones';
  };
}

function splitObjection(
  book: RuleBook, draw: Extract<LoadsDraw, { draw: 'even' | 'random-split' }>,
): ObjectionToLoads {
  const { id, heightSlots } = book.types.load(draw.id, 'loads.id');
  const { count, totalPower } = draw;
  return (_, loads) => {
    if (loads.length < count.min || loads.length > count.max) return `${loads.length} loads`;
    const other = loads.find((unit) => unit.equipment !== id || unit.heightSlots !== heightSlots);
    if (other) return `"${other.equipment}" is not the load of the draw`;
    if (draw.draw === 'even') {
      const equal = loads.every(({ power }) => near(power, totalPower / loads.length, totalPower));
      return equal ? null : 'the powers are not equal parts of the total';
    }
    if (!loads.every(({ power }) => power > 0)) return 'a load without power';
    const sum = loads.reduce((total, { power }) => total + power, 0);
    return near(sum, totalPower, totalPower) ? null : 'the powers do not add up to the total';
  };
}

function allOrNothingObjection(book: RuleBook, draw: Extract<LoadsDraw, { draw: 'all-or-nothing' }>): ObjectionToLoads {
  const { id, index, heightSlots } = book.types.load(draw.id, 'loads.id');
  const standing = new StandingUnits(book);
  const placement = new AlikePlacement(book, index, heightSlots);
  // With chance 1 as many places are full as the rules allow.
  const fullest = (): number => {
    const { most } = placement;
    if (book.powerInBand.length === 0) return most;
    const limits = slotLimits(heightSlots, slotsWithin(book, draw.cap / heightSlots));
    for (let full = most; full > 0; full--) {
      if (placement.graph({ min: full, max: full }, limits).total > 0) return full;
    }
    return 0;
  };
  return (sources, loads) => {
    if (loads.length === 0) return 'no place is full';
    standSources(standing, sources);
    placement.prepare(standing, true);
    for (const { equipment, bottomSlot, heightSlots: height, power } of loads) {
      if (equipment !== id || height !== heightSlots) return `"${equipment}" is not the load of the draw`;
      if (power !== draw.cap) return 'a load that is not at its cap';
      if (placement.permitted[bottomSlot] !== 1) return `no place is cut at slot ${bottomSlot}`;
    }
    if (draw.chanceFull === 1 && loads.length < fullest()) return 'more places could be full';
    return null;
  };
}

function near(a: number, b: number, scale: number): boolean {
  return Math.abs(a - b) <= ROUNDING * scale;
}
