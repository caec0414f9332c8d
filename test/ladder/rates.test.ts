/** How temperatures follow the power, as the linearisation has it, against solutions at powers to either side. */
import { describe, expect, it } from 'vitest';
import { Ladder } from '../../lib/ladder/ladder.js';
import { load, sampleRack, scenarioOf, shelf } from './sampleRack.js';

const POWER = 60_000;
const STEP = 20;
/** What is left out, that films depend on the air's temperature, is a fifth at most of what looks take off for it. */
const LEFT_OUT = 0.02;

/** Largest difference of the rates from those of solutions, as part of the largest rate. */
function error(surroundings: number | null, exhaustRise: number, radiates: number): number {
  const ladder = new Ladder(sampleRack({ air: { surroundings, exhaustRise } }));
  // A unit in every slot: the air beside all of the bar follows the power.
  const loads = Array.from({ length: 42 }, (_, k) => load(k + 2));
  const scenario = scenarioOf([shelf(1), ...loads, shelf(44)]);
  ladder.mount({ ...scenario, build: { ...scenario.build, emissivity: radiates } });
  const [state] = ladder.states;
  const at = (power: number) => {
    ladder.setState(state);
    ladder.kernel.call.solveStart();
    ladder.kernel.call.beginAt(power);
    expect(ladder.solve(power)).toBe('solved');
    return ladder.thermal.temperature.slice();
  };
  const [below, above] = [at(POWER - STEP), at(POWER + STEP)];
  at(POWER);
  // One more sweep linearises where the solution stands.
  ladder.kernel.call.sweep(POWER, 1e-12);
  const rates = ladder.kernel.numbers('rate');
  let worst = 0;
  let largest = 0;
  rates.forEach((rate, e) => {
    const exact = (above[e] - below[e]) / (2 * STEP);
    worst = Math.max(worst, Math.abs(rate - exact));
    largest = Math.max(largest, Math.abs(exact));
  });
  return worst / largest;
}

describe('rates of temperature with power', () => {
  it('are those of solutions where the bar radiates to the air beside it', () => {
    expect(error(null, 0, 0.9)).toBeLessThan(2e-3);
    expect(error(null, 2e-3, 0.9)).toBeLessThan(LEFT_OUT);
  });

  it('are those of solutions where it radiates to surroundings of their own temperature', () => {
    expect(error(310, 0, 0.9)).toBeLessThan(2e-3);
    // Left to the air, radiation made them a third too large.
    expect(error(310, 2e-3, 0.9)).toBeLessThan(LEFT_OUT);
    expect(error(290, 2e-3, 0.2)).toBeLessThan(LEFT_OUT);
  });
});
