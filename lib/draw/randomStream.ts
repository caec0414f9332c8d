import seedrandom from 'seedrandom';

/** What a stream is used for. Designs compared on one seed share every stream whose purpose they share. */
export type StreamPurpose =
  | 'placement' | 'build' | 'contacts' | 'source-contacts' | 'sharing' | 'strata' | 'source-strata' | 'check' | 'worst' | 'rare'
  | 'bootstrap' | 'copper';

/** A source of random numbers that belongs to one (seed, index, purpose). */
export interface RandomStream {
  /** Uniform over 0 < u < 1 in steps of 2⁻⁵³. */
  double(): number;
  /** Uniform over 0 ≤ u < 1 in steps of 2⁻³²: half the cost of `double`. */
  quick(): number;
  /**
   * Uniform over the whole numbers 0..n−1, every one exactly equally likely.
   * @throws RangeError unless n is a whole number in 1..2⁵³
   */
  integerBelow(n: number): number;
}

const TWO_21 = 2 ** 21;
const TWO_32 = 2 ** 32;
const TWO_53 = 2 ** 53;
/** What the state of Tyche-i begins with. */
const BEGIN_C = 2654435769 | 0;
const BEGIN_D = 1367130551;
/** Steps after the last character of a key. */
const SETTLING = 20;

/**
 * The stream of one (seed, index, purpose), the same however and whenever it is asked for.
 *
 * Generator: Tyche-i (Neves & Araujo 2012, "Fast and small nonlinear pseudorandom number generators for computer
 * simulation"), period about 2¹²⁷, as kept by seedrandom: see {@link KeyedStream}.
 *
 * @param index scenario, or replicate for the purpose `strata`; a whole number ≥ 0
 * @throws RangeError when index is not a whole number ≥ 0
 * @example
 * randomStream('2024', 17, 'placement').double() === randomStream('2024', 17, 'placement').double(); // true
 */
export function randomStream(seed: string, index: number, purpose: StreamPurpose): RandomStream {
  return new KeyedStream(seed, purpose).begin(index);
}

/**
 * One stream after the other for one seed and purpose, in the same object: the same numbers, bit for bit, as
 * `seedrandom.tychei` gives for the key `index purpose seed`. That package makes five closures for every stream and steps
 * through them, which took a third of drawing a scenario; here the state is stepped in place. The first stream of every
 * program is held against the package's, the tests hold many.
 */
export class KeyedStream implements RandomStream {
  private a = 0;
  private b = 0;
  private c = 0;
  private d = 0;
  /**
   * What goes in with each step of beginning, after the index: the other characters of the key, and nothing while it settles.
   * The seed comes last: no index and no purpose holds a blank, so no two triples give one key.
   */
  private readonly tail: Uint16Array;

  constructor(seed: string, purpose: StreamPurpose) {
    this.tail = charactersOf(` ${purpose} ${seed}`, SETTLING);
    confirmGenerator();
  }

  /**
   * Begins the stream of an index; whatever was asked of this object before plays no part.
   * @throws RangeError when index is not a whole number ≥ 0
   */
  begin(index: number): this {
    const start = digitsOf(index);
    this.reset();
    for (let k = 0; k < start.length; k++) this.stepWith(start.charCodeAt(k));
    this.settle(0);
    return this;
  }

  /**
   * Begins this and another stream with the same index: in little more time than one takes, since the steps of one do not wait
   * for those of the other.
   * @throws as begin
   */
  beginWith(other: KeyedStream, index: number): this {
    const start = digitsOf(index);
    this.reset();
    other.reset();
    for (let k = 0; k < start.length; k++) {
      const character = start.charCodeAt(k);
      this.stepWith(character);
      other.stepWith(character);
    }
    const { tail } = this;
    const otherTail = other.tail;
    const both = Math.min(tail.length, otherTail.length);
    let { a, b, c, d } = this;
    let [e, f, g, h] = [other.a, other.b, other.c, other.d];
    for (let k = 0; k < both; k++) {
      b ^= tail[k];
      f ^= otherTail[k];
      b = (b << 25) ^ (b >>> 7) ^ c;
      f = (f << 25) ^ (f >>> 7) ^ g;
      c = (c - d) | 0;
      g = (g - h) | 0;
      d = (d << 24) ^ (d >>> 8) ^ a;
      h = (h << 24) ^ (h >>> 8) ^ e;
      a = (a - b) | 0;
      e = (e - f) | 0;
      b = (b << 20) ^ (b >>> 12) ^ c;
      f = (f << 20) ^ (f >>> 12) ^ g;
      c = (c - d) | 0;
      g = (g - h) | 0;
      d = (d << 16) ^ (c >>> 16) ^ a;
      h = (h << 16) ^ (g >>> 16) ^ e;
      a = (a - b) | 0;
      e = (e - f) | 0;
    }
    this.a = a;
    this.b = b;
    this.c = c;
    this.d = d;
    other.a = e;
    other.b = f;
    other.c = g;
    other.d = h;
    this.settle(both);
    other.settle(both);
    return this;
  }

