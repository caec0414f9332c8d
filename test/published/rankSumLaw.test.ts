/**
 * A study whose answer is known exactly. A bar fed at one end carries K equal loads on K of N slots drawn uniformly
 * without replacement. With constant currents the far-end drop is i·r·W, W the sum of the occupied positions: the
 * rank-sum law of Wilcoxon (1945), mean K(N+1)/2, variance K(N−K)(N+1)/12. With the lowest load voltage as the only
 * limit, and so small a drop that constant power is constant current to 3e-6, the rated power is proportional to 1/W.
 * The 50/90/95/99/99.9 % points 245/296/310/335/362 for N 48, K 10 were counted by the recursion below.
 */
import { describe, expect, it } from 'vitest';
import { replayScenario, runStudy, sortedRatedPowers, summarise } from '../../lib/study/index.js';
import { RackModel } from '../../lib/ladder/index.js';
import { load, scenarioOf, shelf, slots } from '../ladder/sampleRack.js';
import { publishedCheck } from './publishedCheck.js';
import { countsBySum, K, N, SCENARIOS, study, sumOf } from './rankSumStudy.js';

const law = { section: 'E', unit: '1' } as const;

/** Smallest w with P(W ≤ w) ≥ p. */
function exactPoint(p: number): number {
  const counts = countsBySum();
  const total = counts.reduce((a, b) => a + b, 0);
  let sum = 0;
  return counts.findIndex((count) => {
    sum += count;
    return sum >= p * total;
  });
}

describe('rank-sum law through draw, ladder, study and percentiles', () => {
  it('the exact points are those published', () => {
    expect([0.5, 0.9, 0.95, 0.99, 0.999].map(exactPoint)).toEqual([245, 296, 310, 335, 362]);
  });

  it('every scenario gives a whole sum of positions, with the law’s mean and variance', async () => {
    const run = await runStudy(study);
    const sums = Array.from(sortedRatedPowers(run.table, run.scenarios), sumOf);
    expect(sums).toHaveLength(SCENARIOS);
    for (const sum of sums) expect(Math.abs(sum - Math.round(sum))).toBeLessThan(2e-3);
    const mean = sums.reduce((a, b) => a + b, 0) / SCENARIOS;
    const variance = sums.reduce((a, b) => a + (b - mean) ** 2, 0) / (SCENARIOS - 1);
    const exactVariance = (K * (N - K) * (N + 1)) / 12;
    expect(exactVariance).toBeCloseTo(1551.67, 2);
    publishedCheck({
      ...law, quantity: `${SCENARIOS} scenarios, mean of the sum of positions`, source: 'Wilcoxon (1945): K(N+1)/2',
      published: 245, ours: mean, tolerance: { absolute: 4 * Math.sqrt(exactVariance / SCENARIOS) },
      why: 'four standard errors of the mean',
    });
    publishedCheck({
      ...law, quantity: `${SCENARIOS} scenarios, variance of the sum of positions`,
      source: 'Wilcoxon (1945): K(N−K)(N+1)/12', published: 1551.67, ours: variance,
      tolerance: { absolute: 4 * exactVariance * Math.sqrt(2 / SCENARIOS) },
      why: 'four standard errors; the law is nearly normal, so var(s²) ≈ 2σ⁴/n',
    });

    const summary = summarise(run, []);
    for (const row of summary.percentiles) {
      // The power that a fraction p falls below belongs to the sum that 1 − p does not exceed.
      const exact = exactPoint(1 - row.percent / 100);
      if (row.lowerKw === null || row.upperKw === null) throw new Error('interval expected');
      expect(sumOf(row.upperKw * 1e3) - 0.01).toBeLessThanOrEqual(exact);
      expect(sumOf(row.lowerKw * 1e3) + 0.01).toBeGreaterThanOrEqual(exact);
      const ours = sumOf(row.ratedKw * 1e3);
      const ends = [row.lowerKw, row.upperKw].map((end) => Math.abs(sumOf(end * 1e3) - ours));
      publishedCheck({
        ...law, quantity: `${SCENARIOS} scenarios, sum of positions at the ${row.percent} % point of rated power`,
        source: 'Wilcoxon (1945), rank-sum law counted exactly', published: exact, ours,
        tolerance: { absolute: Math.max(0.01, ...ends) }, why: 'the study’s own interval at 99.9 % confidence',
      });
    }
  });

  it('no placement carries less than the loads on the ten farthest positions', () => {
    const model = new RackModel(study.rack);
    const worst = model.rate(scenarioOf([shelf(1), ...slots(N - K + 2, N + 1).map((slot) => load(slot))]));
    publishedCheck({
      ...law, quantity: 'worst placement, loads on positions 39 to 48, sum of positions',
      source: 'closed form: 39 + … + 48', published: 435, ours: sumOf(worst.power), tolerance: { absolute: 2e-3 },
      why: 'constant power is constant current to 3e-6 at this drop',
    });
    expect(worst.limit).toBe('lowest-load-voltage');
    expect(worst.slot).toBe(N + 1);
  });

  it('one scenario replayed has its loads on the positions whose sum it reports', () => {
    const { scenario, rated } = replayScenario(study, 7);
    const sum = scenario.units.filter((u) => u.kind === 'load').reduce((total, u) => total + u.bottomSlot - 1, 0);
    expect(sumOf(rated.power) / sum).toBeCloseTo(1, 5);
  });
});
