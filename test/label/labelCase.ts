import type { LabelSample } from '../../lib/label/index.js';
import type { PlacementClass } from '../../lib/study/placementClass.js';
import type { Floor, WorstFound } from '../../lib/worst/answers.js';
import { load, scenarioOf, shelf } from '../ladder/sampleRack.js';

const point = { min: 1, max: 1 };

/** A floor of so many W, with everything as in the files. */
export function floorOf(power: number, coverPercent: number | null = null): Floor {
  return {
    kind: 'bounded', power, limitedBy: 'bar rise at slot 1, return pole', classes: 4, seconds: 1, finished: true,
    ranges: {
      coverPercent, contactFactor: point, filmFactor: point, emissivity: null, areaFactor: point,
      inlet: { min: 298.15, max: 298.15 }, sourceContact: null, loadContact: null, sharingWeight: point,
    },
  };
}

/** A searched worst of so many W. */
export function worstOf(power: number): WorstFound {
  return {
    kind: 'searched', scenario: scenarioOf([shelf(3), load(20)]), starts: 10, agreeing: 7,
    evaluations: 1000, seconds: 1,
    rated: {
      power, limit: 'bar-rise', slot: 3, pole: 'supply',
      state: { rule: 'all-in-service', outSlot: 0, active: [1] }, search: 'joint', sweeps: 3,
    },
  };
}

/** Independent scenarios of these rated powers, kW, all limited by bar rise, 95 % confidence, unless said otherwise. */
export function sampleOf(ratedKw: readonly number[], options: Partial<LabelSample> = {}): LabelSample {
  return {
    ratedPower: ratedKw.map((kw) => kw * 1000),
    limit: ratedKw.map(() => 'bar-rise' as const),
    placementClass: ratedKw.map((): PlacementClass => 'sources at the top'),
    sampling: { design: 'plain' },
    confidence: 0.95,
    looks: 1,
    ...options,
  };
}

/** From..to in steps of 1, inclusive. */
export function counting(from: number, to: number): number[] {
  return Array.from({ length: to - from + 1 }, (_, i) => from + i);
}
