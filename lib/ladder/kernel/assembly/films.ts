// What the bar loses to air and surroundings at its present temperatures: see convectionTable.ts for the table.

import { at, both, minus, over, pair, plus, plusTimes, returnOf, setPair, supplyOf, times, wholeAt } from './lanes';
import { air, emissivity, envelope, heat, heatSlope, slotCount, tableOf, temperature } from './memory';

/** W/(m²·K⁴), as in radiation.ts. */
const STEFAN_BOLTZMANN: f64 = 5.670374e-8;

const ROOT_MIN: f64 = 1.5;
const ROOTS_PER_UNIT: f64 = 32;
const ROOT_CELLS: i32 = 464;
const AIR_MIN: f64 = 220;
const AIR_PER_KELVIN: f64 = 1;
const AIR_CELLS: i32 = 220;
/** Bytes of a cell, as a power of two. */
const CELL_SHIFT: i32 = 7;

/** The slot whose films the host is asked for, or −1. */
export let missingSlot: i32 = -1;

/**
 * Heat lost, W/m, and its derivative, for the slots from `first` on, both poles.
 *
 * @returns whether all is done; where not, a cell of the table is empty or a slot lies outside the table: the host then
 *   fills the cell, or sets heat and slope of {@link missingSlot} itself, and asks again for the slots after it
 */
export function assembleLoss(first: i32, filmFactor: f64, radiant: f64): bool {
  for (let i = first; i < slotCount; i++) {
    const here = at(air, i);
    const t = pair(temperature, i);
    const root = f64x2.sqrt(minus(t, both(here)));
    const place = times(minus(root, both(ROOT_MIN)), both(ROOTS_PER_UNIT));
    const airPlace = (here - AIR_MIN) * AIR_PER_KELVIN;
    const supplyPlace = supplyOf(place);
    const returnPlace = returnOf(place);
    // Not a number where the bar is colder than the air: then no comparison holds.
    const inside = supplyPlace >= 0 && supplyPlace < <f64>ROOT_CELLS && returnPlace >= 0 && returnPlace < <f64>ROOT_CELLS
      && airPlace >= 0 && airPlace < <f64>AIR_CELLS;
    if (!inside) {
      missingSlot = i;
      return false;
    }
    const airCell = <i32>airPlace;
    const y = both(airPlace - <f64>airCell);
    const supplyCell = <i32>supplyPlace;
    const returnCell = <i32>returnPlace;
    const row = airCell * ROOT_CELLS;
    const a = <usize>wholeAt(tableOf, 2 * i) + (<usize>(row + supplyCell) << CELL_SHIFT);
    const b = <usize>wholeAt(tableOf, 2 * i + 1) + (<usize>(row + returnCell) << CELL_SHIFT);
    if (load<f64>(a) == 0 || load<f64>(b) == 0) {
      missingSlot = i;
      return false;
    }
    // Coefficients of a cell are `[power of the air × power of the root]`: two powers of the root in one register.
    const a01 = cubic(v128.load(a), v128.load(a, 32), v128.load(a, 64), v128.load(a, 96), y);
    const a23 = cubic(v128.load(a, 16), v128.load(a, 48), v128.load(a, 80), v128.load(a, 112), y);
    const b01 = cubic(v128.load(b), v128.load(b, 32), v128.load(b, 64), v128.load(b, 96), y);
    const b23 = cubic(v128.load(b, 16), v128.load(b, 48), v128.load(b, 80), v128.load(b, 112), y);
    const p0 = v128.shuffle<f64>(a01, b01, 0, 2);
    const p1 = v128.shuffle<f64>(a01, b01, 1, 3);
    const p2 = v128.shuffle<f64>(a23, b23, 0, 2);
    const p3 = v128.shuffle<f64>(a23, b23, 1, 3);
    const cells = f64x2.replace_lane(both(<f64>supplyCell), 1, <f64>returnCell);
    const x = minus(place, cells);
    const convection = cubic(p0, p1, p2, p3, x);
    const along = plusTimes(p1, x, plus(plus(p2, p2), times(both(3), times(x, p3))));
    const slope = over(times(along, both(0.5 * ROOTS_PER_UNIT)), root);
    const black = times(times(pair(emissivity, i), both(STEFAN_BOLTZMANN)), pair(envelope, i));
    const square = times(t, t);
    const other = radiant > 0 ? radiant : here;
    const otherSquare = other * other;
    const radiation = times(black, minus(times(square, square), both(otherSquare * otherSquare)));
    setPair(heat, i, plus(times(both(filmFactor), convection), radiation));
    setPair(heatSlope, i, plus(times(both(filmFactor), slope), times(times(both(4), black), times(square, t))));
  }
  return true;
}

// @ts-ignore: decorator
@inline function cubic(c0: v128, c1: v128, c2: v128, c3: v128, x: v128): v128 {
  return plusTimes(c0, x, plusTimes(c1, x, plusTimes(c2, x, c3)));
}
