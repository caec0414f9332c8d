/** How often 95 % intervals hold the truth, over heat runs made with known noise. */
import { describe, expect, it } from 'vitest';
import { fitHeatRun, type HeatRunFit, type FitValues } from '../../lib/calibrate/index.js';
import { CATALOGUE, measured, PLAN, RACK, sensor, truth } from './syntheticRuns.js';

const RUNS = Number(process.env.COVERAGE_RUNS ?? 400);

/** The plan with sensors in the air beside loads. */
const WITH_AIR = {
  points: PLAN.points.map((point) => ({
    ...point,
    readings: [...point.readings, ...[11, 17, 23, 34].map((slot) => sensor(`A${slot}`, slot, 0, { place: 'air' }))],
  })),
};

const CASES: readonly { readonly plan: typeof PLAN; readonly values: FitValues; readonly noise: number }[] = [
  { plan: PLAN, values: { filmFactor: 0.82, sourceContact: 1.4, loadContact: 0.8 }, noise: 1 },
  { plan: PLAN, values: { filmFactor: 0.9, emissivity: 0.45 }, noise: 0.5 },
  { plan: WITH_AIR, values: { areaFactor: 0.97, contactFactor: 1.3, exhaustRise: 0.8 }, noise: 1 },
];

describe('95 % intervals hold the truth in 93 % to 97 % of heat runs', () => {
  it.each(CASES)(
    '$values',
    async ({ plan, values, noise }) => {
      const names = Object.keys(values) as (keyof FitValues)[];
      const exact = truth(plan, values);
      const held = names.map(() => 0);
      let atBounds = 0;
      for (let i = 0; i < RUNS; i++) {
        const fit: HeatRunFit = await fitHeatRun(RACK, CATALOGUE, measured(exact, 'coverage', i, noise), {
          quantities: names,
        });
        fit.quantities.forEach(({ quantity, interval, atBound }, k) => {
          const value = values[quantity] ?? 0;
          if (interval !== null && interval[0] <= value && value <= interval[1]) held[k]++;
          if (atBound !== null) atBounds++;
        });
      }
      const percent = held.map((count) => (100 * count) / RUNS);
      console.log(
        names.map((name, k) => `${name} ${percent[k].toFixed(1)} %`).join(', '),
        `of ${RUNS} heat runs; ${atBounds} values at a bound`,
      );
      for (const share of percent) {
        expect(share).toBeGreaterThanOrEqual(93);
        expect(share).toBeLessThanOrEqual(97);
      }
    },
    600_000,
  );
});
