import { describe, expect, it } from 'vitest';
import {
  type LabelExcess, labelJson, labelTable, recommendLabel, ruleTable, strandedPower,
} from '../../lib/label/index.js';
import { counting, floorOf, sampleOf, worstOf } from './labelCase.js';

const sample = sampleOf(counting(101, 159));
const share = { kind: 'share', carriedPercent: 95, confidencePercent: 95 } as const;

function jsonOf(floorPower: number | null, excess: LabelExcess | null) {
  const floor = floorPower === null ? null : floorOf(floorPower, 98);
  const table = labelTable({
    sample, floor, worstFound: worstOf(100_400), labels: [99_000, 110_000], excessAt: () => excess,
  });
  return labelJson({
    table,
    recommendations: [recommendLabel(table, { kind: 'every-placement' }), recommendLabel(table, share)],
    stranded: [strandedPower({ table, basis: share })],
    rules: ruleTable([{ rules: [], floor, worstFound: worstOf(100_400), percentiles: [] }]),
  });
}

const rise: LabelExcess = { limit: 'bar-rise', slot: 3, pole: 'supply', excess: 4.5, unit: 'K' };

describe('label.json', () => {
  it('holds labels, recommendations, stranded power and rules in kW and per cent', () => {
    const json = jsonOf(99_999.9, rise);
    expect(json).toMatchObject({
      format: 'slotcast-label/1', stepKw: 1, scenarios: 59, scenariosNotRated: 0, confidencePercent: 95,
      floor: { floorKw: 99.9999, coverPercent: 98, finished: true },
      worstFound: { ratedKw: 100.4, kind: 'searched', lowestOfSampleKw: 101 },
    });
    expect(json.labels).toMatchObject([
      { labelKw: 99, scenariosNotCarrying: 0, carryingPercent: 100, verdict: 'proven' },
      { labelKw: 110, scenariosNotCarrying: 9, verdict: 'refuted', worstFoundExcess: { excessK: 4.5, excessA: null } },
    ]);
    expect(json.labels[0].notCarryingUpperPercent).toBeCloseTo(100 * (1 - 0.05 ** (1 / 59)), 7);
    expect(json.recommendations.map(({ labelKw }) => labelKw)).toEqual([99, 101]);
    expect(json.strandedPower[0]).toMatchObject({ oneLabelKw: 101, meanUnusedKw: 29 });
    expect(json.rules[0]).toMatchObject({ labelKw: 99 });
  });

  it('is plain JSON without a number that is not finite, with or without floor and solution', () => {
    for (const json of [jsonOf(99_000, rise), jsonOf(null, null),
      jsonOf(null, { limit: 'no-steady-state', slot: 0, pole: 'both', excess: null, unit: null })]) {
      expect(JSON.parse(JSON.stringify(json))).toEqual(json);
      expect(JSON.stringify(json)).not.toMatch(/NaN|Infinity|undefined/);
    }
  });

  it('names the unit in every key of a number', () => {
    const units = /(Kw|Percent|K|A|V)$|^(percent|scenarios|scenarios[A-Z]\w*|plannedLooks|rank|index|\w+Index|slot)$/;
    const walk = (value: unknown, key: string): void => {
      if (typeof value === 'number') expect(key).toMatch(units);
      else if (typeof value === 'object' && value !== null) {
        for (const [name, inner] of Object.entries(value)) walk(inner, Array.isArray(value) ? key : name);
      }
    };
    walk(jsonOf(99_000, rise), '');
  });

  it('carries the cautions, and says that a low percentile is a low number', () => {
    const { caution, percentileNote, boundNote } = jsonOf(null, null);
    expect(caution).toMatch(/temperature-rise test.*fault currents.*burn.*licensed practice/);
    expect(percentileNote).toMatch(/low percentile of rated power is a low number, which most scenarios exceed/);
    expect(boundNote).toMatch(/one-sided/);
  });

  it('says no steady state in words', () => {
    const json = jsonOf(null, { limit: 'no-steady-state', slot: 0, pole: 'both', excess: null, unit: null });
    expect(json.labels[1].worstFoundExcess)
      .toMatchObject({ excessK: null, words: 'no steady state: no solution at this power' });
  });
});
