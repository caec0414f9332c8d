import { shareInBand, type RuleBook } from '../draw/ruleBook.js';
import type { RuledUnit } from '../draw/index.js';
import type { Study } from '../rack/index.js';

/** What a load unit may draw, W, its own range and the cap per slot regarded. */
export interface PowerRange {
  readonly low: number;
  readonly high: number;
}

/**
 * Stands for a power that may be as near to 0 as one likes (`random-split`), as a part of the total: too little to move
 * a rated power by more than the same part.
 */
export const NEXT_TO_NOTHING = 1e-6;

/** Range of a unit of this id under the draw of a study; low = high where the draw leaves no choice. */
export function powerRangeOf(study: Study, book: RuleBook, id: string): PowerRange {
  const draw = study.loads;
  const { heightSlots, load } = book.types.load(id, 'placement');
  const cap = book.powerPerSlot * heightSlots;
  if (draw.draw === 'catalogue' && load) return { low: load.power.min, high: Math.min(load.power.max, cap) };
  if (draw.draw === 'random-split') {
    return { low: NEXT_TO_NOTHING * draw.totalPower, high: Math.min(draw.totalPower, cap) };
  }
  throw new RangeError(`loads.draw: found "${draw.draw}"; "catalogue" or "random-split" leaves powers to be chosen`);
}

/**
 * The sums of all powers at which something changes: the total itself and, for a catalogue, the total less the least
 * power of each type, below which that type could still be added.
 */
export function edgeTotals(study: Study): readonly number[] {
  const draw = study.loads;
  if (draw.draw !== 'catalogue' && draw.draw !== 'random-split') return [];
  if (draw.draw === 'random-split') return [draw.totalPower];
  return [draw.totalPower, ...study.catalogue.loads.map(({ power }) => draw.totalPower - power.min)];
}

/**
 * Powers of placed units at the corners of what is allowed: each unit at an end of its range, or all but one, which
 * takes what a sum or a band's cap leaves to it. Some may still break a rule: the caller checks.
 */
export function* cornerPowers(
  units: readonly RuledUnit[], ranges: readonly PowerRange[], totals: readonly number[], book: RuleBook,
): Generator<number[]> {
  const powers = new Array<number>(units.length).fill(0);
  yield* choose(0, -1);
  for (let filler = 0; filler < units.length; filler++) {
    if (ranges[filler].high > ranges[filler].low) yield* choose(0, filler);
  }

  function* choose(at: number, filler: number): Generator<number[]> {
    if (at === units.length) {
      if (filler < 0) yield [...powers];
      else yield* fill(filler);
      return;
    }
    if (at === filler) {
      yield* choose(at + 1, filler);
      return;
    }
    const { low, high } = ranges[at];
    powers[at] = low;
    yield* choose(at + 1, filler);
    if (high === low) return;
    powers[at] = high;
    yield* choose(at + 1, filler);
  }

  function* fill(filler: number): Generator<number[]> {
    const { low, high } = ranges[filler];
    powers[filler] = 0;
    const rest = powers.reduce((sum, power) => sum + power, 0);
    const values = totals.map((total) => total - rest);
    for (const band of book.powerInBand) {
      const share = (unit: RuledUnit): number => shareInBand(band, unit.bottomSlot, unit.heightSlots);
      const inBand = powers.reduce((sum, power, at) => sum + power * share(units[at]), 0);
      if (share(units[filler]) > 0) values.push((band.power - inBand) / share(units[filler]));
    }
    for (const value of new Set(values)) {
      if (!(value > low && value < high)) continue;
      powers[filler] = value;
      yield [...powers];
    }
    powers[filler] = 0;
  }
}

/** Powers that are whole multiples of total/steps, at least one step each, and add up to the total. */
export function* gridPowers(count: number, total: number, steps: number): Generator<number[]> {
  const parts = new Array<number>(count).fill(0);
  yield* choose(0, steps);

  function* choose(at: number, left: number): Generator<number[]> {
    if (at === count - 1) {
      parts[at] = left;
      if (left > 0) yield parts.map((part) => (part * total) / steps);
      return;
    }
    for (let part = 1; part < left; part++) {
      parts[at] = part;
      yield* choose(at + 1, left - part);
    }
  }
}
