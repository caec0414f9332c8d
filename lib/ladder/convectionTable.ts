/**
 * Convection of one cross-section as a table over the air temperature and the square root of the rise, so that the
 * solver pays a few multiplications a node whatever the films are and however many faces they cool.
 *
 * Between the nodes of the grid stands the bicubic Hermite polynomial, which is smooth across cells: Newton's method
 * converges on it as on the films themselves. The solver reads the same cells (kernel/assembly/films.ts). Cells are filled
 * when they are first asked for, from the film laws alone, so a value does not depend on what was asked before. Heat is
 * that of the laws to 1e-8 from 7 °C of air on and to 2e-8 below (test). Outside the grid, for rises below 2.25 K or above
 * 256 K and for bars colder than the air, the film laws answer themselves.
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
const AIR_STEP = 1;
const AIR_CELLS = (AIR_MAX - AIR_MIN) / AIR_STEP;
/** Coefficients of one cell: `[power of the air × power of the root]`. */
const CELL = 16;
/** Doubles of a whole table, `[air cell × root cell × coefficient]`. */
export const TABLE_LENGTH = AIR_CELLS * ROOT_CELLS * CELL;
/** Numbers kept of a node of the grid. */
const CORNER = 4;
/** K, step of the differences along the air temperature. */
const DIFFERENCE = 0.5;

/** Heat, W per metre of run, and its derivative to the temperature, W/(m·K). */
export interface Convection {
  readonly heat: number;
  readonly slope: number;
}

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
  /** W/m, `[air cell × root cell × power of the air × power of the root]`, places within a cell from 0 to 1. */
  readonly coefficients: Float64Array;
}

export class ConvectionTable {
  private readonly one = {
    temperature: new Float64Array(1), air: new Float64Array(1), heat: new Float64Array(1), slope: new Float64Array(1),
  };

  /** `[air node × root node × CORNER]`; of zeros where not known yet. What is not written takes no memory. */
  private readonly corners = new Float64Array(CORNER * (ROOT_CELLS + 1) * (AIR_CELLS + 1));

  /** @param cells the table's memory, of TABLE_LENGTH; cells of zeros are not filled yet */
  constructor(private readonly surface: Surface, private readonly cells: Float64Array = new Float64Array(TABLE_LENGTH)) {}

