/** Numbers that may leave the library. */

/**
 * The value, where it is a number.
 * @param what with the arguments it was made of, for the message: only then is it asked, as texts of numbers take long
 * @throws RangeError for infinities and what is no number
 */
export function finite(value: number, what: () => string): number {
  if (!Number.isFinite(value)) throw new RangeError(`${what()}: no finite number comes of these arguments`);
  return value;
}
