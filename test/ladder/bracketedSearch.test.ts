/** The bracketed search on utilisations written down here, trial by trial, and the order in which states are rated. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { RackModel, RatingError } from '../../lib/ladder/index.js';
import { Ladder, type SolveStatus } from '../../lib/ladder/ladder.js';
import { OUTCOME } from '../../lib/ladder/kernel/layout.js';
import { LIMIT_NAMES, type LimitName } from '../../lib/ladder/limitCheck.js';
import { Rating } from '../../lib/ladder/ratedPower.js';
import type { Rack } from '../../lib/rack/model.js';
import { rackCase } from './randomRack.js';
import { battery, load, onePlate, plainPole, sampleRack, scenarioOf, shelf } from './sampleRack.js';

const NONE = Number.POSITIVE_INFINITY;
const START = 1000;

interface Insides {
  use: number;
  limit: number;
  node: number;
  evaluate(power: number): void;
}

/** A search on a rack whose utilisation at a power (W) is `use`, or whose solve ends otherwise, from a start of 1000 W. */
function searched(use: (power: number) => number | SolveStatus, options: { readonly upper?: number; readonly limit?: LimitName } = {}) {
  const ladder = new Ladder(sampleRack({ slotCount: 3 }));
  ladder.mount(scenarioOf([shelf(1), load(3)]));
  const [state] = ladder.states;
  ladder.setState(state);
  const rating = new Rating(ladder);
  const insides = rating as unknown as Insides;
  const trials: number[] = [];
  const begun: number[] = [];
  Object.defineProperty(ladder.kernel, 'call', {
    value: { ...ladder.kernel.call, solveStart: () => START, beginAt: (power: number) => begun.push(power) },
  });
  ladder.solve = (power) => {
    trials.push(power);
    const found = use(power);
    return typeof found === 'string' ? found : 'solved';
  };
  insides.evaluate = (power) => {
    insides.use = use(power) as number;
    insides.limit = LIMIT_NAMES.indexOf(options.limit ?? 'source-power');
    insides.node = 1;
  };
  let thrown: unknown = null;
  let answer: ReturnType<Rating['searchBracketed']> = null;
  try {
    answer = rating.searchBracketed(state, options.upper ?? NONE);
  } catch (error) {
    thrown = error;
  }
  return { answer, trials, begun, thrown, state };
}

const close = (powers: readonly number[]) => powers.map((power) => expect.closeTo(power, 5));

