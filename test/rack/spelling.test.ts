import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { editDistance, nearestKey, nearestWord } from '../../lib/rack/text/spelling.js';

describe('the edit distance', () => {
  it('is 3 from kitten to sitting (the textbook example, common practice, no published source)', () => {
    expect(editDistance('kitten', 'sitting')).toBe(3);
  });

  it('is a distance: zero only for equal words, symmetric, never shorter by a detour', () => {
    const word = fc.string({ maxLength: 8, unit: fc.constantFrom('a', 'b', 'c') });
    fc.assert(fc.property(word, word, word, (a, b, c) => {
      expect(editDistance(a, b) === 0).toBe(a === b);
      expect(editDistance(a, b)).toBe(editDistance(b, a));
      expect(editDistance(a, c)).toBeLessThanOrEqual(editDistance(a, b) + editDistance(b, c));
    }));
  });
});

describe('a suggestion', () => {
  it('is the nearest word within two edits', () => {
    expect(nearestWord('depthmm', ['count', 'depthMm', 'gapMm'])).toBe('depthMm');
    expect(nearestWord('dpthm', ['depthMm'])).toBe('depthMm');
    expect(nearestWord('dpth', ['depthMm'])).toBeNull();
  });

  it('is no word that would have to be rewritten entirely', () => {
    expect(nearestWord('no', ['id'])).toBeNull();
  });

  it('is a key with its unit where only the unit is left out, and not one of several', () => {
    expect(nearestKey('percentiles', ['percentilesPercent', 'seed'])).toBe('percentilesPercent');
    expect(nearestKey('resistance', ['resistanceMicroOhm', 'resistanceMilliOhm'])).toBeNull();
  });
});
