import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type LabelBasis, labelRisks, labelTable, recommendLabel } from '../../lib/label/index.js';
import { counting, floorOf, sampleOf, worstOf } from './labelCase.js';
import type { Floor } from '../../lib/worst/answers.js';

const every: LabelBasis = { kind: 'every-placement' };
const share = (carriedPercent: number, confidencePercent: number): LabelBasis =>
  ({ kind: 'share', carriedPercent, confidencePercent });

function tableOf(kw: readonly number[], floor: Floor | null = null, options: object = {}) {
  return labelTable({ sample: sampleOf(kw, options), floor, worstFound: null, labels: [1000] });
}

describe('a label for every placement', () => {
  it('is the floor rounded down: 100.0 kW gives 100, 99.9999 kW gives 99', () => {
    expect(recommendLabel(tableOf([120], floorOf(100_000)), every).label).toBe(100_000);
    expect(recommendLabel(tableOf([120], floorOf(99_999.9)), every).label).toBe(99_000);
  });

  it('is never above the floor and less than a step below it, for any step', () => {
    const [powers, steps] = [fc.double({ min: 1000, max: 2e5, noNaN: true }), fc.integer({ min: 1, max: 1000 })];
    fc.assert(fc.property(powers, steps, (power, step) => {
      const sample = sampleOf([250]);
      const table = labelTable({ sample, floor: floorOf(power), worstFound: null, step, labels: [1000] });
      const { label } = recommendLabel(table, every);
      expect(label).not.toBeNull();
      expect(label).toBeLessThanOrEqual(power);
      expect(label).toBeGreaterThan(power - step);
    }));
  });

  it('says its basis, ranges, floor and worst found', () => {
    const table = labelTable({ sample: sampleOf([120]), floor: floorOf(100_400, 98), worstFound: worstOf(104_000) });
    expect(recommendLabel(table, every)).toMatchObject({ label: 100_000, bound: 100_400, rank: null, reason: null });
    expect(recommendLabel(table, every).words).toBe(
      'Label 100 kW: every placement the rules allow carries it, with every uncertain quantity inside the range that '
      + 'covers 98 % of its distribution. Proven by a floor of 100.4 kW (limited by bar rise at slot 1, return pole), '
      + 'rounded down to a multiple of 1 kW; worst found 104 kW.');
    const unfinished = { ...table, floor: { ...floorOf(100_400), finished: false } };
    expect(recommendLabel(unfinished, every).words).toMatch(/more computing time may raise the floor/);
  });

  it('is null with the reason where no floor is proven, or the floor is below one step', () => {
    const open = recommendLabel(tableOf([120]), every);
    expect(open).toMatchObject({ label: null, bound: null });
    expect(open.reason).toBe('no floor is proven yet; the lowest rated power found, 120 kW, is no proof');
    const low = recommendLabel(tableOf([120], floorOf(900)), every);
    expect(low).toMatchObject({ label: null, bound: 900, reason: 'the floor of 0.9 kW is below one step of 1 kW' });
  });

  it('warns where scenarios of the sample do not carry it', () => {
    expect(recommendLabel(tableOf([95, 120], floorOf(100_400)), every).words)
      .toMatch(/1 of 2 scenarios \(50 %\) of the sample do not carry it.*replay scenario 0/);
  });

  it('does not take a scenario that could not be rated for one that contradicts the floor', () => {
    const table = tableOf([0, 120], floorOf(100_400), { limit: [null, 'bar-rise'] });
    expect(recommendLabel(table, every).words).not.toMatch(/do not carry it/);
  });
});