describe('the bracketed search', () => {
  it('needs two trials where the load is used up in proportion, or as heat is', () => {
    const { answer, trials, state } = searched((p) => p / 1700);
    expect(trials).toEqual(close([START, 1700]));
    expect(answer).toMatchObject({ power: expect.closeTo(1700, 5), limit: 'source-power', slot: 2, state, search: 'bracketed' });
    for (const limit of ['bar-rise', 'bar-temperature', 'contact-temperature'] as const) {
      expect(searched((p) => (p / 1700) ** 1.6, { limit }).trials).toEqual(close([START, 1700]));
    }
    for (const limit of ['source-current', 'load-contact-current', 'lowest-load-voltage'] as const) {
      expect(searched((p) => p / 600, { limit }).trials).toEqual(close([START, 600]));
    }
  });

  it('knows the order after two trials, unless it can be none', () => {
    const third = (order: number) => searched((p) => (p / 1700) ** order).trials;
    for (const order of [0.31, 0.5, 2, 3]) {
      const second = START * 1.7 ** order;
      expect(third(order)).toEqual(close([START, second, 1700]));
    }
    // Of an order of 0.29 two trials say nothing.
    expect(third(0.29).slice(0, 3)).toEqual(close([START, START * 1.7 ** 0.29, START * 1.7 ** 0.29 * 1.7 ** (0.29 - 0.29 ** 2)]));
    const steep = searched((p) => (p / 1001) ** 19);
    expect(steep.trials[2]).toBeCloseTo(1001, 5);
    const steeper = searched((p) => (p / 1001) ** 21);
    const second = START * 1.001 ** 21;
    // The next of the first order would lie below the bracket, so it is halved.
    expect(steeper.trials.slice(0, 3)).toEqual(close([START, second, (START + second) / 2]));
  });

  it('starts from a power that it is to stay below, and ends there where that is carried', () => {
    expect(searched((p) => p / 1700, { upper: 1500 })).toMatchObject({ answer: null, trials: [1500], begun: [1500] });
    // Within 1e-8 of the limit counts as carried.
    expect(searched((p) => p / 1700, { upper: 1700 * (1 + 0.9e-8) }).answer).toBeNull();
    const beyond = searched((p) => p / 1700, { upper: 1700 * (1 + 1.1e-8) });
    expect(beyond.answer?.power).toBeCloseTo(1700, 6);
    expect(beyond.trials.length).toBe(2);
  });

  it('ends within 1e-8 of the limit, on either side', () => {
    expect(searched(() => 1 - 0.9e-8)).toMatchObject({ answer: { power: START }, trials: [START] });
    expect(searched(() => 1 + 0.9e-8)).toMatchObject({ answer: { power: START }, trials: [START] });
    expect(searched((p) => (p > START ? 1 : 1 - 1.1e-8)).trials.length).toBe(2);
    expect(searched((p) => (p < START ? 1 : 1 + 1.1e-8)).trials.length).toBe(2);
  });

  it('closes in on a power beyond which there is no solution from below, to 1e-9', () => {
    for (const [status, limit] of [['voltage-collapse', 'voltage-collapse'], ['no-steady-state', 'no-steady-state']] as const) {
      const { answer, trials, begun } = searched((p) => (p > 1900 ? status : p / 4000));
      expect(answer).toMatchObject({ limit, slot: 0, pole: 'both', search: 'bracketed' });
      expect(answer?.power).toBeLessThanOrEqual(1900);
      expect(answer?.power).toBeGreaterThan(1900 * (1 - 1e-9));
      // 4000 by proportion; then nothing is known of what carries, and a quarter of it is tried; the rest is halving.
      expect(trials.slice(0, 5)).toEqual(close([START, 4000, START, 2500, 1750]));
      expect(trials.length).toBeLessThan(40);
      // What is lost is known: nothing above it is looked at any more.
      expect(trials.at(-1)).toBeLessThan(1900 * (1 + 1e-7));
      // All trials after the first without solution begin anew, and the one that went far.
      expect(begun).toEqual([START, 4000, ...trials.slice(2)]);
    }
  });

  it('begins anew only where it goes far: by more than half', () => {
    expect(searched((p) => p / 1490).begun).toEqual([START]);
    expect(searched((p) => p / 1510).begun).toEqual([START, expect.closeTo(1510, 5)]);
    expect(searched((p) => p / 490).begun).toEqual([START, expect.closeTo(490, 5)]);
    expect(searched((p) => p / 510).begun).toEqual([START]);
  });

  it('quadruples where nothing is used at all', () => {
    const { trials, answer } = searched((p) => (p < 9000 ? 0 : p / 12_000));
    expect(trials).toEqual(close([1000, 4000, 16_000, 12_000]));
    expect(answer?.power).toBeCloseTo(12_000, 4);
  });

  it('says what binds above a jump of the use', () => {
    const { answer, trials } = searched((p) => (p > 1234 ? 3 : 0.4), { limit: 'bar-rise' });
    expect(answer).toMatchObject({ limit: 'bar-rise', slot: 2 });
    expect(answer?.power).toBeLessThanOrEqual(1234);
    expect(answer?.power).toBeGreaterThan(1234 * (1 - 1e-9));
    expect(trials.length).toBeLessThan(45);
  });

  it('halves at every fourth trial where the bracket shrinks by less than half in four', () => {
    // A cliff at 2000 W and 0.999 below it: a secant drops to the foot and then creeps up by a thousandth of a millionth.
    const { answer, trials } = searched((p) => (p > 2000 ? 1e6 : 0.999), { upper: 2400 });
    const foot = 2400e-6;
    expect(trials.slice(0, 8)).toEqual([2400, ...Array.from({ length: 7 }, (_, k) => expect.closeTo(foot / 0.999 ** k, 9))]);
    expect(trials[8]).toBeCloseTo(0.5 * (2400 + foot / 0.999 ** 6), 6);
    expect(answer?.power).toBeLessThanOrEqual(2000);
    expect(answer?.power).toBeGreaterThan(2000 * (1 - 1e-9));
    expect(trials.length).toBeLessThan(4 * 31 + 8);
  });

  it('ends with nothing where not even a billionth of the start is carried', () => {
    for (const [use, limit] of [['voltage-collapse', 'voltage-collapse'], [7, 'source-power'], [NONE, 'source-power']] as const) {
      const { answer, trials } = searched(() => use);
      expect(answer).toMatchObject({ power: 0, limit });
      expect(trials.at(-1)).toBeLessThanOrEqual(1e-9 * START);
      expect(trials.at(-2)).toBeGreaterThan(1e-9 * START);
    }
    expect(searched(() => 'voltage-collapse').trials).toEqual(Array.from({ length: 16 }, (_, k) => START / 4 ** k));
  });

  it('is an error where no power converges, nothing limits it or it does not close', () => {
    const never = searched(() => 'not-converged');
    expect(never.thrown).toBeInstanceOf(RatingError);
    expect(never.thrown).toMatchObject({ message: 'the ladder did not converge at any power', power: START / 4 ** 15 });
    // 1e12 at first, then 1e21.
    expect(searched(() => 1e-9).thrown).toMatchObject({ message: 'nothing limits the load of this rack', power: expect.closeTo(1e12, -3) });
    const still = searched(() => 1 - 2e-8);
    expect(still.thrown).toMatchObject({ message: 'the search for the rated power did not close' });
    expect((still.thrown as RatingError).power).toBeCloseTo(START * (1 + 300 * 2e-8), 6);
    expect(still.trials.length).toBe(300);
  });
});

