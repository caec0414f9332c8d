/**
 * Sobol' points (Sobol' 1967) with nested uniform scrambling (Owen 1995), any point by its number.
 *
 * Among the first 2^m points every interval [a/2^m, (a+1)/2^m) of every coordinate holds exactly one, and boxes of that
 * volume hold one in most pairs of coordinates; scrambling keeps that and makes every point uniform. Scrambled anew, the
 * same points are an independent replicate.
 *
 * Primitive polynomials and direction numbers: Joe & Kuo (2008), SIAM J. Sci. Comput. 30, 2635, the first rows of their
 * table (from memory; checked against SciPy's).
 */

/** `[coordinate − 1]`: degree and coefficients of the polynomial, first direction numbers. */
const JOE_KUO: readonly { readonly coefficients: number; readonly first: readonly number[] }[] = [
  { coefficients: 0, first: [1] },
  { coefficients: 1, first: [1, 3] },
  { coefficients: 1, first: [1, 3, 1] },
  { coefficients: 2, first: [1, 1, 1] },
  { coefficients: 1, first: [1, 1, 3, 3] },
  { coefficients: 4, first: [1, 3, 5, 13] },
  { coefficients: 2, first: [1, 1, 5, 5, 17] },
  { coefficients: 4, first: [1, 1, 5, 5, 5] },
  { coefficients: 7, first: [1, 1, 7, 11, 19] },
];

export const SOBOL_COORDINATES = JOE_KUO.length + 1;
const BITS = 32;

/** `[coordinate][bit]`: direction numbers as fractions of 2³². */
const DIRECTIONS = Array.from({ length: SOBOL_COORDINATES }, (_, coordinate) => directionsOf(coordinate));

/** The whole 32 bits of a coordinate of point `number` (0 …), unscrambled, in the order of the binary digits of `number`. */
export function sobolBits(number: number, coordinate: number): number {
  const directions = DIRECTIONS[coordinate];
  let bits = 0;
  for (let bit = 0, rest = number; rest > 0; bit++, rest = Math.floor(rest / 2)) {
    if (rest % 2 === 1) bits ^= directions[bit];
  }
  return bits >>> 0;
}

/**
 * Nested uniform scrambling of 32 bits: each binary digit is flipped or not by a coin that belongs to the digits before
 * it, and to the key.
 */
export function scrambled(bits: number, key: number): number {
  let result = 0;
  for (let level = 0; level < BITS; level++) {
    // The digits before this one, with a 1 in front so that every prefix has a number of its own.
    const prefix = level === 0 ? 1 : ((bits >>> (BITS - level)) | (1 << level)) >>> 0;
    const digit = (bits >>> (BITS - 1 - level)) & 1;
    const coin = mixed(prefix ^ mixed(key + Math.imul(level + 1, 0x9e3779b9))) & 1;
    result = (result << 1) | (digit ^ coin);
  }
  return result >>> 0;
}

/** A whole number of 32 bits with all bits mixed (finaliser of MurmurHash3, Appleby 2008, public domain). */
function mixed(value: number): number {
  let x = value >>> 0;
  x = Math.imul(x ^ (x >>> 16), 0x85ebca6b);
  x = Math.imul(x ^ (x >>> 13), 0xc2b2ae35);
  return (x ^ (x >>> 16)) >>> 0;
}

function directionsOf(coordinate: number): Uint32Array {
  const directions = new Uint32Array(BITS);
  if (coordinate === 0) {
    for (let bit = 0; bit < BITS; bit++) directions[bit] = (1 << (BITS - 1 - bit)) >>> 0;
    return directions;
  }
  const { coefficients, first } = JOE_KUO[coordinate - 1];
  const degree = first.length;
  for (let bit = 0; bit < BITS; bit++) {
    if (bit < degree) {
      directions[bit] = (first[bit] << (BITS - 1 - bit)) >>> 0;
      continue;
    }
    let value = directions[bit - degree] ^ (directions[bit - degree] >>> degree);
    for (let k = 1; k < degree; k++) {
      if (((coefficients >>> (degree - 1 - k)) & 1) === 1) value ^= directions[bit - k];
    }
    directions[bit] = value >>> 0;
  }
  return directions;
}
