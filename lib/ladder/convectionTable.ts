/**
 * Convection of one cross-section as a table over the air temperature and the square root of the rise, so that the
 * solver pays a few multiplications a node whatever the films are and however many faces they cool.
 *
 * Between the nodes of the grid stands the bicubic Hermite polynomial, which is smooth across cells: Newton's method
 * converges on it as on the films themselves. Cells are filled when they are first asked for, from the film laws alone,
 * so a value does not depend on what was asked before. Relative error of heat below 2e-9 (test); outside the grid, for
 * rises below 2.25 K or above 256 K and for bars colder than the air, the film laws answer themselves.
 */
import type { Surface } from './surface.js';

/** √K. */
const ROOT_MIN = 1.5;
const ROOT_MAX = 16;
const ROOTS_PER_UNIT = 32;
const ROOT_CELLS = (ROOT_MAX - ROOT_MIN) * ROOTS_PER_UNIT;
/** K. */
const AIR_MIN = 220;
const AIR_MAX = 440;
const AIR_STEP = 2;
const AIR_CELLS = (AIR_MAX - AIR_MIN) / AIR_STEP;
/** Coefficients of one cell. */
const CELL = 16;
/** K, step of the differences along the air temperature. */
const DIFFERENCE = 0.5;

/** Part of the grid of a {@link ConvectionTable}, every cell of it filled, for programs that evaluate it elsewhere. */
export interface ConvectionCells {
  /** √K at the lower edge of the first cell; cells per √K; cells along the root. */
  readonly rootFrom: number;
  readonly rootsPerUnit: number;
  readonly rootCells: number;
  /** K at the lower edge of the first cell; K per cell; cells along the air temperature. */
  readonly airFrom: number;
  readonly airStep: number;
  readonly airCells: number;
  /** W/m, `[air cell × root cell × power of the root × power of the air]`, places within a cell from 0 to 1. */
  readonly coefficients: Float64Array;
}

export class ConvectionTable {
  /** `[air cell × root cell × power of the root × power of the air]`; cells of zeros are not filled yet. */
  private readonly cells = new Float64Array(AIR_CELLS * ROOT_CELLS * CELL);
  private readonly one = { temperature: new Float64Array(1), air: new Float64Array(1), heat: new Float64Array(1), slope: new Float64Array(1) };

  constructor(private readonly surface: Surface) {}

  /** As {@link Surface.addConvection}, but sets heat and slope rather than adding to them. */
  setConvection(
    temperature: Float64Array, air: Float64Array, slot: number, count: number, stride: number, offset: number,
    heat: Float64Array, slope: Float64Array,
  ): void {
    const { cells } = this;
    for (let s = slot, e = slot * stride + offset; s < slot + count; s++, e += stride) {
      const airPlace = (air[s] - AIR_MIN) * (1 / AIR_STEP);
      const root = Math.sqrt(temperature[e] - air[s]);
      const place = (root - ROOT_MIN) * ROOTS_PER_UNIT;
      // Not a number where the bar is colder than the air: then no comparison holds.
      if (!(place >= 0 && place < ROOT_CELLS && airPlace >= 0 && airPlace < AIR_CELLS)) {
        this.setByLaws(temperature, air, s, e, heat, slope);
        continue;
      }
      const i = place | 0;
      const j = airPlace | 0;
      const x = place - i;
      const y = airPlace - j;
      const k = (j * ROOT_CELLS + i) * CELL;
      if (cells[k] === 0) this.fill(i, j);
      const p0 = cells[k] + y * (cells[k + 1] + y * (cells[k + 2] + y * cells[k + 3]));
      const p1 = cells[k + 4] + y * (cells[k + 5] + y * (cells[k + 6] + y * cells[k + 7]));
      const p2 = cells[k + 8] + y * (cells[k + 9] + y * (cells[k + 10] + y * cells[k + 11]));
      const p3 = cells[k + 12] + y * (cells[k + 13] + y * (cells[k + 14] + y * cells[k + 15]));
      heat[e] = p0 + x * (p1 + x * (p2 + x * p3));
      slope[e] = ((p1 + x * (2 * p2 + 3 * x * p3)) * (0.5 * ROOTS_PER_UNIT)) / root;
    }
  }

