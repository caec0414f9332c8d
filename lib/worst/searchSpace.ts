import { AlikePlacement } from '../draw/alikePlacement.js';
import type { PlacedUnit, RuledUnit, Scenario } from '../draw/index.js';
import { InventoryLoads } from '../draw/inventoryLoads.js';
import { placedUnit } from '../draw/placedUnit.js';
import { randomStream } from '../draw/randomStream.js';
import { ruleBook, type RuleBook } from '../draw/ruleBook.js';
import { StandingUnits } from '../draw/standingUnits.js';
import type { Study } from '../rack/index.js';
import { allowedPlacement, type AllowedPlacement } from './allowedPlacement.js';
import { standSources } from './allowedPlacementParts.js';
import { lightestFill, type LightestFill } from './searchFill.js';
import {
  isLoad, isSource, itemsAt, standingOf, type Candidate, type Item, type Layout, type StandingItem,
} from './searchLayout.js';
import { searchPowers, type SearchPowers } from './searchPowers.js';
import { type ToleranceRanges, worstBuild } from './toleranceRanges.js';

/** Turns what a move leaves into an allowed placement, or says that there is none. */
export class SearchSpace {
  readonly book: RuleBook;
  readonly powers: SearchPowers;
  /** Hand-picked and observed loads follow from the sources: layouts then hold sources alone. */
  readonly loadsFollow: boolean;
  /** Whether it matters from which end a candidate is made to fit. */
  readonly directed: boolean;
  private readonly allowed: AllowedPlacement;
  private readonly fill: LightestFill | null;
  private readonly standing: StandingUnits;
  private readonly observed: InventoryLoads | null;
  private readonly tiles: AlikePlacement | null;
  private readonly unused = randomStream('', 0, 'check');

  constructor(readonly study: Study, private readonly ranges: ToleranceRanges) {
    const { loads } = study;
    this.book = ruleBook(study);
    this.allowed = allowedPlacement(study);
    this.powers = searchPowers(study, this.book);
    this.fill = lightestFill(study, this.book);
    this.standing = new StandingUnits(this.book);
    const isObserved = loads.draw === 'inventory' && loads.places === 'observed';
    this.loadsFollow = loads.draw === 'fixed' || isObserved;
    this.directed = loads.draw === 'catalogue' || loads.draw === 'random-split' || loads.draw === 'all-or-nothing';
    this.observed = isObserved ? new InventoryLoads(this.book, loads) : null;
    const alike = loads.draw === 'all-or-nothing' ? this.book.types.load(loads.id, 'loads.id') : null;
    this.tiles = alike ? new AlikePlacement(this.book, alike.index, alike.heightSlots) : null;
  }

  /** The layout of placed units, all sources sharing equally. */
  layoutOf(units: readonly PlacedUnit[], rack = 0): Layout {
    const { types } = this.book;
    const weight = Math.min(Math.max(1, this.ranges.sharingWeight.min), this.ranges.sharingWeight.max);
    const standing = units.flatMap(({ kind, equipment, heightSlots, power, bottomSlot }): StandingItem[] => {
      if (kind !== 'load') {
        return [{ item: { type: types.source(equipment, 'placement'), heightSlots, power: 0, weight }, bottomSlot }];
      }
      if (this.loadsFollow) return [];
      return [{ item: { type: types.load(equipment, 'placement'), heightSlots, power, weight: 1 }, bottomSlot }];
    });
    const items = itemsAt(this.book.slotCount, standing);
    if (items === null) throw new RangeError('placed units that overlap');
    return { items, rack, inlet: this.ranges.inlet.max };
  }

