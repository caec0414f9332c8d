/** What a study does besides rating: drawing scenarios before, sorting and percentiles after. */
import { slotcast } from './library.mjs';
import { inTurn, secondsOf, spreadOf } from './measure.mjs';
import { workload } from './workloads.mjs';

const VALUES = 100_000;

/** µs per drawn scenario of some workloads, by name. */
export async function measureDraws(names, { rounds, scenarios }) {
  const passes = Object.fromEntries(names.map((name) => {
    const { source } = workload(name, 1);
    return [name, () => (1e6 * secondsOf(() => { for (let i = 0; i < scenarios; i++) source.draw(i); })) / scenarios];
  }));
  const taken = await inTurn(rounds, passes);
  return Object.fromEntries(names.map((name) => [name, spreadOf(taken[name])]));
}

/** ms for sorting 1e5 values, and for the study's percentiles of them with intervals. */
export async function measureStatistics({ rounds, scenarios }) {
  const { study, rack, scenarios: few } = workload('deep-bar', Math.min(scenarios, 1000));
  const model = new slotcast.RackModel(rack);
  const rated = few.map((scenario) => model.rate(scenario).power);
  // As many different values in no order: the rated powers stretched a little further in each round.
  const values = Float64Array.from({ length: VALUES }, (_, i) => rated[i % rated.length] * (1 + 1e-7 * i));
  let sorted = values;
  const taken = await inTurn(rounds, {
    sort: () => 1e3 * secondsOf(() => { sorted = values.slice().sort(); }),
    percentiles: () => 1e3 * secondsOf(() => {
      for (const p of study.percentiles) slotcast.percentileEstimate(sorted, p, { confidence: study.confidence });
    }),
  });
  return {
    values: VALUES, percentiles: study.percentiles.length, sortMs: spreadOf(taken.sort),
    percentilesMs: spreadOf(taken.percentiles),
  };
}
