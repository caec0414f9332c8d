import { describe, expect, it } from 'vitest';
import { scenarioSource } from '../../lib/draw/index.js';
import { loadStudy } from '../../lib/rack/index.js';
import { allowedPlacement } from '../../lib/worst/allowedPlacement.js';
import { smallStudy } from './smallStudies.js';

describe('allowedPlacement', () => {
  it('allows whatever a small study draws, and says no to a load or source too many or too few', () => {
    for (let seed = 0; seed < 300; seed++) {
      const study = smallStudy(seed);
      const { allows, objection } = allowedPlacement(study);
      const source = scenarioSource(study);
      for (let index = 0; index < 20; index++) {
        const { units } = source.draw(index).scenario;
        expect(objection(units), `study ${seed}, scenario ${index}`).toBeNull();
        const sources = units.filter(({ kind }) => kind !== 'load');
        const loads = units.filter(({ kind }) => kind === 'load');
        expect(allows(sources)).toBe(false);
        expect(allows([...sources.slice(1), ...loads])).toBe(false);
        expect(allows([...units, { ...units[0] }])).toBe(false);
        expect(allows([...sources, ...loads.map((unit) => ({ ...unit, power: 1.01 * unit.power + 7000 }))])).toBe(false);
      }
    }
  });

  it.each(['deep-bar-anywhere', 'deep-bar-inventory', 'plain-bar-even'])('allows what %s draws', (name) => {
    const { study } = loadStudy(`data-demo/${name}.json`);
    const { objection } = allowedPlacement(study);
    const source = scenarioSource(study);
    for (let index = 0; index < 100; index++) expect(objection(source.draw(index).scenario.units)).toBeNull();
  });
});
