import { splitAtRandom } from './dirichlet.js';
import { largestTotal } from './largestTotal.js';
import type { RandomStream } from './randomStream.js';
import { withinCap } from './ruleBook.js';
import { truncatedBeta } from './truncatedBeta.js';

/** Caps on the parts of a split, in the unit of the total. */
export interface SplitCaps {
  /** The most one part may be; Infinity where open. */
  readonly unitCap: number;
  /** `[band]` */
  readonly bandCaps: readonly number[];
  /** `[class][band]`: share of a part of this class that counts in the band. */
  readonly shares: readonly (readonly number[])[];
}

/** How the conditioned split is made. */
export interface SplitEffort {
  /** Free splits tried before the chain is used. */
  readonly tries: number;
  /** Sweeps of the chain; each re-splits every part once, with a random partner. */
  readonly sweeps: number;
}

const EFFORT: SplitEffort = { tries: 100, sweeps: 64 };

/** Whether parts can add up to the total within the caps. `members[class]`: how many parts of each class. */
export function splitIsPossible(total: number, members: readonly number[], caps: SplitCaps): boolean {
  const count = members.reduce((sum, n) => sum + n, 0);
  if (!withinCap(total, count * caps.unitCap)) return false;
  return caps.bandCaps.length === 0 || startOf(total, 0, members, caps) !== null;
}

/**
 * Splits a total at random: symmetric Dirichlet given that every cap holds. Fills the first `count` entries of `parts`.
 *
 * First by rejection: free splits until one keeps the caps, which is exact. After 100 rejections by a Markov chain
 * (Gibbs sampling: Geman & Geman 1984) from a split within the caps: parts are paired at random and each pair's sum is
 * split anew by its exact conditional law, a beta distribution truncated to what the caps leave, 64 sweeps over all
 * parts. The chain leaves the wanted distribution unchanged and forgets its start within a few sweeps; its result is
 * exact in the limit only.
 * @throws RangeError when no split keeps the caps
 */
export function splitWithinCaps(
  total: number,
  count: number,
  concentration: number,
  classOf: Int32Array,
  caps: SplitCaps,
  stream: RandomStream,
  parts: Float64Array,
  effort: SplitEffort = EFFORT,
): void {
  for (let attempt = 0; attempt < effort.tries; attempt++) {
    splitAtRandom(total, count, concentration, stream, parts);
    if (keepsCaps(count, classOf, caps, parts)) return;
  }
  start(total, count, classOf, caps, parts);
  const inBands = caps.bandCaps.map((_, band) => bandSum(band, count, classOf, caps, parts));
  const order = Int32Array.from({ length: count }, (_, at) => at);
  for (let sweep = 0; sweep < effort.sweeps; sweep++) {
    shuffle(order, stream);
    for (let at = 0; at + 1 < count; at += 2) {
      splitPair(order[at], order[at + 1], concentration, classOf, caps, inBands, stream, parts);
    }
  }
}

function keepsCaps(count: number, classOf: Int32Array, caps: SplitCaps, parts: Float64Array): boolean {
  for (let at = 0; at < count; at++) if (parts[at] > caps.unitCap) return false;
  return caps.bandCaps.every((cap, band) => bandSum(band, count, classOf, caps, parts) <= cap);
}

function bandSum(band: number, count: number, classOf: Int32Array, caps: SplitCaps, parts: Float64Array): number {
  let sum = 0;
  for (let at = 0; at < count; at++) sum += parts[at] * caps.shares[classOf[at]][band];
  return sum;
}

/** Splits the sum of two parts anew, the others held. `inBands` follows. */
function splitPair(
  one: number,
  other: number,
  concentration: number,
  classOf: Int32Array,
  caps: SplitCaps,
  inBands: number[],
  stream: RandomStream,
  parts: Float64Array,
): void {
  const sum = parts[one] + parts[other];
  if (sum <= 0) return;
  let low = Math.max(0, sum - caps.unitCap);
  let high = Math.min(sum, caps.unitCap);
  for (let band = 0; band < inBands.length; band++) {
    // Moving x from the other to the one changes the band by x·difference.
    const difference = caps.shares[classOf[one]][band] - caps.shares[classOf[other]][band];
    const room = Math.max(0, caps.bandCaps[band] - inBands[band]);
    if (difference > 0) high = Math.min(high, parts[one] + room / difference);
    if (difference < 0) low = Math.max(low, parts[one] + room / difference);
  }
  if (!(low < high)) return;
  const before = parts[one];
  parts[one] = sum * truncatedBeta(concentration, low / sum, Math.min(1, high / sum), stream);
  parts[other] = sum - parts[one];
  for (let band = 0; band < inBands.length; band++) {
    const difference = caps.shares[classOf[one]][band] - caps.shares[classOf[other]][band];
    inBands[band] += (parts[one] - before) * difference;
  }
}

/** A first split within the caps, parts of one class alike; away from the caps and from zero where that is possible. */
function start(total: number, count: number, classOf: Int32Array, caps: SplitCaps, parts: Float64Array): void {
  const members = memberCounts(count, classOf, caps);
  // Half the equal split and less, never all of it: on a cap, the chain's pairs may have nowhere to go.
  for (const fraction of [0.5, 0.25, 1 / 16, 1 / 256, 0]) {
    const perClass = startOf(total, (fraction * total) / count, members, caps);
    if (perClass === null) continue;
    for (let at = 0; at < count; at++) parts[at] = perClass[classOf[at]];
    return;
  }
  throw new RangeError(`a split of ${total} over ${count} parts cannot keep its caps`);
}

/**
 * Parts `[class]` that add up to the total, each at least `floor`, or null. All are scaled down together from the
 * largest total the caps allow, so that slack is left wherever there is any.
 */
function startOf(total: number, floor: number, members: readonly number[], caps: SplitCaps): number[] | null {
  const classes = members.map((_, c) => c).filter((c) => members[c] > 0);
  const count = members.reduce((sum, n) => sum + n, 0);
  const bands = caps.bandCaps.map((_, band) => classes.map((c) => caps.shares[c][band]));
  const unitCap = Math.min(caps.unitCap, total) - floor;
  const bandCaps = caps.bandCaps.map(
    (cap, band) => cap - bands[band].reduce((sum, share, at) => sum + share * members[classes[at]] * floor, 0),
  );
  if (unitCap < 0 || bandCaps.some((cap) => cap < 0)) return null;
  const added = largestTotal({
    counts: classes.map((c) => members[c]),
    unitCap,
    shares: bands,
    bandCaps,
  });
  const most = added.reduce((sum, power) => sum + power, 0);
  if (!withinCap(total, count * floor + most)) return null;
  const scale = most > 0 ? (total - count * floor) / most : 0;
  const parts = new Array<number>(members.length).fill(0);
  classes.forEach((c, at) => {
    parts[c] = floor + (added[at] * scale) / members[c];
  });
  return parts;
}

/** `[class]`: how many of the first `count` parts belong to it. */
export function memberCounts(count: number, classOf: Int32Array, caps: SplitCaps): number[] {
  const members = new Array<number>(caps.shares.length).fill(0);
  for (let at = 0; at < count; at++) members[classOf[at]]++;
  return members;
}

function shuffle(values: Int32Array, stream: RandomStream): void {
  for (let at = values.length - 1; at > 0; at--) {
    const other = stream.integerBelow(at + 1);
    const value = values[at];
    values[at] = values[other];
    values[other] = value;
  }
}
