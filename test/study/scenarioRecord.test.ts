import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { scenarioSource } from '../../lib/draw/index.js';
import { loadStudy } from '../../lib/rack/index.js';
import { replayPlacement, replayScenario, scenarioOfRecord, scenarioRecord } from '../../lib/study/index.js';

describe('a scenario as a record', () => {
  for (const name of ['deep-bar-anywhere', 'plain-bar-even', 'deep-bar-inventory']) {
    it(`is the same placement with the same rated power after a file (${name})`, () => {
      const { study } = loadStudy(join('data-demo', `${name}.json`));
      for (let i = 0; i < 20; i++) {
        const { scenario, unitsLeftOut } = scenarioSource(study).draw(i);
        const record = JSON.parse(JSON.stringify(scenarioRecord(scenario)));
        const again = scenarioOfRecord(record, study);
        expect(again.units.map(({ bottomSlot, equipment, maxCurrent }) => [bottomSlot, equipment, maxCurrent]))
          .toEqual(scenario.units.map(({ bottomSlot, equipment, maxCurrent }) => [bottomSlot, equipment, maxCurrent]));
        const { rated } = replayPlacement(study, { scenario: again, unitsLeftOut });
        expect(rated.power / replayScenario(study, i).rated.power).toBeCloseTo(1, 9);
      }
    });
  }

  it('refuses equipment that the catalogue does not know', () => {
    const { study } = loadStudy('data-demo/plain-bar-even.json');
    const record = scenarioRecord(scenarioSource(study).draw(0).scenario);
    const units = record.units.map((unit) => ({ ...unit, equipment: 'unknown' }));
    expect(() => scenarioOfRecord({ ...record, units }, study)).toThrow(/"unknown".*equipment catalogue/);
  });
});