  /**
   * The placement a layout means, made to fit the draw; null where it is not allowed.
   * @param fromTop whether powers are settled, and loads put to places, from the top down
   * @param pinned item whose power is changed last, −1: none
   */
  candidate(layout: Layout, fromTop = false, pinned = -1): Candidate | null {
    if (this.loadsFollow) return this.following(layout);
    const { loads } = this.study;
    switch (loads.draw) {
      case 'even': {
        const count = layout.items.filter(isLoad).length;
        const power = loads.totalPower / count;
        return this.checked({ ...layout, items: layout.items.map((one) => (isLoad(one) ? { ...one, power } : one)) });
      }
      case 'all-or-nothing': {
        const items = this.tiled(layout.items, loads.chanceFull === 1, fromTop);
        return items === null ? null : this.checked({ ...layout, items });
      }
      case 'random-split': {
        const items = this.powers.settle(layout.items, true, fromTop, pinned);
        return items === null ? null : this.checked({ ...layout, items });
      }
      case 'catalogue': {
        if (loads.fill === 'anywhere') return this.settled(layout, fromTop, pinned);
        // Another order of putting may lead to these places than the one from the end that packing tries.
        const items = this.powers.settle(layout.items, false, fromTop, pinned);
        const asItStands = items === null ? null : this.checked({ ...layout, items });
        if (asItStands !== null) return asItStands;
        const packed = this.packed(layout.items, loads.fill === 'top-down');
        // Packed loads stand in another order: the pinned one is no longer known by its position.
        return packed === null ? null : this.settled({ ...layout, items: packed }, fromTop, -1);
      }
      default:
        return this.checked(layout);
    }
  }

  /** The scenario of a candidate, for rating. */
  scenario({ units, layout }: Candidate): Scenario {
    return { index: 0, units, build: worstBuild(this.ranges, layout.inlet) };
  }

  /** Powers brought within their limits, then what could be added added, or else the powers raised to the total. */
  private settled(layout: Layout, fromTop: boolean, pinned: number): Candidate | null {
    const items = this.powers.settle(layout.items, false, fromTop, pinned);
    if (items === null) return null;
    const found = this.checked({ ...layout, items });
    if (found !== null) return found;
    const filled = this.fill?.(items, fromTop) ?? null;
    const light = filled === null ? null : this.checked({ ...layout, items: filled });
    if (light !== null) return light;
    const full = this.powers.settle(items, true, fromTop, pinned);
    return full === null ? null : this.checked({ ...layout, items: full });
  }

  private checked(layout: Layout): Candidate | null {
    const units = this.unitsOf(standingOf(layout.items));
    return this.allowed.allows(units) ? candidateOf(layout, units) : null;
  }

  private following(layout: Layout): Candidate | null {
    const sources = standingOf(layout.items).filter(({ item }) => isSource(item));
    const units = this.unitsOf(sources);
    const loads = this.loadsBeside(units, layout.rack);
    if (loads === null) return null;
    const all = [...units, ...this.unitsOf(loads)].sort((a, b) => a.bottomSlot - b.bottomSlot);
    return this.allowed.keepsRules(all) ? candidateOf(layout, all) : null;
  }

  private loadsBeside(sources: readonly RuledUnit[], rack: number): StandingItem[] | null {
    const { loads } = this.study;
    const { types, slotCount } = this.book;
    if (loads.draw === 'fixed') {
      return loads.units.map(({ id, bottomSlot, power }) => {
        const type = types.load(id, 'loads.units');
        return { item: { type, heightSlots: type.heightSlots, power, weight: 1 }, bottomSlot };
      });
    }
    const { standing, observed } = this;
    if (observed === null || sources.some(({ bottomSlot, heightSlots }) => bottomSlot + heightSlots - 1 > slotCount)) {
      return null;
    }
    standSources(standing, sources);
    if (observed.place(rack, standing, this.unused) < 0) return null;
    return Array.from({ length: standing.count - sources.length }, (_, i) => {
      const at = sources.length + i;
      const type = types.all[standing.type[at]];
      const item = { type, heightSlots: standing.heightSlots[at], power: standing.power[at], weight: 1 };
      return { item, bottomSlot: standing.bottomSlot[at] };
    });
  }

