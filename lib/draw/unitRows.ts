import type { GroundContact } from '../rack/model.js';
import { type Build, NOMINAL_BUILD, type PlacedUnit, type Scenario, type UnitKind } from './scenario.js';

/** Numbers of a unit, in the order in which the ladder's kernel reads them (lib/ladder/kernel/assembly/mount.ts). */
export const UNIT_FIELDS = 16;
/** `kind` is a position in UNIT_KINDS; the last four speak of sources only. Units as in {@link PlacedUnit}. */
export const UNIT = {
  kind: 0, bottomSlot: 1, heightSlots: 2, contactSlot: 3, power: 4, supplyResistance: 5, returnResistance: 6,
  thermalResistance: 7, heatShare: 8, edgeHeight: 9, heatConductance: 10, heatRise: 11,
  sharingWeight: 12, maxCurrent: 13, maxPower: 14, droopResistance: 15,
} as const;
export const UNIT_KINDS: readonly UnitKind[] = ['load', 'power-shelf', 'battery-shelf'];
export const LOAD = 0;
export const POWER_SHELF = 1;
export const BATTERY_SHELF = 2;

/** What a unit is called and how it is grounded. */
interface UnitName {
  readonly id: string;
  readonly groundContact: GroundContact | null;
}

/**
 * One scenario as rows of numbers, one unit after the other from the bottom up. Kept and filled anew: drawing and rating a
 * million scenarios this way makes no object for any unit.
 */
export class UnitRows {
  /** As {@link Scenario.index}. */
  index = -1;
  count = 0;
  build: Build = NOMINAL_BUILD;
  /** `[unit]`. */
  readonly names: UnitName[] = [];

  /** @param numbers `[unit × UNIT_FIELDS]`, for as many units as the rack has slots */
  constructor(slotCount: number, readonly numbers: Float64Array = new Float64Array(UNIT_FIELDS * slotCount)) {}

  /** @throws RangeError where the scenario has more units than there are slots */
  take({ index, units, build }: Scenario): void {
    const most = this.numbers.length / UNIT_FIELDS;
    if (units.length > most) throw new RangeError(`scenario ${index}: ${units.length} units in a rack of ${most} slots`);
    this.index = index;
    this.build = build;
    this.count = units.length;
    units.forEach((unit, k) => {
      this.put(k, unit);
    });
  }

  private put(k: number, unit: PlacedUnit): void {
    const { numbers } = this;
    const at = UNIT_FIELDS * k;
    this.names[k] = { id: unit.equipment, groundContact: unit.groundContact ?? null };
    numbers[at + UNIT.kind] = UNIT_KINDS.indexOf(unit.kind);
    numbers[at + UNIT.bottomSlot] = unit.bottomSlot;
    numbers[at + UNIT.heightSlots] = unit.heightSlots;
    numbers[at + UNIT.contactSlot] = unit.contactSlot;
    numbers[at + UNIT.power] = unit.power;
    numbers[at + UNIT.supplyResistance] = unit.contactResistance[0];
    numbers[at + UNIT.returnResistance] = unit.contactResistance[1];
    numbers[at + UNIT.thermalResistance] = unit.contactThermalResistance;
    numbers[at + UNIT.heatShare] = unit.contactHeatShare;
    numbers[at + UNIT.edgeHeight] = unit.contactEdgeHeight;
    numbers[at + UNIT.heatConductance] = unit.heatConductance;
    numbers[at + UNIT.heatRise] = unit.heatRise;
    numbers[at + UNIT.sharingWeight] = unit.sharingWeight;
    numbers[at + UNIT.maxCurrent] = unit.maxCurrent;
    numbers[at + UNIT.maxPower] = unit.maxPower;
    numbers[at + UNIT.droopResistance] = unit.droopResistance;
  }

  /** The scenario as objects. */
  scenario(): Scenario {
    return { index: this.index, units: Array.from({ length: this.count }, (_, k) => this.unit(k)), build: this.build };
  }

  private unit(k: number): PlacedUnit {
    const { numbers } = this;
    const at = UNIT_FIELDS * k;
    const { id, groundContact } = this.names[k];
    const unit: PlacedUnit = {
      kind: UNIT_KINDS[numbers[at + UNIT.kind]],
      equipment: id,
      bottomSlot: numbers[at + UNIT.bottomSlot],
      heightSlots: numbers[at + UNIT.heightSlots],
      contactSlot: numbers[at + UNIT.contactSlot],
      power: numbers[at + UNIT.power],
      contactResistance: [numbers[at + UNIT.supplyResistance], numbers[at + UNIT.returnResistance]],
      contactThermalResistance: numbers[at + UNIT.thermalResistance],
      contactHeatShare: numbers[at + UNIT.heatShare],
      contactEdgeHeight: numbers[at + UNIT.edgeHeight],
      heatConductance: numbers[at + UNIT.heatConductance],
      heatRise: numbers[at + UNIT.heatRise],
      sharingWeight: numbers[at + UNIT.sharingWeight],
      maxCurrent: numbers[at + UNIT.maxCurrent],
      maxPower: numbers[at + UNIT.maxPower],
      droopResistance: numbers[at + UNIT.droopResistance],
    };
    return groundContact === null ? unit : { ...unit, groundContact };
  }
}

/** The numbers of a catalogue type that are the same wherever a unit of it stands; the others are 0. */
export function unitTemplate(unit: PlacedUnit): Float64Array {
  const rows = new UnitRows(1);
  rows.take({ index: -1, units: [unit], build: NOMINAL_BUILD });
  return rows.numbers;
}
