import type { OperatingStateRule } from '../rack/model.js';

/** What the column `state` counts. */
export const OPERATING_STATE_RULES: readonly OperatingStateRule[] = [
  'all-in-service', 'one-source-out', 'batteries-alone',
];
/** What the column `pole` counts. */
export const POLE_NAMES = ['supply', 'return', 'both'] as const;

/** What the column `rated` says of a scenario that was run. */
export const RATED = 1;
export const NOT_RATED = 2;

/**
 * Results of a study, one row per scenario, column by column in shared memory: workers write their rows in place.
 */
const COLUMN_TYPES = {
  /** W; 0 where the rack carries nothing, and where the scenario could not be rated (see `rated`). */
  ratedPower: Float64Array,
  /** 1 = rated, 2 = not rated (see the summary), 0 = not run yet. */
  rated: Uint8Array,
  /** Index into LIMIT_NAMES. */
  limit: Uint8Array,
  /** 1-based slot where it binds, 0 = none. */
  slot: Uint16Array,
  /** 0 supply, 1 return, 2 both. */
  pole: Uint8Array,
  /** Index into OPERATING_STATE_RULES. */
  state: Uint8Array,
  /** Contact slot of the source that is out, 0 = none. */
  outSlot: Uint16Array,
  /** Loads in the rack. */
  loadCount: Uint16Array,
  /** Units of a resampled rack that found no place. */
  unitsLeftOut: Uint16Array,
  /** Index into PLACEMENT_CLASSES. */
  placementClass: Uint8Array,
  /** Mean contact slot of the power shelves. */
  meanSourceSlot: Float32Array,
  /** Mean contact slot of the loads, weighted with their power. */
  meanLoadSlot: Float32Array,
  /** Largest load's part of the total. */
  largestShare: Float32Array,
  contactFactor: Float32Array,
  filmFactor: Float32Array,
  /** NaN-free: −1 stands for "as the rack file says". */
  emissivity: Float32Array,
  areaFactor: Float32Array,
  /** K; −1 stands for "as the rack file says". */
  inlet: Float32Array,
} as const;

export type ColumnName = keyof typeof COLUMN_TYPES;
export const COLUMN_NAMES = Object.keys(COLUMN_TYPES) as ColumnName[];

type Columns = { readonly [Name in ColumnName]: InstanceType<(typeof COLUMN_TYPES)[Name]> };

/** Bytes of one scenario's row. */
export const BYTES_PER_SCENARIO = COLUMN_NAMES.reduce((sum, name) => sum + COLUMN_TYPES[name].BYTES_PER_ELEMENT, 0);

/** Columns of up to `capacity` scenarios; row i is scenario i. */
export class ScenarioTable {
  readonly columns: Columns;

  /** @param memory shared memory of an existing table, for workers */
  constructor(
    readonly capacity: number,
    readonly memory: SharedArrayBuffer = new SharedArrayBuffer(capacity * BYTES_PER_SCENARIO),
  ) {
    let offset = 0;
    const columns: Partial<Record<ColumnName, unknown>> = {};
    // Widest first keeps every column aligned.
    const bySize = [...COLUMN_NAMES].sort(
      (a, b) => COLUMN_TYPES[b].BYTES_PER_ELEMENT - COLUMN_TYPES[a].BYTES_PER_ELEMENT,
    );
    for (const name of bySize) {
      const Type = COLUMN_TYPES[name];
      columns[name] = new (Type as Float64ArrayConstructor)(this.memory, offset, capacity);
      offset += capacity * Type.BYTES_PER_ELEMENT;
    }
    this.columns = columns as Columns;
  }

  /** Rows from..to (exclusive) as bytes, column after column. */
  readRows(from: number, to: number): Uint8Array {
    const bytes = new Uint8Array((to - from) * BYTES_PER_SCENARIO);
    let at = 0;
    for (const name of COLUMN_NAMES) {
      const column = this.columns[name];
      const width = column.BYTES_PER_ELEMENT;
      bytes.set(new Uint8Array(this.memory, column.byteOffset + from * width, (to - from) * width), at);
      at += (to - from) * width;
    }
    return bytes;
  }

  /** Puts rows back that {@link readRows} gave. */
  writeRows(from: number, to: number, bytes: Uint8Array): void {
    let at = 0;
    for (const name of COLUMN_NAMES) {
      const column = this.columns[name];
      const width = column.BYTES_PER_ELEMENT;
      const part = bytes.subarray(at, at + (to - from) * width);
      new Uint8Array(this.memory, column.byteOffset + from * width, part.length).set(part);
      at += part.length;
    }
  }
}
