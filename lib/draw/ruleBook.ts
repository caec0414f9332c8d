import { InputError } from '../rack/errors.js';
import type { Rule, Study, UnitSelector } from '../rack/studyModel.js';
import { covers, unitTypes, type UnitType, type UnitTypes } from './unitTypes.js';

/** Slack for sums of powers against a cap, relative: what rounding may add, far below anything that matters. */
const ROUNDING = 1e-9;

/** Units of these types, taken together, under one rule. `members[type]` is 1 where the rule covers the type. */
export interface SpacedUnits {
  readonly members: Uint8Array;
  readonly slotsBetween: number;
}

export interface PowerBand {
  readonly fromSlot: number;
  readonly toSlot: number;
  /** W. */
  readonly power: number;
}

/** The rules of a study, resolved for every type of its catalogue. All slots 1-based. */
export interface RuleBook {
  readonly slotCount: number;
  readonly types: UnitTypes;
  /** `[type][slot]`: 1 where a unit of the type may take the slot; entries 0 and slotCount+1 are 0. */
  readonly permittedSlots: readonly Uint8Array[];
  /** `[type × type]`: 1 where a unit of the one may not stand directly above or below one of the other. */
  readonly mayNotTouch: Uint8Array;
  readonly apart: readonly SpacedUnits[];
  /** Each entry: `members[type]` of one `together` rule. */
  readonly together: readonly Uint8Array[];
  /** Slots that must stay empty. */
  readonly minFreeSlots: number;
  /** W per slot of a load unit's height; Infinity where no rule caps it. */
  readonly powerPerSlot: number;
  readonly powerInBand: readonly PowerBand[];
}

/**
 * Resolves the rules of a study.
 * @throws InputError when a rule names an id the catalogue does not have
 */
export function ruleBook(study: Study): RuleBook {
  const types = unitTypes(study.catalogue);
  const slotCount = study.rack.slotCount;
  const typeCount = types.all.length;
  const permittedSlots = types.all.map(() => new Uint8Array(slotCount + 2).fill(1, 1, slotCount + 1));
  const mayNotTouch = new Uint8Array(typeCount * typeCount);
  const apart: SpacedUnits[] = [];
  const together: Uint8Array[] = [];
  const powerInBand: PowerBand[] = [];
  let minFreeSlots = 0;
  let powerPerSlot = Infinity;

  study.rules.forEach((rule, index) => {
    switch (rule.rule) {
      case 'only-in-band':
      case 'keep-out':
        forbidSlots(rule, covered(types, rule.units, index, 'units'), permittedSlots);
        break;
      case 'not-next-to': {
        const near = covered(types, rule.neighbours, index, 'neighbours');
        for (const one of covered(types, rule.units, index, 'units')) {
          for (const other of near) {
            mayNotTouch[one.index * typeCount + other.index] = 1;
            mayNotTouch[other.index * typeCount + one.index] = 1;
          }
        }
        break;
      }
      case 'together':
        together.push(membership(typeCount, covered(types, rule.units, index, 'units')));
        break;
      case 'apart':
        apart.push({
          members: membership(typeCount, covered(types, rule.units, index, 'units')),
          slotsBetween: rule.slotsBetween,
        });
        break;
      case 'min-free-slots':
        minFreeSlots = Math.max(minFreeSlots, rule.count);
        break;
      case 'max-power-per-slot':
        powerPerSlot = Math.min(powerPerSlot, rule.power);
        break;
      case 'max-power-in-band':
        powerInBand.push({ fromSlot: rule.fromSlot, toSlot: rule.toSlot, power: rule.power });
        break;
    }
  });
  return { slotCount, types, permittedSlots, mayNotTouch, apart, together, minFreeSlots, powerPerSlot, powerInBand };
}

/** Whether a power keeps a cap (both W), to rounding. */
export function withinCap(power: number, cap: number): boolean {
  return power <= cap * (1 + ROUNDING);
}

/** Share of a unit's slots that lie in the band, 0..1. */
export function shareInBand(
  band: { readonly fromSlot: number; readonly toSlot: number },
  bottomSlot: number,
  heightSlots: number,
): number {
  const from = Math.max(band.fromSlot, bottomSlot);
  const to = Math.min(band.toSlot, bottomSlot + heightSlots - 1);
  return Math.max(0, to - from + 1) / heightSlots;
}

/** `[bottomSlot]`, length slotCount+2: 1 where all slots of a unit of this type and height are permitted. */
export function permittedBottoms(book: RuleBook, type: number, heightSlots: number): Uint8Array {
  const slots = book.permittedSlots[type];
  const bottoms = new Uint8Array(book.slotCount + 2);
  for (let bottom = 1; bottom + heightSlots - 1 <= book.slotCount; bottom++) {
    let allowed = 1;
    for (let slot = bottom; slot < bottom + heightSlots; slot++) allowed &= slots[slot];
    bottoms[bottom] = allowed;
  }
  return bottoms;
}

function forbidSlots(
  rule: Extract<Rule, { rule: 'only-in-band' | 'keep-out' }>,
  units: readonly UnitType[],
  permittedSlots: readonly Uint8Array[],
): void {
  for (const type of units) {
    const slots = permittedSlots[type.index];
    for (let slot = 1; slot < slots.length - 1; slot++) {
      const inBand = slot >= rule.fromSlot && slot <= rule.toSlot;
      if (inBand === (rule.rule === 'keep-out')) slots[slot] = 0;
    }
  }
}

function covered(types: UnitTypes, selector: UnitSelector, ruleIndex: number, field: string): readonly UnitType[] {
  const found = types.all.filter((type) => covers(selector, type.kind, type.id));
  if (found.length > 0 || typeof selector !== 'object') return found;
  throw new InputError([
    {
      file: 'study',
      path: `rules[${ruleIndex}].${field}.id`,
      found: `"${selector.id}"`,
      allowed: `an id of the equipment catalogue is allowed: ${types.all.map((type) => type.id).join(', ')}`,
    },
  ]);
}

function membership(typeCount: number, units: readonly UnitType[]): Uint8Array {
  const members = new Uint8Array(typeCount);
  for (const type of units) members[type.index] = 1;
  return members;
}
