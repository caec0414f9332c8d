/**
 * Largest whole number in [least, most] at which `holds` is true, for a test that is true up to some point and false
 * after it; null where it fails at `least` already. Calls `holds` about log2(most − least) times.
 */
export function largestThatHolds(least: number, most: number, holds: (candidate: number) => boolean): number | null {
  if (most < least || !holds(least)) return null;
  let good = least;
  let beyond = most + 1;
  while (beyond - good > 1) {
    const middle = Math.floor((good + beyond) / 2);
    if (holds(middle)) good = middle;
    else beyond = middle;
  }
  return good;
}

/**
 * Smallest whole number in [least, most] at which `holds` is true, for a test that is false up to some point and true
 * after it; null where it fails at `most` too. Doubles first, so that a small answer costs few calls.
 */
export function smallestThatHolds(least: number, most: number, holds: (candidate: number) => boolean): number | null {
  let failed = least - 1;
  let candidate = least;
  while (!holds(candidate)) {
    if (candidate >= most) return null;
    failed = candidate;
    candidate = Math.min(most, 2 * candidate);
  }
  while (candidate - failed > 1) {
    const middle = Math.floor((failed + candidate) / 2);
    if (holds(middle)) candidate = middle;
    else failed = middle;
  }
  return candidate;
}