describe('a solve that does not settle', () => {
  /** Carried up to 1900 W, not settled for so much beyond, relative, and then without solution. */
  const around = (width: number, status: SolveStatus) => searched((p) => (p <= 1900 ? p / 4000 : p <= 1900 * (1 + width) ? 'not-converged' : status));

  it.each([[5e-7, 1], [5e-6, 2]])('within %d of the last that does is looked at a little above, which has none', (width, looks) => {
    for (const status of ['voltage-collapse', 'no-steady-state'] as const) {
      const { answer, trials, begun } = around(width, status);
      expect(answer).toMatchObject({ limit: status, slot: 0, pole: 'both' });
      expect(answer?.power).toBeGreaterThan(1900 * (1 - 1e-9));
      const above = trials.slice(-looks).map((power) => power / 1900 - 1);
      expect(above[0]).toBeCloseTo(1e-6, 8);
      if (looks === 2) expect(above[1]).toBeCloseTo(1e-5, 8);
      expect(begun.slice(-looks)).toEqual(trials.slice(-looks));
      expect(trials.at(-looks - 1)).toBeLessThan(1900 * (1 + 1e-8));
    }
  });

  it('is an error where there is a solution above it, or nothing settles either', () => {
    for (const found of [around(1e-4, 'voltage-collapse'), around(5e-6, 'solved')]) {
      expect(found.thrown).toBeInstanceOf(RatingError);
      expect(found.thrown).toMatchObject({ message: 'the ladder did not converge near a power that it may carry', power: expect.closeTo(1900, 4) });
    }
  });

  it('is forgotten where a lower power settles and breaks a limit', () => {
    const { answer } = searched((p) => (p > 1950 ? 'not-converged' : p > 1900 ? 2 : p / 4000));
    expect(answer).toMatchObject({ limit: 'source-power', slot: 2 });
    expect(answer?.power).toBeCloseTo(1900, 5);
  });

  it('is an error of the look at one power, which says which', () => {
    const ladder = new Ladder(sampleRack({ slotCount: 3 }));
    ladder.mount(scenarioOf([shelf(1), load(3)]));
    ladder.solve = () => 'not-converged';
    expect(() => new Rating(ladder).utilisationAt(123, ladder.states[0])).toThrow(RatingError);
    expect(() => new Rating(ladder).utilisationAt(123, ladder.states[0])).toThrow('the ladder did not converge');
  });
});

