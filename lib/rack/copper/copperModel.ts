/** What a copper file asks, once it has been read and checked. SI inside (m, kg, W), see model.ts. */
import type { Joint } from '../model.js';

/** What a bar is changed in; a key that is left out stays as the base has it. */
export interface PlateChange {
  /** m, broad face of a plate. */
  readonly depth?: number;
  /** m. */
  readonly thickness?: number;
  /** Plates of a pole. */
  readonly count?: number;
  /** m, clear distance between neighbouring plates. */
  readonly gap?: number;
  /** Id of a built-in material, or of one that the base uses. */
  readonly material?: string;
}

/** A stretch of a stepped bar; what it leaves out is as the change around it says, else as the base at `fromSlot`. */
export interface SectionChange extends PlateChange {
  readonly fromSlot: number;
  readonly toSlot: number;
}

/** A variant of a base rack's bar. */
export interface BarChange extends PlateChange {
  /** Default: both. */
  readonly poles?: 'both' | 'supply' | 'return';
  /** Multiplies depth and thickness of every plate, after all else. */
  readonly scale?: number;
  /** Moves the one joint of the base. */
  readonly jointAboveSlot?: number;
  /** In place of the base's joints. */
  readonly joints?: readonly Joint[];
  /**
   * Stepped bar, from bottom to top. Where the base has joints, each meeting of two sections gets one of the base's
   * resistance in their place, unless `joints` says otherwise.
   */
  readonly sections?: readonly SectionChange[];
}

export interface NamedChange {
  readonly name: string;
  readonly change: BarChange;
}

/** Which dimension is varied continuously, within which ends (m, or a factor for `scale`). */
export interface LeastRequest {
  /** W to be carried. */
  readonly wanted: number;
  readonly basis: 'percentile' | 'floor';
  readonly vary: 'depth' | 'thickness' | 'scale';
  readonly from: number;
  readonly to: number;
  /** m; with `scale`, of the depth of the deepest plate. */
  readonly tolerance: number;
  readonly poles: 'both' | 'supply' | 'return';
}

/** A place on the floor plan: m from the front and from the left edge of the base. */
export interface FloorPlace {
  readonly fromFront: number;
  readonly fromLeft: number;
}

/** What a tipping angle needs beside the catalogue's masses; nothing of it is assumed. */
export interface BalanceData {
  /** The rack without bar and units: kg, m above the floor. */
  readonly rack: FloorPlace & { readonly mass: number; readonly centreHeight: number };
  /** m. */
  readonly base: { readonly depth: number; readonly width: number };
  /** Lines on which the outermost feet stand, m from the front and from the left edge of the base. */
  readonly feet: { readonly front: number; readonly rear: number; readonly left: number; readonly right: number };
  /** m from the floor to the lower edge of slot 1. */
  readonly firstSlotHeight: number;
  readonly bar: FloorPlace;
  /** Centre of mass of a unit, at half its height. */
  readonly units: FloorPlace;
  /** Catalogue ids whose centre of mass is elsewhere. */
  readonly unitsElsewhere: ReadonlyMap<string, FloorPlace>;
}

export interface CopperRequest {
  readonly name: string;
  /** Fraction 0..1: the percentile of rated power that designs are compared by. */
  readonly percentile: number;
  /** Null: as many as the study says. */
  readonly scenarios: number | null;
  /** W, total load at which drop and heat are stated. */
  readonly load: number;
  /** Of a kilogram, by id of the material. */
  readonly prices: ReadonlyMap<string, number>;
  readonly currency: string | null;
  readonly designs: readonly NamedChange[];
  readonly least: LeastRequest | null;
  /** Null: no floor is proven. `seconds` for each design. */
  readonly floor: { readonly seconds: number; readonly coverPercent: number | null } | null;
  /** Runs with seeds of their own from which the worth of common scenarios is measured; 0: none. */
  readonly varianceRuns: number;
  readonly balance: BalanceData | null;
}
