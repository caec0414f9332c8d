import { describe, expect, it } from 'vitest';
import { tightenWords } from '../../lib/figure/index.js';

type Words = Parameters<typeof tightenWords>[0];
const change = (changeKw: number, room: number) => ({ changeKw, lowerKw: changeKw - room, upperKw: changeKw + room });
const row = (words: string, halved: number, behind: ReturnType<typeof change> | null): Words['tolerances'][number] => ({
  name: 'filmFactor', words, median: 1, perUnit: null, halved: change(halved, 0.5), removed: change(2 * halved, 0.5), behindFirst: behind,
});
const percentile = { percent: 1, ratedKw: 111, definition: 'type-8', lowerKw: 110, upperKw: 112, method: 'order statistics' } as const;
const wordsOf = (...tolerances: Words['tolerances']) => tightenWords({ tolerances, percentile });

describe('which tolerance to tighten first', () => {
  it('is the first where the sample tells it from all others', () => {
    expect(wordsOf(row('film factor', 1.728, null), row('emissivity', 0.2, change(1.5, 0.6))))
      .toBe('Tighten first: film factor. Halving its spread changes the 1 % percentile by +1.73 kW, removing it by +3.46 kW.');
  });

  it('names those that the sample does not tell it from', () => {
    const [near, far] = [change(0.2, 0.6), change(1.5, 0.6)];
    expect(wordsOf(row('film factor', 1, null), row('a', 0.9, near), row('b', 0.8, near), row('c', 0.1, far)))
      .toMatch(/cannot tell that from the gain by a or b; more samples can\.$/);
    expect(wordsOf(row('film factor', 1, null), row('a', 0.9, near))).toMatch(/from the gain by a; more samples/);
  });

  it('is not known where the largest gain may be nothing', () => {
    expect(wordsOf(row('film factor', 0.4, null))).toMatch(/cannot tell which .*, \+0\.40 kW of the 1 % percentile by film factor, may be nothing/);
    expect(wordsOf(row('film factor', -0.4, null))).toMatch(/−0\.40 kW/);
  });

  it('is none where there is no tolerance', () => {
    expect(wordsOf()).toBeNull();
  });
});
