import { shareInBand, type RuleBook } from '../draw/ruleBook.js';
import type { Study } from '../rack/index.js';
import { edgeTotals, powerRangeOf, type PowerRange } from './enumeratePowers.js';
import { bottomsOf, isLoad, type Item } from './searchLayout.js';

/** Powers within the ranges, caps and total of a study's draw. */
export interface SearchPowers {
  /** Whether the draw leaves powers to be chosen. */
  readonly chosen: boolean;
  /** Range of an item, W; low = high for what cannot be chosen. */
  rangeOf(item: Item): PowerRange;
  /**
   * Powers brought to within ranges and caps, at most the total in all; with `full` raised to the total as far as they
   * go. Changes units from the bottom up or from the top down, `pinned` last.
   * @returns null where they cannot be
   */
  settle(items: readonly Item[], full: boolean, fromTop: boolean, pinned: number): readonly Item[] | null;
  /** The powers one unit may take for an edge to be met: ends of its range, what a total or a band leaves to it. */
  corners(items: readonly Item[], at: number): number[];
  /** The same with power moved between two units, their sum kept: what the one may take. */
  transfers(items: readonly Item[], one: number, other: number): number[];
}

const SLACK = 1e-9;

export function searchPowers(study: Study, book: RuleBook): SearchPowers {
  const draw = study.loads;
  const chosen = draw.draw === 'catalogue' || draw.draw === 'random-split';
  const ranges = new Map<string, PowerRange>();
  const totals = edgeTotals(study);
  const total = totals[0] ?? 0;

  function rangeOf({ type, power }: Item): PowerRange {
    if (!chosen || type === null || type.load === null) return { low: power, high: power };
    let range = ranges.get(type.id);
    if (range === undefined) {
      range = powerRangeOf(study, book, type.id);
      ranges.set(type.id, range);
    }
    return range;
  }

  /** `[band][item]`: share of the item in the band. */
  function sharesOf(items: readonly Item[]): number[][] {
    if (book.powerInBand.length === 0) return [];
    const bottoms = bottomsOf(items);
    return book.powerInBand.map((band) =>
      items.map((item, at) => (isLoad(item) ? shareInBand(band, bottoms[at], item.heightSlots) : 0)));
  }

  function settle(items: readonly Item[], full: boolean, fromTop: boolean, pinned: number): readonly Item[] | null {
    const powers = items.map((item) => {
      const { low, high } = rangeOf(item);
      return Math.min(high, Math.max(low, item.power));
    });
    const order = items.flatMap((item, at) => (isLoad(item) && at !== pinned ? [at] : []));
    if (fromTop) order.reverse();
    if (pinned >= 0 && isLoad(items[pinned])) order.push(pinned);
    const shares = sharesOf(items);
    shares.forEach((share, band) => {
      let over = powers.reduce((sum, power, at) => sum + power * share[at], 0) - book.powerInBand[band].power;
      for (const at of order) {
        if (over <= 0) break;
        if (share[at] === 0) continue;
        const less = Math.min(powers[at] - rangeOf(items[at]).low, over / share[at]);
        powers[at] -= less;
        over -= less * share[at];
      }
    });
    let left = total - order.reduce((sum, at) => sum + powers[at], 0);
    for (const at of order) {
      if (left >= 0) break;
      const less = Math.min(powers[at] - rangeOf(items[at]).low, -left);
      powers[at] -= less;
      left += less;
    }
    if (left < -SLACK * total) return null;
    if (full) {
      for (const at of order) {
        if (left <= 0) break;
        let room = Math.min(rangeOf(items[at]).high - powers[at], left);
        shares.forEach((share, band) => {
          if (share[at] === 0) return;
          const inBand = powers.reduce((sum, power, one) => sum + power * share[one], 0);
          room = Math.min(room, (book.powerInBand[band].power - inBand) / share[at]);
        });
        if (room <= 0) continue;
        powers[at] += room;
        left -= room;
      }
    }
    return items.map((item, at) => (item.power === powers[at] ? item : { ...item, power: powers[at] }));
  }

  function corners(items: readonly Item[], at: number): number[] {
    const { low, high } = rangeOf(items[at]);
    const rest = items.reduce((sum, item, other) => (other === at ? sum : sum + item.power), 0);
    const values = [low, high, ...totals.map((edge) => edge - rest)];
    sharesOf(items).forEach((share, band) => {
      if (share[at] === 0) return;
      const inBand = items.reduce((sum, item, other) => (other === at ? sum : sum + item.power * share[other]), 0);
      values.push((book.powerInBand[band].power - inBand) / share[at]);
    });
    return values.filter((value) => value >= low && value <= high && value !== items[at].power);
  }

  function transfers(items: readonly Item[], one: number, other: number): number[] {
    const [from, to] = [rangeOf(items[one]), rangeOf(items[other])];
    const sum = items[one].power + items[other].power;
    const low = Math.max(from.low, sum - to.high);
    const high = Math.min(from.high, sum - to.low);
    const values = [low, high];
    sharesOf(items).forEach((share, band) => {
      const slope = share[one] - share[other];
      if (slope === 0) return;
      const inBand = items.reduce((total_, item, at) => total_ + item.power * share[at], 0);
      values.push(items[one].power + (book.powerInBand[band].power - inBand) / slope);
    });
    return values.filter((value) => value >= low && value <= high && Math.abs(value - items[one].power) > SLACK * sum);
  }

  return { chosen, rangeOf, settle, corners, transfers };
}