describe('a label for a share of scenarios', () => {
  it('is the lowest of 59, the second of 93, the third of 124 at 95/95 (Wilks 1941), rounded down', () => {
    // In no order, so that ranks have to be found.
    const mixed = (n: number) => counting(1, n).map((i) => 100.7 + ((i * 37) % n));
    for (const [n, rank] of [[59, 1], [93, 2], [124, 3]]) {
      expect(recommendLabel(tableOf(mixed(n)), share(95, 95)))
        .toMatchObject({ label: (99 + rank) * 1000, bound: 99_700 + 1000 * rank, rank });
    }
    expect(recommendLabel(tableOf(mixed(459)), share(99, 99))).toMatchObject({ label: 100_000, rank: 1 });
  });

  it('is the largest multiple of the step whose Clopper–Pearson bound keeps the promise', () => {
    const arbitrary = fc.record({
      kw: fc.array(fc.integer({ min: 2, max: 40 }), { minLength: 30, maxLength: 200 }),
      carried: fc.constantFrom(70, 80, 90),
      confidence: fc.constantFrom(80, 90, 95),
    });
    fc.assert(fc.property(arbitrary, ({ kw, carried, confidence }) => {
      const { label } = recommendLabel(tableOf(kw), share(carried, confidence));
      const sample = sampleOf(kw, { confidence: confidence / 100 });
      const keeps = labelRisks(sample, counting(1, 41).map((at) => at * 1000))
        .filter(({ notCarryingUpper }) => (notCarryingUpper ?? 1) <= 1 - carried / 100 + 1e-12);
      expect(label).toBe(keeps.length === 0 ? null : keeps[keeps.length - 1].label);
    }));
  });

  it('says its basis, that a low percentile is a low number, its rank and what is known over all placements', () => {
    const { words } = recommendLabel(tableOf(counting(101, 159), floorOf(90_000)), share(95, 95));
    expect(words).toBe(
      'Label 101 kW: at least 95 % of scenarios carry it, with 95 % confidence. A low percentile of rated power is a '
      + 'low number, which most scenarios exceed: up to 5 % may fall below. Bound 101 kW, the rated power of rank 1 '
      + 'from below in 59 scenarios, rounded down to a multiple of 1 kW; all 59 carry the label. Over all allowed '
      + 'placements it is open: the floor is 90 kW, the lowest rated power found is 101 kW; a placement that does not '
      + 'carry it may exist.');
  });

  it('shares the confidence over planned looks', () => {
    // 5 looks at 95 % are 99 % each, which takes 90 scenarios at 5 %.
    expect(recommendLabel(tableOf(counting(1, 89), null, { looks: 5 }), share(95, 95)).label).toBeNull();
    expect(recommendLabel(tableOf(counting(1, 90), null, { looks: 5 }), share(95, 95)).label).toBe(1000);
  });

  it('is null with the reason for too few scenarios, dependent ones, or a bound below one step', () => {
    const few = recommendLabel(tableOf(counting(101, 158)), share(95, 95));
    expect(few).toMatchObject({ label: null, reason: '58 scenarios are too few for it, at least 59 are needed' });
    expect(few.words).toMatch(/^No label on the basis that at least 95 % of scenarios carry it/);
    const cubes = tableOf(counting(101, 400), null, { sampling: { design: 'latin-hypercube', size: 10 } });
    expect(recommendLabel(cubes, share(95, 95)).reason).toMatch(/need independent scenarios.*plain sampling/);
    const low = counting(1, 59).map((i) => (i === 7 ? 0.4 : 100));
    expect(recommendLabel(tableOf(low), share(95, 95))).toMatchObject({
      label: null, bound: 400, rank: 1, reason: 'the bound of 0.4 kW is below one step of 1 kW',
    });
  });

  it('counts scenarios that could not be rated as carrying nothing, and says so', () => {
    const kw = counting(1, 93).map((i) => (i === 50 ? 0 : 100 + i));
    const limit = kw.map((power) => (power === 0 ? null : 'bar-rise' as const));
    const found = recommendLabel(tableOf(kw, null, { limit }), share(95, 95));
    expect(found).toMatchObject({ label: 101_000, rank: 2 });
    expect(found.words).toMatch(/1 of 93 scenarios .* of which 1 could not be rated and count as carrying nothing/);
  });

  it('refuses percentages outside 0..100', () => {
    for (const bad of [0, 100, -5, 120, Number.NaN]) {
      expect(() => recommendLabel(tableOf([1]), share(bad, 95)))
        .toThrow(/basis.carriedPercent: found .* above 0 % and below 100 %/);
      expect(() => recommendLabel(tableOf([1]), share(95, bad))).toThrow(/basis.confidencePercent: found/);
    }
    expect(() => recommendLabel(tableOf([1]), { kind: 'hope' } as unknown as LabelBasis))
      .toThrow(/basis.kind: found hope/);
  });
});
