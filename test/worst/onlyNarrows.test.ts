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

  it('are all rules where numbers and powers come first, and those on the sources alone everywhere', () => {
    const base = smallStudy(0);
    const under = (loads: Study['loads'], rules: readonly Rule[]) => onlyNarrows({ ...base, loads }, rules);
    const count = { min: 1, max: 2 };
    const alike = (id: string, chanceFull: number) => ({ draw: 'all-or-nothing', id, cap: 3000, chanceFull }) as const;
    const cap: Rule = { rule: 'max-power-per-slot', power: 3000 };
    const out: Rule = { rule: 'keep-out', units: 'loads', fromSlot: 1, toSlot: 2 };
    for (const rules of [[cap], [out], [cap, out]]) {
      expect(under({ draw: 'fixed', units: [] }, rules)).toBe(true);
      expect(under({ draw: 'even', id: 'node', count, totalPower: 9000 }, rules)).toBe(true);
      expect(under({ draw: 'random-split', id: 'node', count, totalPower: 9000, concentration: 1 }, rules)).toBe(true);
      expect(under(alike('node', 0.5), rules)).toBe(true);
      // Where every place is taken, or places are cut two slots high, a rule leads to other ones.
      expect(under(alike('node', 1), rules)).toBe(false);
      expect(under(alike('double', 0.5), rules)).toBe(false);
      expect(under(alike('gone', 0.5), rules)).toBe(false);
    }
    const catalogue = { draw: 'catalogue', totalPower: 9000, fill: 'anywhere' } as const;
    const apart = (units: Extract<Rule, { rule: 'not-next-to' }>['units'], neighbours: typeof units): Rule => (
      { rule: 'not-next-to', units, neighbours });
    for (const loads of [catalogue, alike('double', 0.5)]) {
      expect(under(loads, [apart('sources', { id: 'shelf' }), { ...out, units: 'battery-shelves' }])).toBe(true);
      expect(under(loads, [apart('sources', { id: 'node' })])).toBe(false);
      expect(under(loads, [apart('loads', 'sources')])).toBe(false);
      expect(under(loads, [{ ...out, units: { id: 'shelf' } }, { ...out, units: { id: 'double' } }])).toBe(false);
    }
  });
});