/** How the kernel ended rating all states: see kernel/assembly/states.ts. */
const ENDED = 0;
const NEEDS_HOST = 1;

describe('among operating states', () => {
  const EVERY = ['all-in-service', 'one-source-out', 'batteries-alone'] as const;
  /** Ten shelves of which each is out in turn make twelve states. */
  function rated(weights: readonly number[], operatingStates: Rack['operatingStates'] = EVERY, changes: Partial<Rack> = {}) {
    const rack = sampleRack({ slotCount: 16, operatingStates, ...changes });
    const scenario = scenarioOf([
      ...weights.map((sharingWeight, k) => shelf(k + 1, { sharingWeight })), load(12), load(14, { power: 3 }), battery(16),
    ]);
    const ladder = new Ladder(rack);
    ladder.mount(scenario);
    return { rack, scenario, ladder, ...insidesOf(ladder) };
  }

  function insidesOf({ kernel, states }: Ladder) {
    const { call, outcome } = kernel;
    return {
      call, outcome, first: () => kernel.wholes('stateOrder')[0], others: () => [...kernel.wholes('stateOrder').subarray(1, states.length)],
      seems: () => [...kernel.numbers('seems').subarray(0, states.length)], surely: () => [...kernel.numbers('surely').subarray(0, states.length)],
    };
  }

  it('the one with the most current along the bar is rated first, wherever it stands', () => {
    const found = new Set<number>();
    for (const heavy of [1, 4, 8, 9, 10]) {
      for (const rules of [EVERY, [...EVERY].reverse(), EVERY.slice(0, 2), EVERY.slice(1, 2)]) {
        const { rack, scenario, ladder, call, first } = rated(Array.from({ length: 10 }, (_, k) => (k + 1 === heavy ? 3 : 1 + 0.01 * k)), rules);
        const model = new RackModel(rack);
        const sums = ladder.states.map((state) => {
          const solution = model.solutionAt(scenario, 1, state);
          if (solution.status !== 'solved') throw new Error('1 W is carried');
          return solution.segmentCurrent.reduce((sum, amps) => sum + amps ** 2, 0);
        });
        expect(call.rateStates(NONE, true)).toBe(ENDED);
        expect(sums[first()]).toBe(Math.max(...sums));
        found.add(first());
      }
    }
    expect(found.size).toBeGreaterThan(3);
  });

  it('the first of several is taken that carry alike, also where all carry little', () => {
    // 1 A from both sides is ¼ + ¼, from one side 1.
    const ladder = new Ladder(sampleRack({ slotCount: 3, operatingStates: ['all-in-service', 'one-source-out'] }));
    ladder.mount(scenarioOf([shelf(1), load(2), shelf(3)]));
    const { call, first } = insidesOf(ladder);
    expect(call.rateStates(NONE, true)).toBe(ENDED);
    expect(first()).toBe(1);
  });

  it('the others come in order of what they seem to carry, each once, and surely carry no more than they do', () => {
    let looked = 0;
    let unequal = 0;
    fc.assert(fc.property(rackCase, ({ rack: drawn, scenario }) => {
      const ladder = new Ladder(drawn);
      ladder.mount(scenario);
      const { call, first, others, seems, surely } = insidesOf(ladder);
      if (call.rateStates(NONE, true) !== ENDED) return;
      const [seeming, sure, order] = [seems(), surely(), others()];
      expect([first(), ...order].sort((a, b) => a - b)).toEqual(ladder.states.map((_, s) => s));
      for (let k = 1; k < order.length; k++) expect(seeming[order[k]]).toBeGreaterThanOrEqual(seeming[order[k - 1]]);
      if (order.some((s, k) => k > 0 && s < order[k - 1])) unequal++;
      const rating = new Rating(ladder);
      for (const other of order) {
        if (sure[other] > 0) looked++;
        ladder.setState(ladder.states[other]);
        const alone = rating.searchJoint(ladder.states[other], NONE);
        if (alone !== null && alone !== undefined) expect(sure[other]).toBeLessThan(alone.power * (1 + 1e-7));
      }
    }), { numRuns: 8, seed: 5, endOnFailure: true });
    expect(looked).toBeGreaterThan(3);
    expect(unequal).toBeGreaterThan(1);
  });

  it('a single other one is not looked at; across droop lines each is by itself', () => {
    const two = rated([1, 2, 1.5], ['all-in-service', 'batteries-alone']);
    expect(two.call.rateStates(NONE, true)).toBe(ENDED);
    expect([two.seems(), two.surely()]).toEqual([[0, 0], [0, 0]]);
    for (const changes of [{}, { sharing: { model: 'droop' } as const }]) {
      const all = rated([1, 2, 1.5], EVERY, changes);
      expect(all.call.rateStates(NONE, true)).toBe(ENDED);
      expect(all.others().every((s) => all.seems()[s] > 0)).toBe(true);
      expect(all.others().some((s) => all.surely()[s] > 0)).toBe(true);
    }
  });

  it('the lowest is that of each rated by itself, and those passed over take no sweep', () => {
    for (const weights of [[1, 1, 1], [1, 2, 1.5], [3, 1, 1, 1, 1, 1, 1, 1, 1, 1]]) {
      const { ladder } = rated(weights);
      const rating = new Rating(ladder);
      const alone = ladder.states.map((state) => {
        ladder.setState(state);
        return rating.searchJoint(state, NONE)?.power ?? NONE;
      });
      const sweepsAlone = ladder.sweeps;
      ladder.mountRows();
      const lowest = rating.ratedPower();
      expect(lowest.power / Math.min(...alone) - 1).toBeCloseTo(0, 7);
      expect(lowest.state).toEqual(ladder.states[alone.indexOf(Math.min(...alone))]);
      expect(ladder.sweeps).toBeLessThan(sweepsAlone / 2);
      expect(rating.ratedBelow(0.99 * lowest.power)).toBeNull();
      expect(rating.ratedBelow(1.01 * lowest.power)?.power).toBeCloseTo(lowest.power, 2);
    }
  });

  it('one that the joint search does not close on is left to the host, and the others start by themselves', () => {
    const { ladder, call, outcome, first, others, seems } = rated([1, 1, 1]);
    const slopes = ladder.kernel.numbers('airSlope');
    const [slope] = slopes;
    slopes[0] = Number.NaN;
    expect(call.rateStates(NONE, true)).toBe(NEEDS_HOST);
    slopes[0] = slope;
    expect([outcome[OUTCOME.alone], outcome[OUTCOME.least], call.hasLastSweep()]).toEqual([first(), NONE, 0]);
    expect(call.goOn(NONE)).toBe(ENDED);
    // No sweep stood to look from.
    expect(seems().every((watts) => watts === 0)).toBe(true);
    expect(others()).toEqual(ladder.states.map((_, s) => s).filter((s) => s !== first()));
    const alone = others().map((s) => {
      ladder.setState(ladder.states[s]);
      return new Rating(ladder).searchJoint(ladder.states[s], NONE)?.power ?? NONE;
    });
    expect(outcome[OUTCOME.lowestPower] / Math.min(...alone) - 1).toBeCloseTo(0, 7);
    expect(outcome[OUTCOME.lowestState]).toBe(others()[alone.indexOf(Math.min(...alone))]);
  });

  it('none is rated any more once nothing is carried', () => {
    const { ladder, call, outcome } = rated([1, 1, 1]);
    const slopes = ladder.kernel.numbers('airSlope');
    const [slope] = slopes;
    slopes[0] = Number.NaN;
    expect(call.rateStates(NONE, true)).toBe(NEEDS_HOST);
    slopes[0] = slope;
    const { sweeps } = ladder;
    expect(call.goOn(0)).toBe(ENDED);
    expect([ladder.sweeps, outcome[OUTCOME.least], outcome[OUTCOME.lowestState]]).toEqual([sweeps, 0, -1]);
  });

  /** What comes of it where the kernel leaves state 2 to the host, which finds `power`, and then ends with `lowest` at 80 W. */
  function handedBack(power: number | null, lowest: number) {
    const { ladder } = rated([1, 1, 1]);
    const rating = new Rating(ladder);
    const { outcome } = ladder.kernel;
    const asked: unknown[] = [];
    Object.defineProperty(ladder.kernel, 'call', { value: {
      ...ladder.kernel.call,
      rateStates: () => {
        Object.entries({ alone: 2, least: 100 }).forEach(([name, value]) => { outcome[OUTCOME[name as keyof typeof OUTCOME]] = value; });
        return NEEDS_HOST;
      },
      goOn: (upper: number) => {
        asked.push(upper);
        outcome[OUTCOME.lowestState] = lowest;
        outcome[OUTCOME.lowestPower] = 80;
        return ENDED;
      },
    } });
    rating.searchBracketed = (state, upper) => {
      asked.push(ladder.states.findIndex((one) => one.outSlot === state.outSlot && one.rule === state.rule), upper);
      return power === null ? null : { power } as ReturnType<Rating['ratedPower']>;
    };
    return { asked, answer: rating.ratedBelow(100) };
  }

  it('what the host finds counts unless another carries less', () => {
    expect(handedBack(90, -1)).toEqual({ asked: [2, 100, 90], answer: { power: 90 } });
    expect(handedBack(90, 1)).toMatchObject({ asked: [2, 100, 90], answer: { power: 80, search: 'joint', state: { rule: 'one-source-out' } } });
    expect(handedBack(null, 0)).toMatchObject({ asked: [2, 100, 100], answer: { power: 80, state: { rule: 'all-in-service' } } });
    expect(handedBack(null, -1)).toEqual({ asked: [2, 100, 100], answer: null });
  });

  it('no answer at all is an error', () => {
    const { ladder } = rated([1, 1, 1]);
    const rating = new Rating(ladder);
    rating.ratedBelow = () => null;
    expect(() => rating.ratedPower()).toThrow('the search ended without a power');
    expect(() => rating.ratedPower()).toThrow(RatingError);
  });
});

