/** Splitting a class: its parts hold all that it holds, and end where nothing finer is left. */
import { describe, expect, it } from 'vitest';
import { randomStream, type StreamPurpose } from '../../lib/draw/index.js';
import { type Branch, splitBranch } from '../../lib/worst/branch.js';
import type { Range } from '../../lib/worst/toleranceRanges.js';

const stream = randomStream('branch', 1, 'test' as StreamPurpose);
const whole = (from: number, to: number) => from + stream.integerBelow(to - from + 1);
const number = (from: number, to: number) => from + (to - from) * stream.double();
const pair = (a: number, b: number): Range => ({ min: Math.min(a, b), max: Math.max(a, b) });

const PARTS = ['lowestSource', 'highestSource', 'total', 'areaFactor', 'bins'] as const;

/** Only what splitting looks at. */
function randomBranch(): Branch {
  const counts = stream.double() < 0.5;
  return {
    family: { counts }, byContact: stream.double() < 0.3, bins: [100, 300, 1200][whole(0, 2)],
    lowestSource: pair(whole(1, 12), whole(1, 12)), highestSource: pair(whole(1, 12), whole(1, 12)),
    total: counts ? pair(whole(1, 9), whole(1, 9)) : pair(number(3e3, 9e3), number(3e3, 9e3)),
    areaFactor: stream.double() < 0.3 ? { min: 1, max: 1 } : pair(number(0.9, 1), number(1, 1.1)), power: whole(1, 9000),
  } as Branch;
}

describe('a class split', () => {
  it('into two that leave nothing out and share nothing, or into one with finer bins', () => {
    for (let turn = 0; turn < 400; turn++) {
      const branch = randomBranch();
      const parts = splitBranch(branch, turn % 2 === 0);
      const changed = PARTS.filter((key) => parts.some((part) => JSON.stringify(part[key]) !== JSON.stringify(branch[key])));
      if (parts.length === 0) continue;
      expect(changed).toHaveLength(1);
      for (const part of parts) expect({ ...part, [changed[0]]: 0 }).toEqual({ ...branch, [changed[0]]: 0 });
      const [key] = changed;
      if (key === 'bins') {
        expect(parts.map(({ bins }) => bins)).toEqual([branch.bins < 300 ? 300 : 2 * branch.bins]);
        continue;
      }
      expect(parts).toHaveLength(2);
      const [low, high] = [parts[0][key], parts[1][key]];
      const isWhole = key !== 'areaFactor' && (key !== 'total' || branch.family.counts);
      expect([low.min, high.max]).toEqual([branch[key].min, branch[key].max]);
      expect(high.min).toBe(low.max + (isWhole ? 1 : 0));
      if (isWhole) expect(Number.isInteger(low.max)).toBe(true);
      for (const half of [low, high]) expect(half.max - half.min).toBeGreaterThanOrEqual(0);
      // Nearer to the middle than to an end, so that classes shrink in either half.
      expect(low.max - low.min).toBeLessThan(0.75 * (branch[key].max - branch[key].min));
      expect(high.max - high.min).toBeLessThan(0.75 * (branch[key].max - branch[key].min));
    }
  });

  it('again and again ends with one place, one total and the finest bins', () => {
    for (let turn = 0; turn < 60; turn++) {
      const isDroop = turn % 2 === 0;
      let branch = randomBranch();
      const { highestSource } = branch;
      let steps = 0;
      for (;; steps++) {
        const parts = splitBranch(branch, isDroop);
        if (parts.length === 0) break;
        branch = parts[whole(0, parts.length - 1)];
        expect(steps).toBeLessThan(60);
      }
      const { lowestSource, total, areaFactor, bins, family } = branch;
      expect(lowestSource.max).toBe(lowestSource.min);
      if (isDroop) expect(branch.highestSource.max).toBe(branch.highestSource.min);
      // Where sources share equally it does not matter where the highest is.
      else expect(branch.highestSource).toEqual(highestSource);
      if (family.counts) expect(total.max).toBe(total.min);
      else expect(total.max / total.min).toBeLessThanOrEqual(1.005);
      expect(areaFactor.max / areaFactor.min).toBeLessThanOrEqual(1.005);
      expect(bins).toBeGreaterThanOrEqual(1600);
    }
  });
});
