import { describe, expect, it } from 'vitest';
import { checkRules, ImpossibleRules, scenarioSource } from '../../lib/draw/index.js';
import { loadStudy, type Rule, type Study } from '../../lib/rack/index.js';
import { allowedPlacement, onlyNarrows, withRules } from '../../lib/worst/index.js';
import { smallStudy } from './smallStudies.js';

function possible(study: Study): boolean {
  try {
    checkRules(study);
    return true;
  } catch (error) {
    if (error instanceof ImpossibleRules) return false;
    throw error;
  }
}

/** Rules of other small studies that fit into this one's rack. */
function furtherRules({ rack }: Study, seed: number): readonly (readonly Rule[])[] {
  return Array.from({ length: 6 }, (_, k) => smallStudy(seed + k + 1).rules)
    .filter((rules) => rules.length > 0 && rules.every((rule) => !('toSlot' in rule) || rule.toSlot <= rack.slotCount));
}

describe('rules that only narrow a study', () => {
  it('leave no placement that could not be drawn without them', () => {
    const looked = new Map<string, number>();
    for (let seed = 0; seed < 350; seed++) {
      const study = smallStudy(seed);
      const { objection } = allowedPlacement(study);
      for (const rules of furtherRules(study, seed)) {
        const ruled = withRules(study, rules);
        if (!onlyNarrows(study, rules) || !possible(ruled)) continue;
        const source = scenarioSource(ruled);
        for (let index = 0; index < 15; index++) {
          const { units } = source.draw(index).scenario;
          expect(objection(units), `study ${seed}, ${JSON.stringify(rules)}, scenario ${index}`).toBeNull();
        }
        looked.set(study.loads.draw, (looked.get(study.loads.draw) ?? 0) + 1);
      }
    }
    for (const draw of ['even', 'random-split', 'fixed', 'all-or-nothing', 'catalogue', 'inventory']) {
      expect(looked.get(draw), draw).toBeGreaterThan(20);
    }
  }, 60_000);

  it('are not those that keep loads out of near slots, where the rack fills up: the far slots then carry all', () => {
    const { study } = loadStudy('data-demo/deep-bar-anywhere.json');
    const far: Rule = { rule: 'keep-out', units: 'loads', fromSlot: 7, toSlot: 38 };
    const low: Rule = { rule: 'only-in-band', units: 'sources', fromSlot: 1, toSlot: 8 };
    expect(onlyNarrows(study, [low, far])).toBe(false);
    const { units } = scenarioSource(withRules(study, [low, far])).draw(0).scenario;
    expect(allowedPlacement(study).allows(units)).toBe(false);
    expect(onlyNarrows(study, [low])).toBe(true);
    expect(onlyNarrows(study, [{ rule: 'max-power-per-slot', power: 3000 }])).toBe(false);
  });
});
