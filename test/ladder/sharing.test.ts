/** How sources share the load, with more than one in service. */
import { describe, expect, it } from 'vitest';
import { type LadderSolution, RackModel } from '../../lib/ladder/index.js';
import type { Sharing } from '../../lib/rack/model.js';
import { load, sampleRack, scenarioOf, shelf } from './sampleRack.js';

/** Sources near and far from the load, so that their terminals differ in voltage. */
function fed(sharing: Sharing['model'], near: number, far: number): LadderSolution {
  const contacts = { contactResistance: [1e-4, 1e-4] } as const;
  const scenario = scenarioOf([
    load(1), shelf(4, { ...contacts, sharingWeight: near, droopResistance: 1e-3 }),
    shelf(40, { ...contacts, sharingWeight: far, droopResistance: 2e-3 }),
  ]);
  const model = new RackModel(sampleRack({ sharing: { model: sharing }, limits: {} }));
  const solution = model.solutionAt(scenario, 20_000, model.states(scenario)[0]);
  if (solution.status !== 'solved') throw new Error(`expected a solution, got ${solution.status}`);
  return solution;
}

describe('equal sharing', () => {
  it('gives each source its weight’s part of the current, wherever it stands', () => {
    const [, near, far] = fed('equal', 0.8, 1.2).units;
    expect(far.current / near.current).toBeCloseTo(1.5, 9);
    const [, one, other] = fed('equal', 1, 1).units;
    expect(other.current).toBeCloseTo(one.current, 9);
  });

  it('holds the mean of the terminal voltages at the set voltage, not that of any one source', () => {
    const [, near, far] = fed('equal', 1, 1).units;
    expect((near.voltage + far.voltage) / 2).toBeCloseTo(50, 9);
    // What 36 steps of both poles drop at 20 °C; the bar is warmer.
    const step = (2 * 1.724138e-8 * 0.04445) / (0.187 * 0.01);
    expect(far.voltage - near.voltage).toBeGreaterThan(36 * step * far.current);
  });
});

describe('droop sharing', () => {
  it('holds each source on its own line from the set voltage, whatever its weight', () => {
    const [, near, far] = fed('droop', 0.8, 1.2).units;
    expect(near.voltage).toBeCloseTo(50 - near.current * 1e-3, 9);
    expect(far.voltage).toBeCloseTo(50 - far.current * 2e-3, 9);
    expect(near.current).toBeGreaterThan(1.5 * far.current);
  });
});
