import { describe, expect, it } from 'vitest';
import type { RuledUnit } from '../../lib/draw/brokenRules.js';
import type { Rule, Study } from '../../lib/rack/studyModel.js';
import { enumeratePlacements, loadPlacements } from './enumeratePlacements.js';
import { chiSquareScore, kolmogorovScore, POOR_DISTANCE, POOR_FIT } from './goodnessOfFit.js';
import { sampleStudy } from './sampleStudy.js';
import { drawnUnits, loadsOf, placeNames, sourcesOf, tally } from './scenarioHelpers.js';

const DRAWS = 50_000;

function split(slotCount: number, count: number, rules: Rule[], concentration = 1): Study {
  return sampleStudy(slotCount, {
    sources: { units: [{ id: 'shelf', count: 1 }], positions: { draw: 'uniform' } },
    loads: { draw: 'random-split', id: 'node', count: { min: count, max: count }, totalPower: 8000, concentration },
    rules,
  });
}

describe('loads that split a total at random', () => {
  it('add up to the total, each a Dirichlet share wherever it stands', () => {
    const powers: number[] = [];
    for (const units of drawnUnits(split(10, 4, []), 20_000)) {
      const loads = loadsOf(units);
      expect(Math.abs(loads.reduce((sum, unit) => sum + unit.power, 0) - 8000)).toBeLessThan(1e-8);
      powers.push(loads[0].power / 8000);
    }
    expect(kolmogorovScore(powers, (x) => 1 - (1 - x) ** 3)).toBeLessThan(POOR_DISTANCE);
  });

  it('stand uniformly over the places for which some split keeps the caps', () => {
    // Unit cap 3 kW, at most 3 kW in slots 1..4: of 8 kW at least 5 kW must be outside, which takes two units there.
    const rules: Rule[] = [
      { rule: 'max-power-per-slot', power: 3000 },
      { rule: 'max-power-in-band', fromSlot: 1, toSlot: 4, power: 3000 },
    ];
    const free = { ...split(7, 4, []), rules: [] };
    const names: string[] = [];
    const expected: number[] = [];
    const pairs = enumeratePlacements(free, 'node', 4, 0).map(({ sources, loads }) => ({
      sources,
      loads: loads.filter((bottoms) => bottoms.filter((slot) => slot > 4).length >= 2),
    }));
    for (const { sources, loads } of pairs) {
      for (const bottoms of loads) {
        const units = [
          ...sources.map(({ id, bottomSlot }) => ({ id, bottomSlot })),
          ...bottoms.map((bottomSlot) => ({ id: 'node', bottomSlot })),
        ];
        names.push(
          units
            .sort((a, b) => a.bottomSlot - b.bottomSlot)
            .map(({ id, bottomSlot }) => `${id}@${bottomSlot}`)
            .join(' '),
        );
        expected.push(DRAWS / pairs.length / loads.length);
      }
    }
    const drawn = drawnUnits(split(7, 4, rules), DRAWS);
    expect(chiSquareScore(tally(drawn.map(placeNames), names), expected)).toBeLessThan(POOR_FIT);
    for (const units of drawn) {
      const loads = loadsOf(units);
      expect(Math.max(...loads.map((unit) => unit.power))).toBeLessThanOrEqual(3000 * (1 + 1e-12));
      const low = loads.filter((unit) => unit.bottomSlot <= 4).reduce((sum, unit) => sum + unit.power, 0);
      expect(low).toBeLessThanOrEqual(3000 * (1 + 1e-12));
    }
  });

  it('find the rare places that keep the caps by counting them', () => {
    // No load above 1 kW: all eight are full, and with 2 kW in slots 1..16 at most two of them stand there.
    const rules: Rule[] = [
      { rule: 'max-power-per-slot', power: 1000 },
      { rule: 'max-power-in-band', fromSlot: 1, toSlot: 16, power: 2000 },
    ];
    const low = [0, 0];
    let sourceBelow = 0;
    for (const units of drawnUnits(split(23, 8, rules), 3000)) {
      const loads = loadsOf(units);
      for (const unit of loads) expect(unit.power).toBeCloseTo(1000, 6);
      const count = loads.filter((unit) => unit.bottomSlot <= 16).length;
      expect(count).toBeGreaterThanOrEqual(1);
      low[count - 1]++;
      if (sourcesOf(units)[0].bottomSlot <= 16) sourceBelow++;
    }
    expect(chiSquareScore([sourceBelow, 3000 - sourceBelow], [(3000 * 16) / 23, (3000 * 7) / 23])).toBeLessThan(POOR_FIT);
    // Source below (16/23): C(15,1)·C(7,7) and C(15,2)·C(7,6); above: C(16,2)·C(6,6) only, as 6 places remain there.
    const one = (16 / 23) * (15 / (15 + 105 * 7));
    expect(chiSquareScore(low, [one * 3000, (1 - one) * 3000])).toBeLessThan(POOR_FIT);
  });

  it('find rare places of higher loads by counting them', () => {
    // Four loads of two slots, 1 kW per slot at most, so all at 2 kW; 3 kW in slots 1..20 leave room for one and a half.
    const study: Study = {
      ...split(26, 4, [
        { rule: 'max-power-per-slot', power: 1000 },
        { rule: 'max-power-in-band', fromSlot: 1, toSlot: 20, power: 3000 },
        { rule: 'only-in-band', units: 'sources', fromSlot: 26, toSlot: 26 },
      ]),
      loads: { draw: 'random-split', id: 'double', count: { min: 4, max: 4 }, totalPower: 8000, concentration: 1 },
    };
    const wanted = loadPlacements({ ...study, rules: study.rules.slice(1) }, [shelfAt(26)], 'double', 4, 2000);
    const draws = 2500;
    const drawn = drawnUnits(study, draws).map((units) => loadsOf(units).map((unit) => unit.bottomSlot).join());
    const names = wanted.map((bottoms) => bottoms.join());
    expect(names.length).toBeGreaterThan(10);
    expect(names.length).toBeLessThan(40);
    const expected = new Array<number>(names.length).fill(draws / names.length);
    expect(chiSquareScore(tally(drawn, names), expected)).toBeLessThan(POOR_FIT);
  });
});

function shelfAt(bottomSlot: number): RuledUnit {
  return { kind: 'power-shelf', equipment: 'shelf', bottomSlot, heightSlots: 1, power: 0 };
}
