import type { Pole, Rack, Section } from './model.js';

/** Cross-section of all plates of a section together: count · depth · thickness, m². */
export function sectionArea(section: Section): number {
  return section.plates.count * section.plates.depth * section.plates.thickness;
}

/**
 * The section that covers a slot (1-based).
 *
 * @throws RangeError where the pole has no such slot.
 */
export function sectionAt(pole: Pole, slot: number): Section {
  const section = pole.sections.find(({ fromSlot, toSlot }) => slot >= fromSlot && slot <= toSlot);
  if (section === undefined) {
    throw new RangeError(`no section of the pole covers slot ${slot}`);
  }
  return section;
}

/** Conductor mass, kg. */
export interface ConductorMass {
  readonly supply: number;
  readonly return: number;
  readonly total: number;
}

/**
 * Mass of the bar itself, without joints and contacts: Σ density · area · pitch · slots over the sections of a pole,
 * as the bar runs the full height `slotCount · pitch`.
 */
export function conductorMass(rack: Rack): ConductorMass {
  const poleMass = (pole: Pole): number => pole.sections.reduce((sum, section) => {
    const length = (section.toSlot - section.fromSlot + 1) * rack.pitch;
    return sum + section.material.density * sectionArea(section) * length;
  }, 0);
  const supply = poleMass(rack.supply);
  const returned = poleMass(rack.return);
  return { supply, return: returned, total: supply + returned };
}
