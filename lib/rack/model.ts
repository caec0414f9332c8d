/**
 * What a rack is, once its files have been read and checked.
 *
 * Units: SI without suffix (m, m², Ω, W, A, V, K, W/K, kg). Temperatures are kelvin;
 * files, screens and tables use °C, mm, µΩ and kW with the unit in the name.
 */

/** A conductor material; resistivity at T is `resistivity20·(1 + temperatureCoefficient·(T − 293.15 K))`. */
export interface Material {
  readonly id: string;
  /** Ω·m at 20 °C. */
  readonly resistivity20: number;
  /** 1/K, referred to 20 °C. */
  readonly temperatureCoefficient: number;
  /** W/(m·K). */
  readonly thermalConductivity: number;
  /** kg/m³. */
  readonly density: number;
  /** J/(kg·K). */
  readonly specificHeat: number;
  /** Where the figures come from. */
  readonly source: string;
}

/** Parallel flat plates of one pole. `depth` is the broad face, `gap` the clear distance between neighbours. */
export interface Plates {
  readonly count: number;
  readonly depth: number;
  readonly thickness: number;
  readonly gap: number;
}

/** A film model for one kind of face. */
export type Film =
  | { readonly model: 'still-air' }
  | { readonly model: 'slender-still-air' }
  | { readonly model: 'handbook' }
  | { readonly model: 'channel' }
  | { readonly model: 'moving-air'; readonly speed: number }
  | { readonly model: 'fixed'; readonly coefficient: number };

/** Which film acts on which faces. Facing faces exist only where plates face each other across a gap. */
export interface Films {
  readonly outerFaces: Film;
  readonly edges: Film;
  readonly facingFaces: Film;
  /** Multiplies every convective film; carries calibration. */
  readonly factor: number;
}

/** A stretch of one pole with one cross-section, covering slots `fromSlot..toSlot` (1-based, inclusive). */
export interface Section {
  readonly fromSlot: number;
  readonly toSlot: number;
  readonly material: Material;
  readonly plates: Plates;
  /** 0..1, outer envelope. */
  readonly emissivity: number;
  /** How many of the two outer broad faces the air reaches: 2 free, 1 backed by an insulator, 0 both covered. */
  readonly openFaces: 0 | 1 | 2;
}

/** A bolted connection between slot `aboveSlot` and the next slot up. */
export interface Joint {
  readonly aboveSlot: number;
  /** Ω. */
  readonly resistance: number;
}

export interface Pole {
  readonly sections: readonly Section[];
  readonly joints: readonly Joint[];
}

/** Where a unit's connector grips one pole of the bar. */
export interface Contact {
  /** Ω, one pole. */
  readonly resistance: number;
  /** K/W between contact spot and bar: T_contact = T_bar + I²·R·thermalResistance, T_bar at the contact. */
  readonly thermalResistance: number;
  /** Share of the contact heat that enters the bar, 0..1. */
  readonly heatShare: number;
  /**
   * m along the front edge of the bar, where current and heat must spread over the depth; 0: the contact grips the
   * whole depth, and nothing spreads.
   */
  readonly edgeHeight: number;
}

/** Heat path between a unit and the bar besides the contact's own heat. */
export interface UnitHeatPath {
  /** W/K to each pole. */
  readonly conductance: number;
  /** Temperature of the unit's end of the path above the local air, K. */
  readonly rise: number;
}

/** Where a unit's return side touches the metal frame. */
export interface GroundContact {
  /** Ω. */
  readonly resistance: number;
  /** A; Infinity where no limit is given. */
  readonly maxCurrent: number;
}

export type SourceKind = 'power-shelf' | 'battery-shelf';

/** A source type of the equipment catalogue. */
export interface SourceType {
  /** Only where the catalogue gives one; of account in a rack with a frame. */
  readonly groundContact?: GroundContact;
  readonly id: string;
  readonly name: string;
  readonly kind: SourceKind;
  readonly heightSlots: number;
  /** Which slot of the unit holds the contact, 1 = its lowest. */
  readonly contactSlot: number;
  /** A; Infinity where no limit is given. */
  readonly maxCurrent: number;
  /** W at the source's terminals; Infinity where no limit is given. */
  readonly maxPower: number;
  readonly contact: Contact;
  readonly heatPath: UnitHeatPath;
  /** Ω, used with droop sharing; 0 where the catalogue gives none. */
  readonly droopResistance: number;
  /** kg. */
  readonly mass: number;
}

/** A load type of the equipment catalogue. */
export interface LoadType {
  /** As for a source. */
  readonly groundContact?: GroundContact;
  readonly id: string;
  readonly name: string;
  readonly heightSlots: number;
  readonly contactSlot: number;
  /** W, range from which a unit's power is drawn. */
  readonly power: { readonly min: number; readonly max: number };
  /** Weight in the mix, > 0. */
  readonly mixWeight: number;
  readonly contact: Contact;
  readonly heatPath: UnitHeatPath;
  readonly mass: number;
}

export interface Catalogue {
  readonly name: string;
  readonly sources: readonly SourceType[];
  readonly loads: readonly LoadType[];
}

/** The air beside the bar. */
export interface Air {
  /** K, at the rack's inlet. */
  readonly inlet: number;
  /** K above the inlet, `[slot]`: the still profile without any load. */
  readonly profile: readonly number[];
  /** Rise of the air beside the bar per load heat in that slot, K/W. */
  readonly exhaustRise: number;
  /** m above sea level. */
  readonly altitude: number;
  /** K, what the bar radiates to; null: the local air. */
  readonly surroundings: number | null;
}

/** Limits of the rack itself; sources carry their own. Infinity (or −Infinity for a voltage) where none is set. */
export interface Limits {
  /** K above the local air. */
  readonly barRise: number;
  /** K, absolute. */
  readonly barTemperature: number;
  /** K, absolute. */
  readonly contactTemperature: number;
  /** A. */
  readonly loadContactCurrent: number;
  /** V at a load's terminals. */
  readonly lowestLoadVoltage: number;
}

/** A connection between the return pole and the frame. */
export interface Bond {
  readonly slot: number;
  /** Ω. */
  readonly resistance: number;
  /** A; Infinity where no limit is given. */
  readonly maxCurrent: number;
}

/** The metal frame as a third path, beside the return pole. Its heat does not reach the bar. */
export interface Frame {
  /** Ω per metre of height. */
  readonly resistancePerMetre: number;
  /** At most one in a slot. */
  readonly bonds: readonly Bond[];
}

export type Sharing =
  | { readonly model: 'equal' }
  | { readonly model: 'droop' };

export type OperatingStateRule = 'all-in-service' | 'one-source-out' | 'batteries-alone';

export interface Rack {
  readonly name: string;
  readonly slotCount: number;
  /** m, height of one slot. */
  readonly pitch: number;
  readonly supply: Pole;
  readonly return: Pole;
  readonly films: Films;
  readonly air: Air;
  readonly limits: Limits;
  /** V. */
  readonly setVoltage: number;
  readonly sharing: Sharing;
  readonly operatingStates: readonly OperatingStateRule[];
  /** Only where return current may flow through it. */
  readonly frame?: Frame;
}

/** Names of the two poles, in the order of every `[pole × slot]` array. */
export const POLES = ['supply', 'return'] as const;

/** 0 °C in kelvin. */
export const ZERO_CELSIUS = 273.15;
