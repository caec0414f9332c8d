import { describe, expect, it } from 'vitest';
import { labelTable, type LabelBasis, strandedPower } from '../../lib/label/index.js';
import type { PlacementClass } from '../../lib/study/placementClass.js';
import { counting, floorOf, sampleOf } from './labelCase.js';

const TOP = 'sources at the top';
const MIDDLE = 'sources in the middle';
const share: LabelBasis = { kind: 'share', carriedPercent: 95, confidencePercent: 95 };
const every: LabelBasis = { kind: 'every-placement' };

/** 59 placements with sources at the top of 100.5..158.5 kW, then 59 in the middle of 140.5..198.5 kW. */
const kw = [...counting(0, 58).map((i) => 100.5 + i), ...counting(0, 58).map((i) => 140.5 + i)];
const placementClass = kw.map((_, i): PlacementClass => (i < 59 ? TOP : MIDDLE));
const tableOf = (floor: ReturnType<typeof floorOf> | null) =>
  labelTable({ sample: sampleOf(kw, { placementClass }), floor, worstFound: null });

describe('stranded power on a share', () => {
  // Of 118 the second lowest is the 95/95 bound (93 ≤ 118 < 124): 101.5 kW, so 101 kW for all; per class of 59 the
  // lowest: 100 and 140 kW.
  const found = strandedPower({ table: tableOf(null), basis: share });

  it('is the mean of rated power less label over those that carry it', () => {
    expect(found).toMatchObject({ oneLabel: 101_000, scenarios: 118, carryingOneLabel: 117 });
    const carried = kw.filter((power) => power >= 101);
    const sum = carried.reduce((total, power) => total + power - 101, 0);
    expect(found.meanUnused).toBeCloseTo((1000 * sum) / 117, 6);
  });

  it('gives each class its label on the same basis, with what that frees or takes', () => {
    expect(found.rows).toMatchObject([
      { placementClass: MIDDLE, count: 59, share: 0.5, carryingOneLabel: 59, label: 140_000, freed: 39_000 },
      { placementClass: TOP, count: 59, share: 0.5, carryingOneLabel: 58, label: 100_000, freed: -1000 },
    ]);
    // Middle: mean 169.5 kW; top: 101.5..158.5 kW, mean 130 kW.
    expect(found.rows.map(({ meanUnused }) => meanUnused)).toEqual([68_500, 29_000]);
    expect(found.meanFreedByClassLabels).toBeCloseTo((39_000 - 1000) / 2, 6);
  });

  it('has the mean of every placement’s own label as its upper end', () => {
    // Rounded down 100..158 and 140..198 kW: means 129 and 169 kW.
    expect(found.meanFreedByOwnLabels).toBeCloseTo(48_000, 6);
  });

  it('says the basis in words', () => {
    expect(found.words)
      .toMatch(/^One label of 101 kW for all \(basis: at least 95 % of scenarios carry it, with 95 % conf/);
    expect(found.words).toMatch(/low percentile of rated power is a low number/);
    expect(found.words).toMatch(/117 of 118 scenarios .*by \+19\.0 kW on average.*by \+48\.0 kW\.$/);
  });

  it('keeps the one label for a class with too few scenarios, and says how many it takes', () => {
    const lone = placementClass.map((name, i) => (i === 117 ? 'sources in all thirds' : name));
    const table = labelTable({ sample: sampleOf(kw, { placementClass: lone }), floor: null, worstFound: null });
    const { rows, meanFreedByClassLabels } = strandedPower({ table, basis: share });
    const row = rows.find((each) => each.placementClass === 'sources in all thirds');
    expect(row).toMatchObject({ count: 1, label: null, freed: null });
    expect(row?.reason).toMatch(/1 scenarios? are too few for it, at least 59/);
    // The middle class is then one short of 59 too.
    expect(meanFreedByClassLabels).toBeCloseTo((-1000 * 59) / 118, 6);
  });
});

describe('stranded power on every placement', () => {
  it('takes class floors, and the floor of all where that is higher', () => {
    const { rows, oneLabel, meanFreedByClassLabels } = strandedPower({
      table: tableOf(floorOf(98_700)), basis: every,
      classFloors: { [MIDDLE]: floorOf(137_200), [TOP]: floorOf(97_000) },
    });
    expect(oneLabel).toBe(98_000);
    expect(rows.map(({ label, freed }) => [label, freed])).toEqual([[137_000, 39_000], [98_000, 0]]);
    expect(meanFreedByClassLabels).toBeCloseTo(19_500, 6);
  });

  it('has no label for a class without a floor of its own', () => {
    const { rows, meanFreedByClassLabels } = strandedPower({ table: tableOf(floorOf(98_700)), basis: every });
    for (const row of rows) {
      expect(row).toMatchObject({ label: null, freed: null, reason: expect.stringMatching(/no floor/) });
    }
    expect(meanFreedByClassLabels).toBe(0);
  });

  it('knows nothing where there is no label, and says why', () => {
    const found = strandedPower({ table: tableOf(null), basis: every });
    expect(found).toMatchObject({ oneLabel: null, meanUnused: null, rows: [], meanFreedByOwnLabels: null });
    expect(found.words).toMatch(/no floor is proven yet/);
  });
});