  private reset(): void {
    this.a = 0;
    this.b = 0;
    this.c = BEGIN_C;
    this.d = BEGIN_D;
  }

  private stepWith(character: number): void {
    this.b ^= character;
    this.next();
  }

  /** The steps of `tail` from one on. */
  private settle(from: number): void {
    const { tail } = this;
    for (let k = from; k < tail.length; k++) this.stepWith(tail[k]);
  }

  /** The next 32 bits, as a signed whole number. */
  private next(): number {
    let { a, b, c, d } = this;
    b = (b << 25) ^ (b >>> 7) ^ c;
    c = (c - d) | 0;
    d = (d << 24) ^ (d >>> 8) ^ a;
    a = (a - b) | 0;
    b = (b << 20) ^ (b >>> 12) ^ c;
    c = (c - d) | 0;
    d = (d << 16) ^ (c >>> 16) ^ a;
    a = (a - b) | 0;
    this.a = a;
    this.b = b;
    this.c = c;
    this.d = d;
    return a;
  }

  double(): number {
    for (;;) {
      const high = this.next() >>> 11;
      const result = (high + (this.next() >>> 0) / TWO_32) / TWO_21;
      if (result !== 0) return result;
    }
  }

  quick(): number {
    return (this.next() >>> 0) / TWO_32;
  }

  integerBelow(n: number): number {
    if (!Number.isInteger(n) || n < 1 || n > TWO_53) {
      throw new RangeError(`random whole number below n: found n = ${n}; a whole number in 1..2^53 is allowed`);
    }
    return n <= TWO_21 ? this.byMultiplication(n) : this.byRemainder(n);
  }

  /** Lemire 2019, "Fast random integer generation in an interval": the product stays below 2⁵³ and is exact. */
  private byMultiplication(n: number): number {
    let product = (this.next() >>> 0) * n;
    let whole = Math.floor(product / TWO_32);
    let low = product - whole * TWO_32;
    if (low < n) {
      const surplus = (TWO_32 - n) % n;
      while (low < surplus) {
        product = (this.next() >>> 0) * n;
        whole = Math.floor(product / TWO_32);
        low = product - whole * TWO_32;
      }
    }
    return whole;
  }

  /** 53 random bits; the incomplete last cycle of n values is rejected. */
  private byRemainder(n: number): number {
    const limit = TWO_53 - (TWO_53 % n);
    for (;;) {
      const high = this.next() >>> 11;
      const value = high * TWO_32 + (this.next() >>> 0);
      if (value < limit) return value % n;
    }
  }
}

/** Characters of a text, and so many zeros. */
function charactersOf(text: string, zeros: number): Uint16Array {
  return Uint16Array.from({ length: text.length + zeros }, (_, k) => (k < text.length ? text.charCodeAt(k) : 0));
}

/** @throws RangeError when index is not a whole number ≥ 0 */
function digitsOf(index: number): string {
  if (!Number.isSafeInteger(index) || index < 0) {
    throw new RangeError(`scenario index: found ${index}; a whole number from 0 is allowed`);
  }
  return String(index);
}

let isConfirmed = false;

/** @throws Error where the steps above are not those of the package that defines the generator */
function confirmGenerator(): void {
  if (isConfirmed) return;
  isConfirmed = true;
  const own = new KeyedStream('confirm', 'check').begin(TWO_32);
  const defining = seedrandom.tychei(`${TWO_32} check confirm`);
  for (let k = 0; k < 16; k++) {
    if (own.double() !== defining.double()) throw new Error('random streams differ from those of seedrandom');
  }
}
