import { describe, expect, it } from 'vitest';
import { RackModel } from '../../lib/ladder/index.js';
import { loadStudy } from '../../lib/rack/index.js';
import { allowedPlacement, bestRelief, explainWorst, searchWorst, toleranceRanges } from '../../lib/worst/index.js';

const { study } = loadStudy('data-demo/plain-bar-even.json');
const ranges = toleranceRanges(study, null);
const found = searchWorst(study, ranges, { seed: 'explain', starts: 1 });

describe('the worst placement explained', () => {
  it('names limit, slot, power, the current that does it, and a change that is allowed and frees what it says', () => {
    const words = explainWorst(study, found);
    expect(words).toContain(`binds at ${(found.rated.power / 1e3).toFixed(1)} kW`);
    expect(words).toMatch(/All of its [\d.]+ kW pass the bar between slots \d+ and \d+ \(\d+ A\)/);
    const relief = bestRelief(study, found);
    if (relief === null) throw new Error('sources at an end can always be moved');
    expect(words).toContain(`frees ${(relief.freed / 1e3).toFixed(1)} kW.`);
    expect(allowedPlacement(study).allows(relief.scenario.units)).toBe(true);
    const after = new RackModel(study.rack).rate(relief.scenario).power;
    expect(after - found.rated.power).toBeCloseTo(relief.freed, 6);
    expect(relief.freed).toBeGreaterThan(5e3);
  });

  it('tells the temperature of the pole that binds, which is at its limit', () => {
    const { rack } = study;
    const thinner = rack.return.sections.map((section) => (
      { ...section, plates: { ...section.plates, thickness: 0.8 * section.plates.thickness } }));
    const uneven = { ...study, rack: { ...rack, return: { ...rack.return, sections: thinner } } };
    const low = searchWorst(uneven, ranges, { seed: 'uneven', starts: 1 });
    expect(low.rated).toMatchObject({ limit: 'bar-rise', pole: 'return' });
    expect(explainWorst(uneven, low)).toContain(
      `the return bar is ${rack.limits.barRise.toFixed(1)} K above the air beside it`);
  });
});