describe('a rack that may break a limit with next to no load', () => {
  /** The first solve, of a billionth of the start, ends so and uses so much. */
  function looked(status: SolveStatus, use: number, lowestLoadVoltage = 0, heatRise = 30) {
    const ladder = new Ladder(sampleRack({ slotCount: 3, limits: { barRise: 20, lowestLoadVoltage } }));
    ladder.mount(scenarioOf([shelf(1), load(3, { heatConductance: 1e-6, heatRise })]));
    const rating = new Rating(ladder);
    const insides = rating as unknown as Insides;
    const [state] = ladder.states;
    ladder.setState(state);
    const start = ladder.kernel.call.solveStart();
    const asked: number[] = [];
    const { evaluate } = insides;
    ladder.solve = (power) => {
      asked.push(power / start);
      return status;
    };
    insides.evaluate = () => Object.assign(insides, { use, limit: 0, node: 2, pole: 0 });
    const answer = rating.ratedPower();
    insides.evaluate = evaluate;
    return { asked, answer, state };
  }

  it('carries nothing if it does', () => {
    for (const use of [1, 1.5]) {
      const { asked, answer, state } = looked('solved', use);
      expect(asked).toEqual([expect.closeTo(1e-9, 15)]);
      expect(answer).toMatchObject({ power: 0, limit: 'bar-rise', slot: 3, pole: 'supply', state, search: 'unloaded' });
    }
  });

  it('is searched if it does not, or if that cannot be told', () => {
    for (const [status, use] of [['solved', 1 - 1e-9], ['voltage-collapse', 2], ['no-steady-state', 2], ['not-converged', 2]] as const) {
      const { asked, answer } = looked(status, use);
      expect(asked.length).toBe(1);
      expect(answer).toMatchObject({ limit: 'bar-rise', search: 'joint' });
      expect(answer.power).toBeGreaterThan(1000);
    }
  });

  it('is not looked at where all that touches it is cool, unless loads ask for all of the set voltage', () => {
    expect(looked('solved', 2, 0, 19).asked).toEqual([]);
    expect(looked('solved', 2, 49.9, 19).asked).toEqual([]);
    for (const volts of [50, 51]) expect(looked('solved', 2, volts, 19).answer).toMatchObject({ power: 0, search: 'unloaded' });
  });
});

