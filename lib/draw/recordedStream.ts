import type { RandomStream } from './randomStream.js';

/** A stream whose numbers are kept: the same numbers again, with some of them drawn anew, make a neighbouring draw. */
export class RecordedStream implements RandomStream {
  private at = 0;

  /**
   * @param numbers uniform over 0 < u < 1, taken in order; the stream adds to them what it is asked for beyond
   * @param fresh where those come from
   */
  constructor(readonly numbers: number[], private readonly fresh: RandomStream) {}

  double(): number {
    if (this.at === this.numbers.length) this.numbers.push(this.fresh.double());
    return this.numbers[this.at++];
  }

  quick(): number {
    return this.double();
  }

  /** Every whole number equally likely to 2⁻⁵³. */
  integerBelow(n: number): number {
    if (!Number.isInteger(n) || n < 1 || n > 2 ** 53) {
      throw new RangeError(`random whole number below n: found n = ${n}; a whole number in 1..2^53 is allowed`);
    }
    return Math.min(n - 1, Math.floor(this.double() * n));
  }
}
