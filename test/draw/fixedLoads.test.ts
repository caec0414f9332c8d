import { describe, expect, it } from 'vitest';
import { scenarioSource } from '../../lib/draw/scenarioSource.js';
import type { Rule, Study } from '../../lib/rack/studyModel.js';
import { chiSquareScore, POOR_FIT } from './goodnessOfFit.js';
import { sampleStudy } from './sampleStudy.js';
import { drawnUnits, loadsOf, sourcesOf, tally } from './scenarioHelpers.js';

const units = [
  { id: 'double', bottomSlot: 4, power: 2000 },
  { id: 'node', bottomSlot: 1, power: 500 },
];

function study(rules: Rule[] = []): Study {
  return sampleStudy(9, { loads: { draw: 'fixed', units }, rules });
}

describe('hand-picked loads', () => {
  it('stand where they were put, with the power they were given', () => {
    const [drawn] = drawnUnits(study(), 1);
    expect(loadsOf(drawn).map(({ equipment, bottomSlot, power }) => ({ id: equipment, bottomSlot, power }))).toEqual([
      units[1],
      units[0],
    ]);
  });

  it('have the sources arranged uniformly around them', () => {
    const free = [2, 3, 6, 7, 8, 9];
    const pairs = free.flatMap((a) => free.filter((b) => b > a).map((b) => `${a} ${b}`));
    const drawn = drawnUnits(study(), 30_000).map((all) =>
      sourcesOf(all)
        .map((unit) => unit.bottomSlot)
        .join(' '),
    );
    expect(chiSquareScore(tally(drawn, pairs), new Array<number>(15).fill(2000))).toBeLessThan(POOR_FIT);
    expect(scenarioSource(study()).describe()).toContain(
      'sources: 2 × "shelf"; 15 arrangements allowed around the loads, each equally likely',
    );
  });

  it('keep forbidden neighbours and free slots among the sources', () => {
    const rules: Rule[] = [
      { rule: 'not-next-to', units: 'sources', neighbours: { id: 'double' } },
      { rule: 'min-free-slots', count: 4 },
    ];
    const drawn = drawnUnits(study(rules), 5000).map((all) =>
      sourcesOf(all)
        .map((unit) => unit.bottomSlot)
        .join(' '),
    );
    expect(tally(drawn, ['2 7', '2 8', '2 9', '7 8', '7 9', '8 9']).every((count) => count > 600)).toBe(true);
  });
});
