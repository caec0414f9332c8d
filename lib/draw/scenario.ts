/**
 * One placement plus one draw of the uncertain quantities. SI inside (W, Ω, K).
 */

import type { GroundContact } from '../rack/model.js';

export type UnitKind = 'power-shelf' | 'battery-shelf' | 'load';

/** One unit of equipment standing in the rack. */
export interface PlacedUnit {
  readonly kind: UnitKind;
  /** Catalogue id. */
  readonly equipment: string;
  /** Lowest slot it takes, 1-based. */
  readonly bottomSlot: number;
  readonly heightSlots: number;
  /** Slot of its contact, 1-based in the rack. */
  readonly contactSlot: number;
  /** W as drawn; for a load its weight in the placement's proportions, 0 for a source. */
  readonly power: number;
  /** Ω on the supply and on the return pole. */
  readonly contactResistance: readonly [number, number];
  /** K/W. */
  readonly contactThermalResistance: number;
  readonly contactHeatShare: number;
  /** m, height of the contact along the front edge of the bar; 0: it grips the whole depth. */
  readonly contactEdgeHeight: number;
  /** Only where the unit has one. */
  readonly groundContact?: GroundContact;
  /** W/K and K, see UnitHeatPath. */
  readonly heatConductance: number;
  readonly heatRise: number;
  /** Sources only: share of the total current relative to the mean, 1 = its equal share. */
  readonly sharingWeight: number;
  /** Sources only: A, W; Infinity where not limited. */
  readonly maxCurrent: number;
  readonly maxPower: number;
  /** Sources only: Ω, used with droop sharing. */
  readonly droopResistance: number;
}

/** Scenario-wide values of the uncertain quantities. */
export interface Build {
  /** Multiplies every contact resistance. */
  readonly contactFactor: number;
  /** Multiplies every convective film on top of the rack's own factor. */
  readonly filmFactor: number;
  /** Replaces every section's emissivity; null: as the rack file says. */
  readonly emissivity: number | null;
  /** Multiplies every cross-section's area. */
  readonly areaFactor: number;
  /** K; null: as the rack file says. */
  readonly inlet: number | null;
}

export interface Scenario {
  /** Of the study; −1 for a placement that was not drawn. */
  readonly index: number;
  /** Ordered by bottomSlot. */
  readonly units: readonly PlacedUnit[];
  readonly build: Build;
}

/** The build as drawn in the files: nothing varies. */
export const NOMINAL_BUILD: Build = {
  contactFactor: 1,
  filmFactor: 1,
  emissivity: null,
  areaFactor: 1,
  inlet: null,
};
