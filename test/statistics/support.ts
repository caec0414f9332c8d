import seedrandom from 'seedrandom';

/** Seeded uniform numbers in [0, 1), the same on every machine. */
export function uniforms(seed: string): () => number {
  return seedrandom(seed);
}

/** Share of `trials` for which `covered` is true. */
export function observedShare(trials: number, covered: () => boolean): number {
  let hits = 0;
  for (let i = 0; i < trials; i++) if (covered()) hits++;
  return hits / trials;
}

/** Standard deviation of an observed share whose true value is `chance`. */
export function shareDeviation(chance: number, trials: number): number {
  return Math.sqrt((chance * (1 - chance)) / trials);
}

/** A sorted sample of independent draws. */
export function sortedSample(size: number, draw: () => number): Float64Array {
  return Float64Array.from({ length: size }, draw).sort();
}

/** The error that `run` throws, or undefined. */
export function thrownBy(run: () => unknown): unknown {
  try {
    run();
  } catch (error) {
    return error;
  }
  return undefined;
}
