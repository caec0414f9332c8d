import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { labelRisks } from '../../lib/label/index.js';
import { counting, sampleOf } from './labelCase.js';

const replicatesOf = (size: number) => ({ sampling: { design: 'latin-hypercube' as const, size } });

describe('the risk of a label', () => {
  it('counts the scenarios rated below it; one rated exactly at it carries it', () => {
    const risks = labelRisks(sampleOf([100, 101, 101, 105]), [100_000, 101_000, 102_000, 106_000]);
    expect(risks.map(({ notCarrying }) => notCarrying)).toEqual([0, 1, 3, 4]);
    expect(risks.map(({ notCarryingShare }) => notCarryingShare)).toEqual([0, 0.25, 0.75, 1]);
    expect(risks[3].notCarryingUpper).toBe(1);
  });

  it('is at most 4.95 % with 95 % confidence where none of 59 fails, the sample of Wilks (1941) for 95/95', () => {
    const [{ notCarryingUpper, boundMethod }] = labelRisks(sampleOf(counting(101, 159)), [100_000]);
    expect(notCarryingUpper).toBeCloseTo(0.0495, 4);
    expect(notCarryingUpper).toBeCloseTo(1 - 0.05 ** (1 / 59), 12);
    expect(boundMethod).toBe('Clopper–Pearson');
  });

  it('is bounded from one side: 0 of 100 gives 0.0295130 (Clopper & Pearson 1934, in closed form)', () => {
    const [{ notCarryingUpper }] = labelRisks(sampleOf(counting(101, 200)), [100_000]);
    expect(notCarryingUpper).toBeCloseTo(0.029513, 6);
  });

  it('takes the upper end of the published two-sided 95 % interval of 7 in 50 at half the risk', () => {
    const [{ notCarryingUpper }] = labelRisks(sampleOf(counting(1, 50), { confidence: 0.975 }), [8000]);
    expect(notCarryingUpper).toBeCloseTo(0.267396, 6);
  });

  it('shares its confidence over the looks of a stopping rule', () => {
    const [{ notCarryingUpper }] = labelRisks(sampleOf(counting(101, 200), { looks: 5 }), [100_000]);
    expect(notCarryingUpper).toBeCloseTo(1 - 0.01 ** (1 / 100), 12);
  });

  it('never falls with a higher label, in share and in bound, whatever the sample and the design', () => {
    const powers = fc.array(fc.integer({ min: 1, max: 30 }), { minLength: 1, maxLength: 120 });
    fc.assert(fc.property(powers, fc.integer({ min: 0, max: 12 }), (kw, size) => {
      const sample = sampleOf(kw, size === 0 ? {} : replicatesOf(size));
      const risks = labelRisks(sample, counting(1, 31).map((label) => label * 1000));
      risks.forEach((risk, i) => {
        const before = i === 0 ? { notCarryingShare: 0, notCarryingUpper: null } : risks[i - 1];
        expect(risk.notCarryingShare).toBeGreaterThanOrEqual(before.notCarryingShare);
        // Once there is a bound there is one for every higher label.
        if (before.notCarryingUpper !== null) expect(risk.notCarryingUpper).not.toBeNull();
        expect(risk.notCarryingUpper ?? 1).toBeGreaterThanOrEqual(before.notCarryingUpper ?? 0);
        expect(risk.notCarryingUpper ?? 1).toBeLessThanOrEqual(1);
      });
    }));
  });
});

describe('the risk of a label under a Latin hypercube', () => {
  it('is bounded by Student’s t over the replicates: shares 1/4, 2/4, 3/4 give 0.5 + 2.919986·0.25/√3', () => {
    // t at 95 % from one side and 2 degrees of freedom, 2.919986 (Student's table): 0.921464. The exact bound of 6 of
    // 12 independent scenarios lies below it.
    const sample = sampleOf([1, 9, 9, 9, 1, 1, 9, 9, 1, 1, 1, 9], replicatesOf(4));
    const [risk] = labelRisks(sample, [5000]);
    expect(risk.boundMethod).toBe('independent replicates');
    expect(risk.notCarryingUpper).toBeCloseTo(0.5 + (2.919986 * 0.25) / Math.sqrt(3), 6);
  });

  it('is not below the bound of independent scenarios where the replicates agree', () => {
    const sample = sampleOf(counting(1, 40).map((i) => (i % 10 === 0 ? 1 : 9)), replicatesOf(10));
    const [plain] = labelRisks({ ...sample, sampling: { design: 'plain' } }, [5000]);
    const [risk] = labelRisks(sample, [5000]);
    expect(risk.notCarrying).toBe(4);
    expect(risk.notCarryingUpper).toBe(plain.notCarryingUpper);
  });

  it('is that of rare failures among independent scenarios, or more', () => {
    const [plain] = labelRisks(sampleOf(counting(101, 140)), [104_000]);
    const [rare] = labelRisks(sampleOf(counting(101, 140), replicatesOf(10)), [104_000]);
    expect(rare).toMatchObject({ notCarrying: 3, boundMethod: 'independent replicates' });
    expect(rare.notCarryingUpper).toBeGreaterThanOrEqual(plain.notCarryingUpper ?? Number.NaN);
  });

  it('has no bound, and says why, with fewer than two replicates', () => {
    const [short] = labelRisks(sampleOf(counting(101, 119), replicatesOf(10)), [110_000]);
    expect(short.notCarryingUpper).toBeNull();
    expect(short.boundNote).toMatch(/at least 2 complete replicates of 10/);
    const [coin] = labelRisks(sampleOf(counting(101, 140), { ...replicatesOf(10), confidence: 0.5 }), [120_000]);
    expect(coin.boundNote).toMatch(/above 50 %/);
  });
});

describe('bad input', () => {
  it('is refused with what was found and what is allowed', () => {
    const sample = sampleOf([100, 101]);
    expect(() => labelRisks(sample, [101_000, 100_000]))
      .toThrow(/labels\[1\]: found 100000 W after 101000 W; .*ascending/);
    expect(() => labelRisks(sample, [100_000, 100_000])).toThrow(RangeError);
    expect(() => labelRisks(sample, [0])).toThrow(/labels\[0\]: found 0 W; a finite number above 0 W/);
    expect(() => labelRisks(sample, [Number.NaN])).toThrow(RangeError);
    expect(() => labelRisks(sample, [])).toThrow(/labels: found none/);
    expect(() => labelRisks(sampleOf([]), [1])).toThrow(/found no scenarios; at least 1/);
    expect(() => labelRisks(sampleOf([1], { limit: [null] }), [1])).toThrow(/none was rated/);
    expect(() => labelRisks(sampleOf([1], { limit: [] }), [1])).toThrow(/1 rated powers, 0 limits/);
    expect(() => labelRisks(sampleOf([Number.NaN]), [1])).toThrow(/sample.ratedPower\[0\]: found NaN W/);
    for (const confidence of [0, 1, 1.2, -1, Number.NaN]) {
      expect(() => labelRisks(sampleOf([1], { confidence }), [1]))
        .toThrow(/sample.confidence: found .*above 0 and below 1/);
    }
    expect(() => labelRisks(sampleOf([1], { looks: 0 }), [1])).toThrow(/sample.looks: found 0/);
    expect(() => labelRisks(sampleOf([1], replicatesOf(0)), [1])).toThrow(/sampling.size: found 0/);
  });
});
