import { describe, expect, it } from 'vitest';
import type { Rule, Study } from '../../lib/rack/studyModel.js';
import { chiSquareScore, POOR_FIT } from './goodnessOfFit.js';
import { sampleStudy } from './sampleStudy.js';
import { drawnUnits, loadsOf, tally } from './scenarioHelpers.js';

function study(slotCount: number, chanceFull: number, rules: Rule[] = [], id = 'node', shelfSlot = 3): Study {
  return sampleStudy(slotCount, {
    sources: { units: [], positions: { draw: 'fixed', units: [{ id: 'shelf', bottomSlot: shelfSlot }] } },
    loads: { draw: 'all-or-nothing', id, cap: 1000, chanceFull },
    rules,
  });
}

/** All subsets of the places with the chance of each, subsets refused by `allowed` and the empty one left out. */
function weighed(
  places: number[],
  chance: number,
  allowed: (full: number[]) => boolean,
): { names: string[]; chances: number[] } {
  const names: string[] = [];
  const weights: number[] = [];
  for (let mask = 1; mask < 2 ** places.length; mask++) {
    const full = places.filter((_, at) => (mask >> at) % 2 === 1);
    if (!allowed(full)) continue;
    names.push(full.join());
    weights.push(chance ** full.length * (1 - chance) ** (places.length - full.length));
  }
  const sum = weights.reduce((total, weight) => total + weight, 0);
  return { names, chances: weights.map((weight) => weight / sum) };
}

function fits(given: Study, draws: number, wanted: { names: string[]; chances: number[] }): number {
  const names = drawnUnits(given, draws).map((units) =>
    loadsOf(units)
      .map((unit) => unit.bottomSlot)
      .join(),
  );
  return chiSquareScore(
    tally(names, wanted.names),
    wanted.chances.map((chance) => chance * draws),
  );
}

describe('all-or-nothing loads', () => {
  it.each([0.1, 0.5, 0.8])('fill each place with chance %d by itself, given that one is full', (chance) => {
    expect(
      fits(
        study(6, chance),
        60_000,
        weighed([1, 2, 4, 5, 6], chance, () => true),
      ),
    ).toBeLessThan(POOR_FIT);
  });

  it('are cut from the bottom of each free stretch when they are higher than a slot', () => {
    // Free: 1–2, 4–8: places at 1, 4 and 6.
    expect(
      fits(
        study(8, 0.3, [], 'double'),
        30_000,
        weighed([1, 4, 6], 0.3, () => true),
      ),
    ).toBeLessThan(POOR_FIT);
  });

  it('keep their chances given that rules between loads hold', () => {
    const rules: Rule[] = [{ rule: 'not-next-to', units: 'loads', neighbours: 'loads' }];
    const apart = (full: number[]): boolean => full.every((slot) => !full.includes(slot + 1));
    expect(fits(study(7, 0.6, rules), 60_000, weighed([1, 2, 4, 5, 6, 7], 0.6, apart))).toBeLessThan(POOR_FIT);
  });

  it('keep their chances given that they form a block', () => {
    const rules: Rule[] = [{ rule: 'together', units: 'loads' }];
    const block = (full: number[]): boolean => full[full.length - 1] - full[0] === full.length - 1;
    expect(fits(study(7, 0.7, rules), 30_000, weighed([1, 2, 4, 5, 6, 7], 0.7, block))).toBeLessThan(POOR_FIT);
  });

  it('keep their chances given that slots stay free', () => {
    const rules: Rule[] = [{ rule: 'min-free-slots', count: 3 }];
    const few = (full: number[]): boolean => full.length <= 2;
    expect(fits(study(6, 0.7, rules), 30_000, weighed([1, 2, 4, 5, 6], 0.7, few))).toBeLessThan(POOR_FIT);
  });

  it('keep their chances given a cap on a band, seldom or often met', () => {
    const rules: Rule[] = [{ rule: 'max-power-in-band', fromSlot: 1, toSlot: 5, power: 1000 }];
    const capped = (full: number[]): boolean => full.filter((slot) => slot <= 5).length <= 1;
    expect(fits(study(7, 0.3, rules), 30_000, weighed([1, 2, 4, 5, 6, 7], 0.3, capped))).toBeLessThan(POOR_FIT);
    // With 19 places in the band and chance 0.9 free draws hold at most one load once in 1e16.
    const rare = study(22, 0.9, [{ rule: 'max-power-in-band', fromSlot: 1, toSlot: 20, power: 1000 }]);
    const wanted = weighed([21, 22], 0.9, () => true);
    const names: string[] = [];
    const chances: number[] = [];
    // Slots 21 and 22 by themselves, times none or one of the 19 others at odds of 9.
    for (const top of ['', ...wanted.names]) {
      const topChance = top === '' ? 0.01 : top === '21,22' ? 0.81 : 0.09;
      for (const low of [
        '',
        ...Array.from({ length: 20 }, (_, at) => at + 1)
          .filter((slot) => slot !== 3)
          .map(String),
      ]) {
        if (low === '' && top === '') continue;
        names.push([low, top].filter((part) => part !== '').join());
        chances.push(topChance * (low === '' ? 1 : 9));
      }
    }
    const sum = chances.reduce((total, chance) => total + chance, 0);
    expect(fits(rare, 8000, { names, chances: chances.map((chance) => chance / sum) })).toBeLessThan(POOR_FIT);
  });

  it('fill every place with chance 1, or as many as the rules allow', () => {
    for (const units of drawnUnits(study(6, 1), 20)) {
      expect(loadsOf(units).map((unit) => unit.bottomSlot)).toEqual([1, 2, 4, 5, 6]);
    }
    const rules: Rule[] = [{ rule: 'max-power-in-band', fromSlot: 4, toSlot: 6, power: 1000 }];
    for (const units of drawnUnits(study(6, 1, rules), 20)) expect(loadsOf(units)).toHaveLength(3);
  });

  it('are drawn however small the chance', () => {
    const counts = drawnUnits(study(40, 1e-9), 500).map((units) => loadsOf(units).length);
    expect(counts.every((count) => count === 1)).toBe(true);
  });

  it.each([0, -0.1, 1.1, NaN])('refuse a chance of %d', (chance) => {
    expect(() => drawnUnits(study(6, chance), 1)).toThrow(/loads\.chanceFull: found .*above 0, up to 1 is allowed/);
  });
});
