/** Measuring on a machine that others use too: what is compared runs in turn, and medians stand for many passes. */
import { slotcast } from './library.mjs';

/** Seconds that a function takes. */
export function secondsOf(work) {
  const started = process.hrtime.bigint();
  work();
  return Number(process.hrtime.bigint() - started) / 1e9;
}

/**
 * Runs the passes A B C A B C …, once unrecorded.
 *
 * @param passes by name, each a function that resolves to its own figure, e.g. µs per scenario
 * @returns `[round]` of figures by the same names
 */
export async function inTurn(rounds, passes) {
  const taken = Object.fromEntries(Object.keys(passes).map((name) => [name, []]));
  for (let round = -1; round < rounds; round++) {
    for (const [name, pass] of Object.entries(passes)) {
      const figure = await pass();
      if (round >= 0) taken[name].push(figure);
    }
  }
  return taken;
}

/** Median and the middle half (quartiles, type 7) of some figures. */
export function spreadOf(figures) {
  const sorted = Float64Array.from(figures).sort();
  const at = (p) => slotcast.quantileSorted(sorted, p, 'type-7');
  return { median: at(0.5), lower: at(0.25), upper: at(0.75), passes: figures.length };
}

/** The spread of a/b, each ratio from one round. */
export function ratioOf(a, b) {
  return spreadOf(a.map((value, i) => value / b[i]));
}