describe('the largest use of any limit', () => {
  const contact = { contactResistance: [1e-4, 3e-4] as const, contactThermalResistance: 0.5, contactHeatShare: 0.5, contactEdgeHeight: 0.02 };
  const placed = scenarioOf([
    shelf(1, { ...contact, maxCurrent: 300, maxPower: 12_000 }), load(2, contact), load(4, { ...contact, power: 3 }),
    battery(5, { maxCurrent: 0, maxPower: 0 }), load(6, { power: 0 }),
  ]);
  const thin = plainPole(6, { plates: onePlate(0.1, 0.004), emissivity: 0.3 });
  const rackOf = (limits: Partial<Rack['limits']>, more: Parameters<typeof sampleRack>[0] = {}) =>
    sampleRack({ slotCount: 6, supply: thin, return: plainPole(6, { plates: onePlate(0.1, 0.003) }), limits, ...more });
  const look = (rack: Rack, scenario = placed, power = 9000, model = new RackModel(rack)) => {
    const solution = model.solutionAt(scenario, power, model.states(scenario)[0]);
    if (solution.status !== 'solved') throw new Error(`expected a solution, got ${solution.status}`);
    return solution;
  };

  it.each([
    ['bar-rise', { barRise: 20 }], ['bar-temperature', { barTemperature: 310 }], ['contact-temperature', { contactTemperature: 320 }],
    ['load-contact-current', { loadContactCurrent: 100 }], ['lowest-load-voltage', { lowestLoadVoltage: 49 }], ['source-current', {}],
  ] as const)('is that of %s, worked out from temperatures, currents and voltages', (limit, limits) => {
    const solution = look(rackOf(limits));
    const { air, units, supplyHottest, returnHottest } = solution;
    const spots = units.flatMap(({ unit, current }) => [supplyHottest, returnHottest].map(
      (hottest, p) => hottest[unit.contactSlot - 1] + current ** 2 * unit.contactResistance[p] * unit.contactThermalResistance));
    const uses = {
      'bar-rise': Math.max(...[supplyHottest, returnHottest].flatMap((hottest) => [...hottest].map((t, i) => t - air[i]))) / 20,
      'bar-temperature': (Math.max(...supplyHottest, ...returnHottest) - 298.15) / (310 - 298.15),
      'contact-temperature': (Math.max(...spots) - 298.15) / (320 - 298.15),
      'load-contact-current': units[2].current / 100,
      'lowest-load-voltage': (50 - Math.min(units[1].voltage, units[2].voltage)) / 1,
      'source-current': units[0].current / 300,
    };
    const source = Math.max(uses['source-current'], units[0].power / 12_000);
    expect(solution.utilisation).toBeCloseTo(Math.max(source, uses[limit]), 9);
    if (uses[limit] > source) expect(solution.binding.limit).toBe(limit);
    // Hot spots beneath edge contacts have a part in it.
    expect(Math.max(...Array.from(returnHottest, (t, i) => t - solution.returnTemperature[i]))).toBeGreaterThan(0.2);
  });

  it('leaves out idle sources and loads, whatever their limits, and a lowest voltage of 0', () => {
    const idle = scenarioOf([load(1, { power: 0 }), load(2), shelf(3), battery(5, { maxCurrent: 0, maxPower: 0 })]);
    const solution = look(rackOf({ lowestLoadVoltage: 49.9 }), idle, 3000);
    // The bar of slot 1 is as low as that of slot 2, but nothing hangs on it.
    expect(solution.binding).toEqual({ limit: 'lowest-load-voltage', slot: 2, pole: 'both' });
    expect(solution.utilisation).toBeCloseTo((50 - solution.voltage[1]) / 0.1, 9);
    expect(look(rackOf({ lowestLoadVoltage: 0 }), idle, 3000).utilisation).toBe(0);
  });

  it('knows nothing of units that were mounted before', () => {
    const hot = { ...contact, contactEdgeHeight: 0, contactThermalResistance: 5 };
    const many = scenarioOf([shelf(1, { ...hot, maxCurrent: 10, maxPower: 100 }), load(2, hot), load(3, hot), shelf(4, { ...hot, maxCurrent: 10, maxPower: 100 }), load(5, { ...hot, power: 4 })]);
    const few = scenarioOf([shelf(1), load(3)]);
    for (const limits of [{ contactTemperature: 400 }, { loadContactCurrent: 200 }, { lowestLoadVoltage: 45 }, {}]) {
      const rack = rackOf(limits);
      const model = new RackModel(rack);
      look(rack, many, 9000, model);
      expect(look(rack, few, 500, model).utilisation).toBeCloseTo(look(rack, few, 500).utilisation, 12);
    }
  });

  it('is 0 of a temperature below the air that is kept all the same, and without bound where it is not kept', () => {
    const cooled = rackOf({ barTemperature: 299 }, { air: { inlet: 300, surroundings: 230 } });
    const cold = look(cooled, placed, 1);
    expect(Math.max(...cold.supplyTemperature, ...cold.returnTemperature)).toBeLessThan(299);
    expect(cold.utilisation).toBeLessThan(1e-3);
    expect(look(cooled, placed, 9000)).toMatchObject({ utilisation: NONE, binding: { limit: 'bar-temperature' } });
  });

  it('names the return pole only where that is hotter by more than rounding, or has the hotter contact', () => {
    const ladder = new Ladder(sampleRack({ slotCount: 3 }));
    ladder.mount(scenarioOf([shelf(1), load(3)]));
    const insides = new Rating(ladder) as unknown as Insides & { pole: number; binding(): unknown };
    const named = (node: number, pole: number, limit: LimitName, more: number) => {
      Object.assign(insides, { node, pole, limit: LIMIT_NAMES.indexOf(limit) });
      ladder.thermal.temperature.set([320, 340, 350, 320, 320, 340]);
      ladder.thermal.temperature[2 * node + 1] = ladder.thermal.temperature[2 * node] + more;
      return insides.binding();
    };
    for (const [node, slot] of [[0, 1], [1, 2], [2, 3]]) {
      for (const limit of ['bar-rise', 'bar-temperature'] as const) {
        expect(named(node, 1, limit, 1.1e-6)).toEqual({ limit, slot, pole: 'return' });
        expect(named(node, 1, limit, 0.9e-6)).toEqual({ limit, slot, pole: 'supply' });
        expect(named(node, 0, limit, 10)).toEqual({ limit, slot, pole: 'supply' });
      }
      expect(named(node, 1, 'contact-temperature', -5)).toEqual({ limit: 'contact-temperature', slot, pole: 'return' });
      expect(named(node, 0, 'contact-temperature', 5)).toEqual({ limit: 'contact-temperature', slot, pole: 'supply' });
      expect(named(node, 2, 'source-current', 5)).toEqual({ limit: 'source-current', slot, pole: 'both' });
    }
  });
});
