// What the bar loses to air and surroundings at its present temperatures: see convectionTable.ts for the table.

import { films } from './host';
import { at, both, minus, over, pair, plus, plusTimes, returnOf, setPair, supplyOf, times, WHOLE, wholeAt, wholeOf } from './lanes';
import { filmFactor } from './rack';
import { air, airPull, black, heat, heatSlope, slotCount, tableOf, temperature } from './memory';

const ROOT_MIN: f64 = 1.5;
const ROOTS_PER_UNIT: f64 = 32;
const ROOT_CELLS: i32 = 464;
const AIR_MIN: f64 = 220;
const AIR_PER_KELVIN: f64 = 1;
const AIR_CELLS: i32 = 220;
/** Bytes of a cell, as a power of two. */
const CELL_SHIFT: i32 = 7;

/** Heat lost, W/m, and its derivatives to the bar's and the air's temperature, both poles. @param radiant K, or 0 for the local air */
export function assembleLoss(radiant: f64): void {
  assembleBetween(0, slotCount, radiant);
}

/** The same for one slot. */
export function assembleLossAt(slot: i32, radiant: f64): void {
  assembleBetween(slot, slot + 1, radiant);
}

function assembleBetween(first: i32, end: i32, radiant: f64): void {
  let asked = -1;
  for (let i = assembleFrom(first, end, radiant, false); i < end; i = assembleFrom(i, end, radiant, asked == i)) {
    asked = i;
    if (!films(i, radiant)) i++;
  }
}

/**
 * Goes on from a slot until the host must be asked, which a loop that is to be fast cannot do itself.
 * @param isFilled whether the tables are known to hold the first slot's films: a cell without any heat looks empty
 * @returns the slot whose films the tables do not hold, or `end`
 */
function assembleFrom(first: i32, end: i32, radiant: f64, isFilled: bool): i32 {
  // In locals, which stay in registers; so in the other inner loops.
  const factor = both(filmFactor);
  for (let i = first; i < end; i++) {
    const here = at(air, i);
    const t = pair(temperature, i);
    const root = f64x2.sqrt(minus(t, both(here)));
    const place = times(minus(root, both(ROOT_MIN)), both(ROOTS_PER_UNIT));
    const airPlace = (here - AIR_MIN) * AIR_PER_KELVIN;
    // Not a number where the bar is colder than the air: then no comparison holds.
    const inRow = v128.and(f64x2.ge(place, both(0)), f64x2.lt(place, both(<f64>ROOT_CELLS)));
    if (!(i64x2.all_true(inRow) && airPlace >= 0 && airPlace < <f64>AIR_CELLS)) {
      return i;
    }
    const airCell = Math.floor(airPlace);
    const y = both(airPlace - airCell);
    const cell = f64x2.floor(place);
    const cells = plus(cell, both(WHOLE));
    const row = wholeOf(airCell) * ROOT_CELLS;
    const a = <usize>wholeAt(tableOf, 2 * i) + (<usize>(row + i32x4.extract_lane(cells, 0)) << CELL_SHIFT);
    const b = <usize>wholeAt(tableOf, 2 * i + 1) + (<usize>(row + i32x4.extract_lane(cells, 2)) << CELL_SHIFT);
    // An empty cell.
    if ((load<i64>(a) == 0 || load<i64>(b) == 0) && !(isFilled && i == first)) return i;
    // Coefficients of a cell are `[power of the air × power of the root]`: two powers of the root in one register.
    const a01 = cubic(v128.load(a), v128.load(a, 32), v128.load(a, 64), v128.load(a, 96), y);
    const a23 = cubic(v128.load(a, 16), v128.load(a, 48), v128.load(a, 80), v128.load(a, 112), y);
    const b01 = cubic(v128.load(b), v128.load(b, 32), v128.load(b, 64), v128.load(b, 96), y);
    const b23 = cubic(v128.load(b, 16), v128.load(b, 48), v128.load(b, 80), v128.load(b, 112), y);
    const p0 = v128.shuffle<f64>(a01, b01, 0, 2);
    const p1 = v128.shuffle<f64>(a01, b01, 1, 3);
    const p2 = v128.shuffle<f64>(a23, b23, 0, 2);
    const p3 = v128.shuffle<f64>(a23, b23, 1, 3);
    const x = minus(place, cell);
    const convection = cubic(p0, p1, p2, p3, x);
    const along = plusTimes(p1, x, plus(plus(p2, p2), times(both(3), times(x, p3))));
    const slope = over(times(along, both(0.5 * ROOTS_PER_UNIT)), root);
    const emission = pair(black, i);
    const square = times(t, t);
    const other = radiant > 0 ? radiant : here;
    const otherSquare = other * other;
    const radiation = times(emission, minus(times(square, square), both(otherSquare * otherSquare)));
    const pull = times(factor, slope);
    setPair(heat, i, plus(times(factor, convection), radiation));
    setPair(heatSlope, i, plus(pull, times(times(both(4), emission), times(square, t))));
    // What radiates to surroundings of their own temperature does not feel the air. That films depend on it a little is left out.
    setPair(airPull, i, radiant > 0 ? pull : plusTimes(pull, emission, both(4 * otherSquare * other)));
  }
  return end;
}

// @ts-ignore: decorator
@inline function cubic(c0: v128, c1: v128, c2: v128, c3: v128, x: v128): v128 {
  // Two products side by side: shorter to wait for than Horner's three in a row.
  return plusTimes(plusTimes(c0, x, c1), times(x, x), plusTimes(c2, x, c3));
}
