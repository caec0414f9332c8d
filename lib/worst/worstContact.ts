/** Contacts of units at the worst ends of their ranges. */
import type { UnitType } from '../draw/unitTypes.js';
import type { WorstContact } from './targetTerms.js';
import type { ToleranceRanges } from './toleranceRanges.js';

/** The contact of a unit with the highest resistance that the ranges allow. */
export function worstContact(type: UnitType, ranges: ToleranceRanges): WorstContact {
  const range = type.source === null ? ranges.loadContact : ranges.sourceContact;
  const { resistance, heatShare, edgeHeight, thermalResistance } = type.contact;
  return { resistance: (range?.max ?? resistance) * ranges.contactFactor.max, heatShare, edgeHeight, thermalResistance };
}
