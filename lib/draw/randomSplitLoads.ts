import type { LoadsDraw } from '../rack/studyModel.js';
import { bandFilling, bandsOverlap, worthReached } from './bandFilling.js';
import { memberCounts, splitIsPossible, splitWithinCaps, type SplitCaps } from './cappedSplit.js';
import { composition } from './composition.js';
import { splitAtRandom } from './dirichlet.js';
import { shareInBand, type RuleBook } from './ruleBook.js';
import type { SlotAutomaton } from './slotAutomaton.js';
import { capPerSlotHopeless, SplitLoads, type Division } from './splitLoads.js';

/**
 * Draw `random-split`: the total split by a symmetric Dirichlet distribution.
 *
 * Under caps on slots or bands the places are uniform over those for which some split keeps the caps, and the split is
 * Dirichlet given that it keeps them (see `splitWithinCaps`). Placements that keep the caps and are rare are counted
 * exactly: for one-slot loads under bands that do not overlap always, else up to 5000 ways of spreading the units over
 * the bands (about 16 units over five kinds of place); beyond that they are looked for by rejection alone.
 */
export function randomSplitLoads(book: RuleBook, draw: Extract<LoadsDraw, { draw: 'random-split' }>): SplitLoads {
  const type = book.types.load(draw.id, 'loads.id');
  const { totalPower, concentration } = draw;
  const unitCap = book.powerPerSlot * type.heightSlots;
  const { classOfBottom, shares } = bandClasses(book, type.heightSlots);
  const caps: SplitCaps = { unitCap, bandCaps: book.powerInBand.map((band) => band.power), shares };
  const capped = unitCap < Infinity || caps.bandCaps.length > 0;
  const classes = new Int32Array(book.slotCount);
  const classify = (count: number, bottoms: Int32Array): Int32Array => {
    for (let at = 0; at < count; at++) classes[at] = classOfBottom[bottoms[at]];
    return classes;
  };
  const mostOfUnit = Math.min(unitCap, totalPower);
  const separate = type.heightSlots === 1 && !bandsOverlap(book.powerInBand);
  const filling = bandFilling(book.powerInBand, mostOfUnit, totalPower);
  const condition = (count: number): SlotAutomaton => {
    if (separate) return worthReached(count, filling, mostOfUnit);
    const possible = (members: readonly number[]): boolean => splitIsPossible(totalPower, members, caps);
    return composition(count, classOfBottom, shares.length, possible);
  };
  const division: Division = {
    hopeless: (count) => capPerSlotHopeless(book, type, count, totalPower),
    condition,
    search: (count) => {
      if (caps.bandCaps.length === 0) return { condition: null, worth: null };
      return separate ? filling : { condition: condition(count), worth: null };
    },
    accepts: (count, bottoms) => splitIsPossible(totalPower, memberCounts(count, classify(count, bottoms), caps), caps),
    divide: (count, bottoms, stream, powers) => {
      if (!capped) splitAtRandom(totalPower, count, concentration, stream, powers);
      else splitWithinCaps(totalPower, count, concentration, classify(count, bottoms), caps, stream, powers);
    },
    describe: () => `split at random (Dirichlet, concentration ${concentration})`,
  };
  return new SplitLoads(book, draw, type, division);
}

/** Places that count alike in every band share a class. `shares` is `[class][band]`. */
function bandClasses(book: RuleBook, heightSlots: number): { classOfBottom: Int32Array; shares: number[][] } {
  const classOfBottom = new Int32Array(book.slotCount + 2);
  const shares: number[][] = [];
  const known = new Map<string, number>();
  for (let bottom = 1; bottom + heightSlots - 1 <= book.slotCount; bottom++) {
    const own = book.powerInBand.map((band) => shareInBand(band, bottom, heightSlots));
    const key = own.join();
    let number = known.get(key);
    if (number === undefined) {
      number = shares.length;
      known.set(key, number);
      shares.push(own);
    }
    classOfBottom[bottom] = number;
  }
  return { classOfBottom, shares };
}