  /**
   * The cells that hold air temperatures from `airFrom` to `airTo`, K, over all rises of the table.
   * @throws RangeError for a range that is empty or not within the table
   */
  filledCells(airFrom: number, airTo: number): ConvectionCells {
    if (!(airFrom >= AIR_MIN && airFrom < airTo && airTo <= AIR_MAX)) {
      throw new RangeError(`air from ${airFrom} K to ${airTo} K: must ascend within ${AIR_MIN} K to ${AIR_MAX} K`);
    }
    const first = Math.floor((airFrom - AIR_MIN) / AIR_STEP);
    const end = Math.ceil((airTo - AIR_MIN) / AIR_STEP);
    const size = ROOT_CELLS * CELL;
    for (let j = first; j < end; j++) {
      for (let i = 0; i < ROOT_CELLS; i++) if (this.cells[j * size + i * CELL] === 0) this.fill(i, j);
    }
    return {
      rootFrom: ROOT_MIN, rootsPerUnit: ROOTS_PER_UNIT, rootCells: ROOT_CELLS,
      airFrom: AIR_MIN + first * AIR_STEP, airStep: AIR_STEP, airCells: end - first,
      coefficients: this.cells.slice(first * size, end * size),
    };
  }

  private setByLaws(
    temperature: Float64Array, air: Float64Array, slot: number, entry: number, heat: Float64Array, slope: Float64Array,
  ): void {
    const { one } = this;
    one.temperature[0] = temperature[entry];
    one.air[0] = air[slot];
    one.heat[0] = 0;
    one.slope[0] = 0;
    this.surface.addConvection(one.temperature, one.air, 0, 1, 1, 0, one.heat, one.slope);
    heat[entry] = one.heat[0];
    slope[entry] = one.slope[0];
  }

  private fill(i: number, j: number): void {
    // Values and differences per cell at the four corners: f, f_x, f_y, f_xy.
    const corners = [this.corner(i, j), this.corner(i, j + 1), this.corner(i + 1, j), this.corner(i + 1, j + 1)];
    const at = (corner: number, kind: number): number => corners[corner][kind];
    // Along the air first: cubic in y at both ends of x, for the value and for its slope along x.
    const rows = [[0, 1, 0, 2], [0, 1, 1, 3], [2, 3, 0, 2], [2, 3, 1, 3]]
      .map(([low, high, value, slope]) => hermite(at(low, value), at(high, value), at(low, slope), at(high, slope)));
    const [low, lowSlope, high, highSlope] = rows;
    const k = (j * ROOT_CELLS + i) * CELL;
    for (let m = 0; m < 4; m++) {
      const along = hermite(low[m], high[m], lowSlope[m], highSlope[m]);
      for (let n = 0; n < 4; n++) this.cells[k + 4 * n + m] = along[n];
    }
  }

  /** Heat, and its differences along the root, the air and both, per cell, at a node of the grid. */
  private corner(i: number, j: number): readonly [number, number, number, number] {
    const root = ROOT_MIN + i / ROOTS_PER_UNIT;
    const air = AIR_MIN + j * AIR_STEP;
    const here = this.heatAt(air, root);
    const at = [-2, -1, 1, 2].map((n) => this.heatAt(air + n * DIFFERENCE, root));
    const derivative = (kind: 'heat' | 'slope'): number =>
      (at[0][kind] - at[3][kind] + 8 * (at[2][kind] - at[1][kind])) / (12 * DIFFERENCE);
    const perRoot = (2 * root) / ROOTS_PER_UNIT;
    return [
      here.heat, perRoot * here.slope, AIR_STEP * derivative('heat'), AIR_STEP * perRoot * derivative('slope'),
    ];
  }

  private heatAt(air: number, root: number): { readonly heat: number; readonly slope: number } {
    const { one } = this;
    one.temperature[0] = air + root * root;
    one.air[0] = air;
    one.heat[0] = 0;
    one.slope[0] = 0;
    this.surface.addConvection(one.temperature, one.air, 0, 1, 1, 0, one.heat, one.slope);
    return { heat: one.heat[0], slope: one.slope[0] };
  }
}

/** Coefficients in 0..1 of the cubic with these values and slopes at its ends. */
function hermite(y0: number, y1: number, d0: number, d1: number): [number, number, number, number] {
  return [y0, d0, 3 * (y1 - y0) - 2 * d0 - d1, 2 * (y0 - y1) + d0 + d1];
}
