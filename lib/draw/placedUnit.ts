import type { PlacedUnit } from './scenario.js';
import type { UnitType } from './unitTypes.js';

/** One unit of a catalogue type at a place; sources draw no power and loads have no limits of their own. */
export function placedUnit(
  type: UnitType,
  bottomSlot: number,
  heightSlots: number,
  power: number,
  contactResistance: readonly [number, number],
  sharingWeight: number,
): PlacedUnit {
  const { source } = type;
  const unit = {
    kind: type.kind,
    equipment: type.id,
    bottomSlot,
    heightSlots,
    contactSlot: bottomSlot + type.contactSlot - 1,
    power,
    contactResistance,
    contactThermalResistance: type.contact.thermalResistance,
    contactHeatShare: type.contact.heatShare,
    contactEdgeHeight: type.contact.edgeHeight,
    heatConductance: type.heatPath.conductance,
    heatRise: type.heatPath.rise,
    sharingWeight,
    maxCurrent: source ? source.maxCurrent : Infinity,
    maxPower: source ? source.maxPower : Infinity,
    droopResistance: source ? source.droopResistance : 0,
  };
  return type.groundContact === null ? unit : { ...unit, groundContact: type.groundContact };
}
