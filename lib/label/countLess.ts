/** How many of `count` ascending values lie below a value, by halving. */
export function countLess(count: number, valueAt: (k: number) => number, below: number): number {
  let low = 0;
  let high = count;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (valueAt(middle) < below) low = middle + 1;
    else high = middle;
  }
  return low;
}
