import { describe, expect, it } from 'vitest';
import { type LabelExcess, labelTable } from '../../lib/label/index.js';
import { counting, floorOf, sampleOf, worstOf } from './labelCase.js';
import { load, scenarioOf, shelf } from '../ladder/sampleRack.js';

const excess = (kelvin: number): LabelExcess =>
  ({ limit: 'bar-rise', slot: 3, pole: 'supply', excess: kelvin, unit: 'K' });

describe('a label table', () => {
  const sample = sampleOf([110, 120, 105, 130, 115], {
    limit: ['contact-temperature', 'bar-rise', 'bar-rise', 'bar-rise', 'contact-temperature'],
  });
  const table = labelTable({
    sample, floor: floorOf(100_000), worstFound: worstOf(104_000),
    labels: [100_000, 101_000, 104_000, 104_500, 116_000],
  });

  it('calls a label up to the floor proven, above the worst found refuted, and open between, ends included', () => {
    expect(table.rows.map(({ verdict }) => verdict)).toEqual(['proven', 'open', 'open', 'refuted', 'refuted']);
    expect(table.rows.map(({ provenByFloor }) => provenByFloor)).toEqual([true, false, false, false, false]);
    expect(table.rows.map(({ placementFails }) => placementFails)).toEqual([false, false, false, true, true]);
    expect(table.rows[0].verdictWords).toBe('proven: every allowed placement carries it, '
      + 'with every uncertain quantity as in the files (floor 100 kW)');
    expect(table.rows[1].verdictWords).toMatch(/^open: the floor is 100 kW, the lowest rated power found is 104 kW/);
    expect(table.rows[3].verdictWords)
      .toBe('refuted: a placement rated at 104 kW was found by the search; the floor is 100 kW');
  });

  it('says which share carries it, and what binds most often among those that do not', () => {
    const [first, , , , last] = table.rows;
    expect(first).toMatchObject({ notCarrying: 0, carryingShare: 1, binding: null, medianFailing: null });
    expect(last).toMatchObject({
      notCarrying: 3, carryingShare: 0.4, binding: { limit: 'contact-temperature', count: 2, share: 2 / 3 },
    });
  });

  it('asks the excess of the worst found and of the middle of those that fail, at the label', () => {
    const asked: [number, number][] = [];
    const withExcess = labelTable({
      sample, floor: null, worstFound: worstOf(104_000), labels: [104_000, 116_000],
      scenarioAt: (index) => ({ ...scenarioOf([shelf(3), load(20)]), index: index + 1000 }),
      excessAt: (scenario, power) => {
        asked.push([scenario.index, power]);
        return excess(scenario.index < 1000 ? 9 : 2);
      },
    });
    expect(withExcess.rows[0]).toMatchObject({ worstFoundExcess: null, medianFailing: null });
    // Of 105, 110 and 115 kW the middle one is scenario 0.
    expect(withExcess.rows[1].worstFoundExcess).toEqual(excess(9));
    expect(withExcess.rows[1].medianFailing).toEqual({ index: 0, ratedPower: 110_000, excess: excess(2) });
    expect(asked).toEqual([[0, 116_000], [1000, 116_000]]);
  });

  it('works without a floor and without a search: the lowest of the sample stands for the worst found', () => {
    const bare = labelTable({ sample, floor: null, worstFound: null, labels: [90_000, 106_000] });
    expect(bare.worst).toEqual({ power: 105_000, kind: 'sample', lowestOfSample: 105_000, lowestIndex: 2 });
    expect(bare.rows.map(({ verdict }) => verdict)).toEqual(['open', 'refuted']);
    expect(bare.rows[0].verdictWords).toMatch(/^open: no floor is proven yet/);
    expect(bare.rows[1].verdictWords).toMatch(/rated at 105 kW was found in the sample/);
  });

  it('warns where a scenario of the sample contradicts a proven label, and names it', () => {
    const odd = labelTable({
      sample, floor: floorOf(106_000, 98), worstFound: worstOf(107_000), labels: [106_000, 106_500],
    });
    expect(odd.rows[0]).toMatchObject({ verdict: 'proven', placementFails: true });
    expect(odd.rows[0].verdictWords)
      .toMatch(/covers 98 % of its distribution .*1 of 5 scenarios \(20 %\) .*scenario 2/);
    expect(odd.rows[1].verdict).toBe('refuted');
    expect(odd.rows[1].verdictWords).toMatch(/rated at 105 kW was found in the sample, below what the search met/);
  });

  it('counts a scenario that could not be rated as carrying nothing, but not as a placement that was met', () => {
    const some = sampleOf([0, 110, 120], { limit: [null, 'bar-rise', 'bar-rise'] });
    const { rows, worst } = labelTable({ sample: some, floor: null, worstFound: null, labels: [100_000, 115_000] });
    expect(worst.power).toBe(110_000);
    expect(rows[0]).toMatchObject({ notCarrying: 1, verdict: 'open', binding: null, medianFailing: null });
    expect(rows[1]).toMatchObject({ notCarrying: 2, verdict: 'refuted', medianFailing: { index: 1 } });
  });

  it('refuses a floor above the worst found, and a bad step or percentile', () => {
    const input = { sample, floor: floorOf(105_000), worstFound: worstOf(104_000) };
    expect(() => labelTable(input)).toThrow(/floor: found 105000 W above the worst found of 104000 W/);
    expect(() => labelTable({ ...input, floor: floorOf(104_000.01) })).not.toThrow();
    expect(() => labelTable({ ...input, floor: null, step: 0 })).toThrow(/step: found 0 W/);
    expect(() => labelTable({ ...input, floor: null, percentiles: [1] })).not.toThrow();
    expect(() => labelTable({ ...input, floor: null, percentiles: [5] }))
      .toThrow(/percentiles\[0\]: found 5; a fraction/);
    expect(() => labelTable({ ...input, floor: floorOf(Number.NaN) })).toThrow(/floor: found NaN W/);
  });
});

