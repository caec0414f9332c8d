/** The library's rated powers against those of another program. */

/**
 * Largest relative difference over the scenarios that the other program rates, how many those are, and how many of them
 * took another number of sweeps.
 *
 * @param ours, theirs `[scenario]`, `{ power, sweeps }`; a power that is not a number was not rated
 */
export function compareRatings(ours, theirs) {
  let largest = 0;
  let compared = 0;
  let otherSweeps = 0;
  theirs.forEach(({ power, sweeps }, i) => {
    if (!Number.isFinite(power)) return;
    compared++;
    largest = Math.max(largest, Math.abs(power / ours[i].power - 1));
    if (sweeps !== undefined && sweeps !== ours[i].sweeps) otherSweeps++;
  });
  return { compared, leftOut: theirs.length - compared, largest, otherSweeps };
}