  /** Fills the cell of a temperature and an air temperature, K. @returns false where they lie outside the grid */
  fillFor(temperature: number, air: number): boolean {
    const place = placeOf(temperature, air);
    if (place === null) return false;
    if (this.cells[place.cell] === 0) this.fill(place.i, place.j, place.cell);
    return true;
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
      for (let i = 0; i < ROOT_CELLS; i++) {
        const cell = j * size + i * CELL;
        if (this.cells[cell] === 0) this.fill(i, j, cell);
      }
    }
    return {
      rootFrom: ROOT_MIN, rootsPerUnit: ROOTS_PER_UNIT, rootCells: ROOT_CELLS,
      airFrom: AIR_MIN + first * AIR_STEP, airStep: AIR_STEP, airCells: end - first,
      coefficients: this.cells.slice(first * size, end * size),
    };
  }

  /** From the table, or from the film laws outside of it; K. */
  convection(temperature: number, air: number): Convection {
    const place = placeOf(temperature, air);
    if (place === null) return this.byLaws(temperature, air);
    this.fillFor(temperature, air);
    const { cell, x, y, root } = place;
    const p0 = this.alongAir(cell, y);
    const p1 = this.alongAir(cell + 1, y);
    const p2 = this.alongAir(cell + 2, y);
    const p3 = this.alongAir(cell + 3, y);
    return {
      heat: p0 + x * (p1 + x * (p2 + x * p3)),
      slope: ((p1 + x * (2 * p2 + 3 * x * p3)) * (0.5 * ROOTS_PER_UNIT)) / root,
    };
  }

  private alongAir(k: number, y: number): number {
    const { cells } = this;
    return cells[k] + y * (cells[k + 4] + y * (cells[k + 8] + y * cells[k + 12]));
  }

  /** From the film laws alone; K. */
  byLaws(temperature: number, air: number): Convection {
    const { one } = this;
    one.temperature[0] = temperature;
    one.air[0] = air;
    one.heat[0] = 0;
    one.slope[0] = 0;
    this.surface.addConvection(one.temperature, one.air, 0, 1, 1, 0, one.heat, one.slope);
    return { heat: one.heat[0], slope: one.slope[0] };
  }

  private fill(i: number, j: number, cell: number): void {
    // Values and differences per cell at the four corners: f, f_x, f_y, f_xy.
    const corners = [this.corner(i, j), this.corner(i, j + 1), this.corner(i + 1, j), this.corner(i + 1, j + 1)];
    const at = (corner: number, kind: number): number => corners[corner][kind];
    // Along the air first: cubic in y at both ends of x, for the value and for its slope along x.
    const rows = [[0, 1, 0, 2], [0, 1, 1, 3], [2, 3, 0, 2], [2, 3, 1, 3]]
      .map(([low, high, value, slope]) => hermite(at(low, value), at(high, value), at(low, slope), at(high, slope)));
    const [low, lowSlope, high, highSlope] = rows;
    for (let m = 0; m < 4; m++) {
      const along = hermite(low[m], high[m], lowSlope[m], highSlope[m]);
      for (let n = 0; n < 4; n++) this.cells[cell + 4 * m + n] = along[n];
    }
  }

  /** Heat, and its differences along the root, the air and both, per cell, at a node of the grid: four cells share it. */
  private corner(i: number, j: number): readonly [number, number, number, number] {
    const { corners } = this;
    const at = CORNER * (j * (ROOT_CELLS + 1) + i);
    if (corners[at] === 0) corners.set(this.cornerByLaws(i, j), at);
    return [corners[at], corners[at + 1], corners[at + 2], corners[at + 3]];
  }

  private cornerByLaws(i: number, j: number): readonly [number, number, number, number] {
    const root = ROOT_MIN + i / ROOTS_PER_UNIT;
    const air = AIR_MIN + j * AIR_STEP;
    const here = this.byLaws(air + root * root, air);
    const at = [-2, -1, 1, 2].map((n) => this.byLaws(air + n * DIFFERENCE + root * root, air + n * DIFFERENCE));
    const derivative = (kind: 'heat' | 'slope'): number =>
      (at[0][kind] - at[3][kind] + 8 * (at[2][kind] - at[1][kind])) / (12 * DIFFERENCE);
    const perRoot = (2 * root) / ROOTS_PER_UNIT;
    return [
      here.heat, perRoot * here.slope, AIR_STEP * derivative('heat'), AIR_STEP * perRoot * derivative('slope'),
    ];
  }
}

/** The cell that holds a temperature and an air temperature, and where in it they are; null outside the grid. */
function placeOf(temperature: number, air: number):
  { readonly i: number; readonly j: number; readonly cell: number; readonly x: number; readonly y: number; readonly root: number } | null {
  const root = Math.sqrt(temperature - air);
  const rootPlace = (root - ROOT_MIN) * ROOTS_PER_UNIT;
  const airPlace = (air - AIR_MIN) / AIR_STEP;
  // Not a number where the bar is colder than the air: then no comparison holds.
  if (!(rootPlace >= 0 && rootPlace < ROOT_CELLS && airPlace >= 0 && airPlace < AIR_CELLS)) return null;
  const i = Math.floor(rootPlace);
  const j = Math.floor(airPlace);
  return { i, j, cell: (j * ROOT_CELLS + i) * CELL, x: rootPlace - i, y: airPlace - j, root };
}

/** Coefficients in 0..1 of the cubic with these values and slopes at its ends. */
function hermite(y0: number, y1: number, d0: number, d1: number): [number, number, number, number] {
  return [y0, d0, 3 * (y1 - y0) - 2 * d0 - d1, 2 * (y0 - y1) + d0 + d1];
}
