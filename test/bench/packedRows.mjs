/**
 * Scenarios as flat numbers, as a study draws them and as the C reference gets them: what is timed begins with copying them
 * to where the kernel reads them.
 */
import { internals } from './library.mjs';

const { UNIT_FIELDS } = internals;

/** @param rows of the model or ladder that is to rate them; overwritten */
export function packAll(rows, scenarios) {
  return scenarios.map((scenario) => {
    rows.take(scenario);
    const { index, count, build } = rows;
    return { index, count, build, numbers: rows.numbers.slice(0, UNIT_FIELDS * count), names: [...rows.names] };
  });
}

/** Puts one of them into the rows. */
export function unpack(rows, { index, count, build, numbers, names }) {
  rows.index = index;
  rows.count = count;
  rows.build = build;
  rows.numbers.set(numbers);
  for (let k = 0; k < count; k++) rows.names[k] = names[k];
}