describe('automatic candidates', () => {
  // 100..199 kW: median 149.5, 1st percentile by type 8 at position 1.33: 100.3 kW.
  const sample = sampleOf(counting(100, 199));
  const labelsOf = (options: object) =>
    labelTable({ sample, floor: null, worstFound: null, ...options }).rows.map(({ label }) => label / 1000);

  it('hold the floor and the percentiles rounded down, and run from below the floor to above the median', () => {
    const labels = labelsOf({ floor: floorOf(97_800), percentiles: [0.01, 0.1, 0.5] });
    for (const kept of [97, 100, 109, 149]) expect(labels).toContain(kept);
    expect(labels[0]).toBeLessThan(97.8);
    expect(labels[labels.length - 1]).toBeGreaterThan(149.5);
    expect(labels[labels.length - 1]).toBeLessThanOrEqual(160);
    expect(labels.length).toBeLessThanOrEqual(12);
    expect(labels.length).toBeGreaterThanOrEqual(8);
    // By hand: steps of 10 kW from 90 to 150 kW beside them.
    expect(labels).toEqual([90, 97, 100, 109, 110, 120, 130, 140, 149, 150]);
  });

  it('start below a floor that is a round power itself', () => {
    expect(labelsOf({ floor: floorOf(100_000) })[0]).toBeLessThan(100);
  });

  it('are multiples of the step, ascending, whatever the step', () => {
    for (const step of [100, 250, 1000, 3000, 400_000]) {
      const labels = labelsOf({ step, percentiles: [0.01, 0.5] });
      labels.forEach((label, i) => {
        expect((label * 1000) % step).toBe(0);
        if (i > 0) expect(label).toBeGreaterThan(labels[i - 1]);
      });
      expect(labels.length).toBeLessThanOrEqual(12);
      expect(labels.length).toBeGreaterThan(0);
    }
  });

  it('are the percentiles alone where more than twelve are asked for', () => {
    const percentiles = counting(1, 20).map((i) => i / 40);
    expect(labelsOf({ percentiles })).toHaveLength(20);
  });

  it('leave out a label of 0 kW where the floor or a percentile is below one step', () => {
    const sampleOfThree = sampleOf([0.2, 3.5, 4.5]);
    const low = labelTable({ sample: sampleOfThree, floor: floorOf(100), worstFound: null, percentiles: [0.01] });
    expect(low.rows.map(({ label }) => label)).toEqual([1000, 2000, 3000, 4000]);
  });
});
