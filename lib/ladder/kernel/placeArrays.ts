/** Puts the addresses of arrays into the compiled kernel. */

/**
 * The code with every address in its place. An address takes four bytes of seven bits, lowest first (LEB128), as an offset of
 * a load or a store or as a constant; the first three say that another follows.
 *
 * @param code as compiled
 * @param sites `[site × 3]`: place in the code, index of the array, and what is added to its address
 * @param addresses `[array]`, bytes, below 2²⁷
 * @throws RangeError where an address is larger
 */
export function placeArrays(code: Uint8Array, sites: Int32Array, addresses: readonly number[]): Uint8Array {
  const placed = Uint8Array.from(code);
  for (let s = 0; s < sites.length; s += 3) {
    const place = sites[s];
    const address = addresses[sites[s + 1]] + sites[s + 2];
    if (!(address >= 0 && address < 2 ** 27)) throw new RangeError(`address ${address} does not fit into four bytes`);
    for (let k = 0; k < 4; k++) placed[place + k] = ((address >> (7 * k)) & 127) | (k < 3 ? 128 : 0);
  }
  return placed;
}