  private unitsOf(standing: readonly StandingItem[]): PlacedUnit[] {
    const { sourceContact, loadContact } = this.ranges;
    return standing.map(({ item, bottomSlot }) => {
      const { type, heightSlots, power, weight } = item;
      if (type === null) throw new RangeError('an empty slot is no unit');
      const resistance = (type.source ? sourceContact : loadContact)?.max ?? type.contact.resistance;
      return placedUnit(type, bottomSlot, heightSlots, power, [resistance, resistance], weight);
    });
  }

  /**
   * Loads moved to the nearest places that the draw cuts beside these sources, one after the other; with `full` every
   * further place taken that may be.
   */
  private tiled(items: readonly Item[], full: boolean, fromTop: boolean): Item[] | null {
    const { tiles, standing, book } = this;
    const all = standingOf(items);
    const sources = all.filter(({ item }) => isSource(item));
    const loads = all.filter(({ item }) => isLoad(item));
    if (tiles === null || loads.length === 0) return null;
    const { item } = loads[0];
    standing.clear();
    for (const { item: source, bottomSlot } of sources) {
      standing.put(source.type?.index ?? -1, bottomSlot, source.heightSlots, 0);
    }
    tiles.prepare(standing, true);
    const free = [...tiles.places.subarray(0, tiles.placeCount)];
    if (fromTop) {
      free.reverse();
      loads.reverse();
    }
    const taken: StandingItem[] = [];
    for (const { bottomSlot } of loads) {
      let nearest = -1;
      free.forEach((place, at) => {
        if (nearest < 0 || Math.abs(place - bottomSlot) < Math.abs(free[nearest] - bottomSlot)) nearest = at;
      });
      if (nearest < 0) break;
      taken.push({ item, bottomSlot: free[nearest] });
      free.splice(nearest, 1);
    }
    if (full) {
      const type = item.type?.index ?? -1;
      for (const { bottomSlot } of taken) standing.put(type, bottomSlot, item.heightSlots, item.power);
      for (const bottomSlot of free) {
        if (taken.length >= tiles.most) break;
        if (item.power > standing.roomInBands(bottomSlot, item.heightSlots)) continue;
        standing.put(type, bottomSlot, item.heightSlots, item.power);
        taken.push({ item, bottomSlot });
      }
    }
    return itemsAt(book.slotCount, [...sources, ...taken]);
  }

  /** Loads put one after the other at the first place that each fits, in their order. */
  private packed(items: readonly Item[], fromTop: boolean): Item[] | null {
    const { standing, book } = this;
    const all = standingOf(items);
    const sources = all.filter(({ item }) => isSource(item));
    const loads = all.filter(({ item }) => isLoad(item));
    if (fromTop) loads.reverse();
    standing.clear();
    for (const { item, bottomSlot } of sources) standing.put(item.type?.index ?? -1, bottomSlot, item.heightSlots, 0);
    const packed: StandingItem[] = [];
    for (const { item } of loads) {
      const type = item.type?.index ?? -1;
      for (let step = 1; step <= book.slotCount; step++) {
        const bottom = fromTop ? book.slotCount + 1 - step : step;
        if (!standing.fits(type, bottom, item.heightSlots)) continue;
        if (item.power > standing.roomInBands(bottom, item.heightSlots)) continue;
        standing.put(type, bottom, item.heightSlots, item.power);
        packed.push({ item, bottomSlot: bottom });
        break;
      }
    }
    return itemsAt(book.slotCount, [...sources, ...packed]);
  }
}

function candidateOf(layout: Layout, units: readonly PlacedUnit[]): Candidate {
  let key = `${layout.inlet}`;
  for (const { equipment, bottomSlot, power, sharingWeight, kind, heightSlots } of units) {
    key += ` ${bottomSlot} ${equipment} ${kind === 'load' ? `${heightSlots} ${power}` : sharingWeight}`;
  }
  return { layout, units, key };
}
