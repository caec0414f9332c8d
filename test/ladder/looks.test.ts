/** What other operating states seem to carry, told from the matrix of one, against their own linearisation and full search. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { scenarioSource } from '../../lib/draw/index.js';
import { OUTCOME } from '../../lib/ladder/kernel/layout.js';
import { Ladder } from '../../lib/ladder/ladder.js';
import { Rating } from '../../lib/ladder/ratedPower.js';
import type { Scenario } from '../../lib/draw/scenario.js';
import { loadStudy } from '../../lib/rack/index.js';
import type { Rack } from '../../lib/rack/model.js';
import { rackCase } from './randomRack.js';

interface Look {
  /** Relative difference of what a state seems to carry from what its own linearisation at the same place says. */
  readonly apart: number;
  /** Largest differences from there of voltages, V, and of heats of contacts, as part of the largest. */
  readonly volts: number;
  readonly heats: number;
  /** By how much what it surely carries lies below what it carries, as part of that. */
  readonly below: number;
}

/** Looks from the state `first` at all others of a scenario; null where the library does not look across there. */
function looks(rack: Rack, scenario: Scenario, first: number): Look[] | null {
  const ladder = new Ladder(rack);
  ladder.mount(scenario);
  const { states, kernel } = ladder;
  const rating = new Rating(ladder);
  const begin = () => {
    ladder.setState(states[first]);
    return rating.searchJoint(states[first], Number.POSITIVE_INFINITY);
  };
  if (begin() === undefined) return null;
  const { call } = kernel;
  if (call.lookAtAll(first) === 0) return null;
  const seems = kernel.numbers('seems').slice();
  const surely = kernel.numbers('surely').slice();
  const arrays = () => [
    kernel.numbers('voltage').map((volts, i) => volts + kernel.numbers('edgeVoltage')[i]),
    kernel.numbers('contactHeat').slice(),
  ];
  return states.flatMap((state, s): Look[] => {
    if (s === first || seems[s] === 0) return [];
    begin();
    call.beginLooks();
    call.layWeights(s, 1);
    call.lookAround(s, 1, -1);
    const [volts, heats] = arrays();
    ladder.electrical.setState(state.active, true);
    call.lookAt();
    const own = kernel.outcome[OUTCOME.seems];
    if (own === 0) return [];
    const [ownVolts, ownHeats] = arrays();
    ladder.setState(state);
    const alone = rating.searchJoint(state, Number.POSITIVE_INFINITY);
    const below = alone === null || alone === undefined || surely[s] === 0 ? Number.NaN : 1 - surely[s] / alone.power;
    const largest = highest([...ownHeats.map(Math.abs), 1e-9]);
    return [{ apart: seems[s] / own - 1, volts: apartAtMost(volts, ownVolts), heats: apartAtMost(heats, ownHeats) / largest, below }];
  });
}

function apartAtMost(values: Float64Array, others: Float64Array): number {
  return highest([...values.map((value, i) => Math.abs(value - others[i]))]);
}

function highest(values: readonly number[]): number {
  return values.reduce((most, value) => Math.max(most, value), Number.NEGATIVE_INFINITY);
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[values.length >> 1];
}

describe('looks at other operating states', () => {
  for (const file of ['deep-bar-anywhere', 'deep-bar-inventory']) {
    it(`${file}: agree with each state's own linearisation, and promise less than it carries`, () => {
      const { study } = loadStudy(`data-demo/${file}.json`);
      const source = scenarioSource(study);
      const found: Look[] = [];
      for (let index = 0; index < 60; index++) {
        const { scenario } = source.draw(index);
        found.push(...(looks(study.rack, scenario, index % 3) ?? []));
      }
      const apart = found.map((look) => Math.abs(look.apart));
      const below = found.map((look) => look.below).filter((part) => !Number.isNaN(part));
      expect(found.length).toBeGreaterThan(200);
      expect(median(apart)).toBeLessThan(2e-4);
      expect(highest(apart)).toBeLessThan(1e-3);
      expect(highest(found.map((look) => look.volts))).toBeLessThan(1e-3);
      expect(highest(found.map((look) => look.heats))).toBeLessThan(2e-3);
      expect(below.length).toBeGreaterThan(100);
      expect(highest(below.map((part) => -part))).toBeLessThan(1e-9);
      // What is promised is worth having.
      expect(median(below)).toBeLessThan(0.1);
    });
  }

  it('are not made across droop lines, where every state is solved for by itself', () => {
    const { study } = loadStudy('data-demo/plain-bar-even.json');
    expect(study.rack.sharing.model).toBe('droop');
    const source = scenarioSource(study);
    for (let index = 0; index < 5; index++) expect(looks(study.rack, source.draw(index).scenario, 0)).toBeNull();
  });

  it('promise less than is carried on random racks', () => {
    let promised = 0;
    fc.assert(fc.property(rackCase, ({ rack, scenario }) => {
      for (const { below } of looks(rack, scenario, 0) ?? []) {
        if (Number.isNaN(below)) continue;
        promised++;
        expect(below).toBeGreaterThan(-1e-7);
      }
    }), { numRuns: 40, seed: 11, endOnFailure: true });
    expect(promised).toBeGreaterThan(20);
  });
});
