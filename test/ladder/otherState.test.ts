import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Ladder } from '../../lib/ladder/ladder.js';
import type { OperatingState } from '../../lib/ladder/operatingState.js';
import { rackCase, racks } from './randomRack.js';
import { load, sampleRack, scenarioOf, shelf, slots } from './sampleRack.js';

const RULES = ['all-in-service', 'one-source-out'] as const;
/** Relative, as a look at another state asks for. */
const CLOSURE = 1e-5;

interface Flow {
  readonly segments: Float64Array;
  readonly volts: Float64Array;
  readonly loads: Float64Array;
}

/** Currents and voltages of a state at the present temperatures. */
function flowOf(ladder: Ladder): Flow {
  const { electrical, mounting } = ladder;
  return {
    segments: electrical.segmentCurrent.slice(), volts: electrical.voltage.slice(),
    loads: mounting.loads.current.slice(0, mounting.loads.count),
  };
}

/** Largest difference of two flows: currents relative to all that is fed, voltages to the set voltage. */
function difference(a: Flow, b: Flow, setVoltage: number): number {
  const all = b.loads.reduce((sum, amperes) => sum + amperes, 0);
  const largest = (x: Float64Array, y: Float64Array) => x.reduce((most, value, i) => Math.max(most, Math.abs(value - y[i])), 0);
  return Math.max(
    largest(a.segments, b.segments) / all, largest(a.loads, b.loads) / Math.max(...b.loads), largest(a.volts, b.volts) / setVoltage);
}

/** A state solved from the currents of another, and to rounding by itself; null where either finds none. */
function bothWays(ladder: Ladder, from: OperatingState, to: OperatingState, power: number): { near: Flow; fine: Flow } | null {
  const { call } = ladder.kernel;
  ladder.setState(from);
  if (ladder.solve(power) !== 'solved') return null;
  ladder.electrical.setState(to.active, true);
  if (call.solveAgain(power, CLOSURE) === 0) return null;
  const near = flowOf(ladder);
  ladder.electrical.setState(to.active);
  if (!ladder.electrical.solve(power)) return null;
  return { near, fine: flowOf(ladder) };
}

describe('the currents of another operating state, from those of the last one', () => {
  it('are those of a solve from the start as nearly as they are asked to be, on random racks', () => {
    let compared = 0;
    fc.assert(
      fc.property(rackCase, fc.double({ min: 0.05, max: 1, noNaN: true }), ({ rack, scenario }, part) => {
        const ladder = new Ladder({ ...rack, operatingStates: RULES });
        ladder.mount(scenario);
        const power = part * 20 * rack.setVoltage * ladder.mounting.sources.count;
        for (const to of ladder.states.slice(1)) {
          const found = bothWays(ladder, ladder.states[0], to, power);
          if (found === null) continue;
          compared++;
          expect(difference(found.near, found.fine, rack.setVoltage)).toBeLessThan(2 * CLOSURE);
        }
      }),
      { numRuns: racks(150), seed: 31, endOnFailure: true },
    );
    expect(compared).toBeGreaterThan(racks(150));
  });

  it('answer to the voltage that the loads then have', () => {
    // Sources at both ends of a bar that loses some volts: with one of them out the loads have less, and draw more.
    const thin = sampleRack({ operatingStates: RULES });
    const ladder = new Ladder(thin);
    ladder.mount(scenarioOf([shelf(1), ...slots(20, 24).map((s) => load(s)), shelf(44)]));
    const [all, out] = ladder.states;
    const found = bothWays(ladder, all, out, 60_000);
    ladder.setState(all);
    ladder.solve(60_000);
    const before = flowOf(ladder);
    expect(found).not.toBeNull();
    if (found === null) return;
    expect(difference(before, found.fine, thin.setVoltage)).toBeGreaterThan(100 * CLOSURE);
    expect(difference(found.near, found.fine, thin.setVoltage)).toBeLessThan(CLOSURE);
  });
});
