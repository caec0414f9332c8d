/** The search for the rated peak on utilisations and cycles written down here, call by call. */
import { afterEach, describe, expect, it, vi } from 'vitest';
import { NoRoomForPeak, type PeakQuestion, RatingError, ratedPeak, TransientLadder } from '../../lib/ladder/index.js';
import type { SolveStatus } from '../../lib/ladder/ladder.js';
import { battery, load, sampleRack, scenarioOf, shelf } from './sampleRack.js';

afterEach(() => {
  vi.restoreAllMocks();
});

const rack = sampleRack({ slotCount: 3 });
const placed = scenarioOf([shelf(1), load(3)]);
const ESTIMATE = 1000;
const ONCE: PeakQuestion = { before: 0, duration: 10 };
const TOP = 'bar-rise' as const;

interface Script {
  /** Utilisation at a power (W), or how the peak ends otherwise, in the state of that rule. */
  readonly use: (power: number, state: string) => number | SolveStatus;
  readonly steady?: (power: number) => SolveStatus;
  /** Moves the temperature at the end of a rest. */
  readonly rest?: (temperature: Float64Array) => SolveStatus;
  readonly temperature?: Float64Array;
  /** Parts of the use at one moment of the peak after the other; the slot that binds is 2 at the first, 3 at the next. */
  readonly parts?: readonly number[];
}

/** The rated peak of a rack that answers as the script says, and what it was asked. */
function peakOf(script: Script, question: PeakQuestion = ONCE, on = { rack, placed }) {
  const trials: number[] = [];
  const steady: number[] = [];
  const rests: { power: number; duration: number }[] = [];
  const durations = new Set<number>();
  let state = '';
  const parts = script.parts ?? [1];
  let moment = 0;
  const mocked = TransientLadder.prototype;
  vi.spyOn(mocked, 'mount').mockImplementation((_, selected) => { state = selected.rule; });
  vi.spyOn(mocked, 'estimate').mockReturnValue(ESTIMATE);
  vi.spyOn(mocked, 'temperature', 'get').mockReturnValue(script.temperature ?? new Float64Array(2));
  vi.spyOn(mocked, 'beginSteady').mockImplementation((power) => {
    steady.push(power);
    return script.steady?.(power) ?? 'solved';
  });
  vi.spyOn(mocked, 'utilisation').mockImplementation((power) => {
    const found = script.use(power, state);
    return { utilisation: typeof found === 'number' ? found * parts[moment] : 0, binding: { limit: TOP, slot: moment + 2, pole: 'supply' } };
  });
  vi.spyOn(mocked, 'advance').mockImplementation((power, duration, observe) => {
    if (observe === undefined) {
      rests.push({ power, duration });
      return { status: script.rest?.(script.temperature ?? new Float64Array(2)) ?? 'solved', reached: duration };
    }
    trials.push(power);
    durations.add(duration);
    for (moment = 0; moment < parts.length; moment++) observe(duration * (moment + 1) / parts.length);
    moment = 0;
    const found = script.use(power, state);
    return { status: typeof found === 'number' ? 'solved' : found, reached: duration };
  });
  let thrown: unknown = null;
  let answer: ReturnType<typeof ratedPeak> | null = null;
  try {
    answer = ratedPeak(on.rack, on.placed, question);
  } catch (error) {
    thrown = error;
  }
  return { answer, thrown, trials, steady, rests, durations: [...durations] };
}

const close = (powers: readonly number[]) => powers.map((power) => expect.closeTo(power, 6));
const ABOVE = 1 + 0.4e-5;
const BELOW = 1 - 0.4e-5;

describe('the search for a peak', () => {
  it('starts a fifth above what is carried for good and ends as soon as both sides of the limit are 1e-5 apart', () => {
    const { answer, trials, steady, durations } = peakOf({ use: (p) => (p / 2000) ** 1.6 });
    expect(trials).toEqual(close([1200, 2000 * ABOVE, 2000 * BELOW]));
    expect(answer).toMatchObject({ power: expect.closeTo(2000 * BELOW, 6), binding: { limit: TOP, slot: 2 }, state: { rule: 'all-in-service' } });
    expect(steady).toEqual([0, 0, 0]);
    expect(durations).toEqual([10]);
    // From above, the lower side comes first.
    expect(peakOf({ use: (p) => (p / 900) ** 1.6 }).trials).toEqual(close([1200, 900 * BELOW, 900 * ABOVE]));
  });

  it('knows the order after two trials, if it can be one', () => {
    for (const order of [0.31, 1, 3, 19]) {
      const { trials } = peakOf({ use: (p) => (p / 1250) ** order });
      const second = 1200 * (1250 / 1200) ** (order / 1.6) * ABOVE;
      expect(trials.slice(0, 2)).toEqual(close([1200, second]));
      expect(trials[2] / 1250).toBeCloseTo(1, 4);
      expect(Math.abs(trials[2] / 1250 - 1)).toBeGreaterThan(0.3e-5);
    }
    const flat = peakOf({ use: (p) => (p / 1250) ** 0.29 }).trials;
    expect(flat[2] / (flat[1] * (1250 / flat[1]) ** (0.29 / 1.6))).toBeCloseTo(1, 4);
    // An order of 21 is none: the third would lie far below what is carried, and the mean of the bracket is tried.
    const steep = peakOf({ use: (p) => (p / 1250) ** 21 }).trials;
    expect(steep[1]).toBeCloseTo(1200 * (1250 / 1200) ** (21 / 1.6) * ABOVE, 6);
    expect(steep[2]).toBeCloseTo(Math.sqrt(1200 * steep[1]), 6);
  });

  it('counts a limit that is just met as held', () => {
    const { answer, trials } = peakOf({ use: (p) => (p <= 1200 ? 1 : 2) });
    expect(trials.slice(0, 2)).toEqual([1200, 4800]);
    expect(answer?.power).toBe(1200);
  });

  it('counts the worst moment of a peak, the first of several', () => {
    for (const [parts, slot] of [[[1, 0.5], 2], [[0.5, 1], 3], [[1, 1], 2], [[0.2, 1, 0.3], 3]] as const) {
      const { answer } = peakOf({ use: (p) => (p / 2000) ** 1.6, parts });
      expect(answer).toMatchObject({ power: expect.closeTo(2000 * BELOW, 6), binding: { limit: TOP, slot } });
    }
  });

  it('goes no further than ten times up or down at once', () => {
    expect(peakOf({ use: (p) => (p / 1e6) ** 1.6 }).trials[1]).toBeCloseTo(12_000 * ABOVE, 6);
    expect(peakOf({ use: (p) => (p / 10) ** 1.6 }).trials[1]).toBeCloseTo(120 * BELOW, 6);
  });

  it('halves on a logarithmic scale beside powers that are not carried at all', () => {
    const { answer, trials } = peakOf({ use: (p) => (p > 500 ? 'voltage-collapse' : 0.5) });
    const root = Math.sqrt(300 * 1200);
    expect(trials.slice(0, 2)).toEqual(close([1200, 300]));
    // From 300 W a secant says 300·2^(1/1.6).
    expect(trials[2]).toBeCloseTo(300 * 2 ** (1 / 1.6) * ABOVE, 6);
    expect(root).toBeGreaterThan(500);
    expect(answer).toMatchObject({ binding: { limit: 'voltage-collapse', slot: 0, pole: 'both' } });
    expect(answer?.power).toBeLessThanOrEqual(500);
    expect(answer?.power).toBeGreaterThan(500 * (1 - 1e-5));
    expect(trials.length).toBeLessThan(60);
  });

  it.each(['no-steady-state', 'not-converged'] as const)('counts %s as none', (status) => {
    expect(peakOf({ use: (p) => (p > 500 ? status : 0.5) }).answer?.binding).toEqual({ limit: 'no-steady-state', slot: 0, pole: 'both' });
  });

  it('halves at every sixth trial whatever the secant says', () => {
    // A cliff: secants from its foot creep.
    const { trials, answer } = peakOf({ use: (p) => (p > 1100 ? 1e6 : 0.9999) });
    expect(trials.slice(0, 2)).toEqual(close([1200, 120 * BELOW]));
    expect(trials[6]).toBeCloseTo(Math.sqrt(1200 * Math.max(...trials.slice(1, 6))), 6);
    expect(answer?.power).toBeGreaterThan(1100 * (1 - 1e-5));
    expect(answer?.power).toBeLessThanOrEqual(1100);
  });

  it('is nothing where less than a thousandth of a watt is too much', () => {
    const { answer, trials } = peakOf({ use: () => 'voltage-collapse' });
    expect(answer).toMatchObject({ power: 0, binding: { limit: 'voltage-collapse' } });
    expect(trials).toEqual(close(Array.from({ length: 12 }, (_, k) => 1200 / 4 ** k)));
  });

  it('ends with an error above 1e12 W', () => {
    const { thrown, trials } = peakOf({ use: () => 1e-6 });
    expect(thrown).toBeInstanceOf(RatingError);
    expect(thrown).toMatchObject({ message: 'nothing limits the peak load of this rack' });
    expect(trials.at(-1)).toBeLessThanOrEqual(1e12);
    expect((thrown as RatingError).power).toBeGreaterThan(1e12);
    expect((thrown as RatingError).power).toBeLessThan(1.1e13);
  });

  it('starts from half as much again as the load before or between', () => {
    for (const question of [{ ...ONCE, before: 2000 }, { before: 10, duration: 10, rest: { duration: 5, power: 2000 } }]) {
      const { trials, answer } = peakOf({ use: (p) => (p / 4000) ** 1.6 }, question);
      expect([...new Set(trials)].slice(0, 3)).toEqual(close([2000, 3000, 4000 * ABOVE]));
      expect(answer?.power).toBeCloseTo(4000 * BELOW, 4);
    }
    expect(peakOf({ use: (p) => (p / 4000) ** 3 }, { ...ONCE, before: 2000 }).trials).toEqual(close([2000, 3000, 4000 * ABOVE, 4000 * BELOW]));
    expect(peakOf({ use: (p) => p / 4000 }, { ...ONCE, before: 100 }).trials.slice(0, 2)).toEqual(close([100, 1200]));
  });

  it('has no room where the load beside the peak breaks the limit, and all the room where it just does not', () => {
    const { thrown, trials } = peakOf({ use: (p) => p / 1999 }, { ...ONCE, before: 2000 });
    expect(thrown).toBeInstanceOf(NoRoomForPeak);
    expect(thrown).toMatchObject({ power: 2000, binding: { limit: TOP, slot: 2 } });
    expect(trials).toEqual([2000]);
    const just = peakOf({ use: (p) => p / 2000 }, { ...ONCE, before: 2000 }).answer?.power ?? 0;
    expect(just).toBeGreaterThanOrEqual(2000);
    expect(just).toBeLessThan(2000 * (1 + 1e-5));
  });

  it('is not carried where the load before it has no steady state', () => {
    const { answer } = peakOf({ use: () => 0.5, steady: () => 'voltage-collapse' });
    expect(answer).toMatchObject({ power: 0, binding: { limit: 'no-steady-state', slot: 0, pole: 'both' } });
  });
});

describe('a question', () => {
  it('is refused before anything is asked of the rack', () => {
    const refused = (question: PeakQuestion) => {
      const { thrown, steady } = peakOf({ use: (p) => p / 2000 }, question);
      expect(thrown).toBeInstanceOf(RangeError);
      expect(steady).toEqual([]);
      return (thrown as RangeError).message;
    };
    for (const none of [0, -1, Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(refused({ before: 0, duration: none })).toBe(`duration ${none} s: must be above 0`);
      expect(refused({ before: 0, duration: 1, rest: { duration: none, power: 0 } })).toBe(`duration ${none} s: must be above 0`);
      if (none === 0) continue;
      expect(refused({ before: none, duration: 1 })).toBe(`power ${none} W: must not be negative`);
      expect(refused({ before: 0, duration: 1, rest: { duration: 1, power: none } })).toBe(`power ${none} W: must not be negative`);
    }
  });
});

describe('among operating states', () => {
  const rules = ['all-in-service', 'batteries-alone'] as const;
  const on = { rack: { ...rack, operatingStates: rules }, placed: scenarioOf([shelf(1), battery(2), load(3)]) };

  it('one that carries what another does is looked at once', () => {
    const { answer, trials } = peakOf({ use: (p, state) => (p / (state === 'batteries-alone' ? 2500 : 2000)) ** 1.6 }, ONCE, on);
    expect(answer).toMatchObject({ power: expect.closeTo(2000 * BELOW, 6), state: { rule: 'all-in-service' } });
    expect(trials).toEqual(close([1200, 2000 * ABOVE, 2000 * BELOW, 2000 * BELOW]));
    expect(peakOf({ use: (p) => (p === 2000 ? 1 : (p / 2000) ** 1.6) }, ONCE, on).answer?.state.rule).toBe('all-in-service');
  });

  it('one that does not is searched from there down', () => {
    const { answer, trials } = peakOf({ use: (p, state) => (p / (state === 'batteries-alone' ? 1500 : 2000)) ** 1.6 }, ONCE, on);
    expect(answer).toMatchObject({ power: expect.closeTo(1500 * BELOW, 1), state: { rule: 'batteries-alone' } });
    expect(trials.slice(0, 4)).toEqual(close([1200, 2000 * ABOVE, 2000 * BELOW, 2000 * BELOW]));
    expect(trials[4]).toBeCloseTo(1500, 1);
    expect(trials.slice(4).every((power) => power < 1500 * 1.00001)).toBe(true);
    expect(trials.length).toBeLessThan(8);
    const cliff = peakOf({ use: (p, state) => (state === 'batteries-alone' && p > 700 ? 'voltage-collapse' : p / 2000) }, ONCE, on);
    expect(cliff.answer?.binding.limit).toBe('voltage-collapse');
    expect((cliff.answer?.power ?? 0) / 700).toBeCloseTo(1, 4);
  });

  it('one just as weak as the other is not named', () => {
    const both = peakOf({ use: (p) => (p < 1990 ? 0.5 : p > 2000 ? 2 : 1) }, ONCE, on);
    expect(both.answer?.state.rule).toBe('all-in-service');
  });
});

describe('peaks again and again', () => {
  const rest = { duration: 30, power: 100 };
  const question = { before: 40, duration: 10, rest };
  /** Use by the first node's temperature alone: the peak itself says nothing. */
  const cycles = (begin: readonly number[], rests: (t: Float64Array) => void, use: (power: number, t: Float64Array) => number) => {
    const temperature = new Float64Array(2);
    return peakOf({
      use: (power) => use(power, temperature), temperature,
      steady: () => {
        temperature.set(begin);
        return 'solved';
      },
      rest: (t) => {
        rests(t);
        return 'solved';
      },
    }, question);
  };

  it('begin at the steady state of the mean square, after the first has been looked at', () => {
    const { steady, rests } = cycles([300, 300], () => {}, (p) => p / 2000);
    // At the load beside the peak first: a quarter of the time 100 W, and 100 W for the rest.
    expect(steady.slice(0, 2)).toEqual([40, 100]);
    expect(steady[2]).toBe(40);
    expect(steady[3]).toBeCloseTo(Math.sqrt(0.25 * 1200 ** 2 + 0.75 * 100 ** 2), 9);
    expect(new Set(rests.map(({ power, duration }) => `${power} ${duration}`))).toEqual(new Set(['100 30']));
    // A cycle that changes nothing at all is the last.
    expect(rests.length).toBe(steady.length / 2);
  });

  it.each([0.2, 0.5, 0.9, 0.99])('that keep %d of what is missing are settled after one jump', (kept) => {
    const settled = [350, 330];
    const { rests, steady, answer } = cycles([300, 310], (t) => {
      t.forEach((now, e) => { t[e] = settled[e] + kept * (now - settled[e]); });
    }, (p, t) => (p / 2000) * Math.max(0.1, (t[0] - 250) / 100));
    // Three cycles to the jump and two to see that nothing moves any more; the search looks at most at a few powers.
    const looked = steady.length / 2;
    expect(rests.length).toBeLessThanOrEqual(5 * looked);
    if (kept > 0.3) expect(rests.length).toBeGreaterThanOrEqual(4 * looked);
    // Settled at 350: what is used is the power over 2000 W.
    expect(answer?.power).toBeGreaterThan(2000 * (1 - 3e-5));
    expect(answer?.power).toBeLessThan(2000 * (1 + 3e-5));
  });

  it.each([
    // Each cycle moves `kept` times as much as the last; then kept/(1 − kept) of that is still to come, where that is more.
    [0.0199, 0.1, 2], [0.0201, 0.1, 3], [2.46e-4, 0.9, 2], [2.48e-4, 0.9, 3], [-0.0199, 0.1, 2], [-0.0201, 0.1, 3], [1e-6, 0.1, 2],
  ])('that move %d K at first and keep %d of it are settled after %d: 2 mK are left', (first, kept, count) => {
    let step = first;
    const temperature = new Float64Array([300, 300]);
    const { rests, steady } = peakOf({
      use: (p) => p / 2000, temperature,
      steady: () => {
        temperature.fill(300);
        step = first;
        return 'solved';
      },
      rest: (t) => {
        t[1] += step;
        step *= kept;
        return 'solved';
      },
    }, question);
    expect(rests.length).toBe((count * steady.length) / 2);
  });

  it('that move further apart never settle', () => {
    const { thrown, rests } = cycles([300, 300], (t) => { t[0] = 300 + 1.01 * (t[0] - 299); }, (p) => p / 2000);
    expect(thrown).toBeInstanceOf(RatingError);
    expect(thrown).toMatchObject({ message: 'repeated peaks do not settle', power: 100 });
    expect(rests.length).toBe(300);
  });

  it.each([1, 1.01])('that move %d times as far each time are not jumped over', (growth) => {
    const seen: number[] = [];
    cycles([300, 300], (t) => {
      seen.push(t[0]);
      t[0] += growth ** (seen.length - 1);
    }, (p) => p / 2000);
    let plain = 300;
    for (let k = 0; k < 9; k++) {
      expect(seen[k]).toBeCloseTo(plain, 9);
      plain += growth ** k;
    }
  });

  it('that swing are not jumped over', () => {
    const { rests, steady, thrown } = cycles([300, 300], (t) => { t[0] = 310 - 0.5 * (t[0] - 310); }, (p) => p / 2000);
    expect(thrown).toBeNull();
    // 15 K, halved each time: below 2 mK after 13 cycles or so.
    const each = rests.length / (steady.length / 2);
    expect(each).toBe(Math.ceil(Math.log2(15 / 2e-3)) + 1);
  });

  it('use what the warmer of the first and the settled one does', () => {
    // Cooler in the long run than at first, or warmer.
    for (const [begin, settled, worst] of [[400, 300, 400], [300, 400, 400]]) {
      const temperature = new Float64Array(2);
      let begun = 0;
      const { answer } = peakOf({
        use: (power) => (power / 2000) * (temperature[0] / 300), temperature,
        steady: () => {
          temperature.fill(begun++ % 2 === 0 ? begin : settled);
          return 'solved';
        },
      }, question);
      expect((answer?.power ?? 0) / ((2000 * 300) / worst)).toBeCloseTo(1, 4);
    }
  });

  it('are lost where the mean square has no steady state, the peak or the rest none', () => {
    const limitOf = (script: Partial<Script>) => peakOf({ use: (p) => p / 2000, ...script }, question).answer;
    const mean = limitOf({ steady: (power) => (power > 500 ? 'voltage-collapse' : 'solved') });
    expect(mean).toMatchObject({ binding: { limit: 'no-steady-state', slot: 0, pole: 'both' } });
    // ¼·P² + ¾·100² = 500².
    expect((mean?.power ?? 0) / Math.sqrt(4 * 500 ** 2 - 3 * 100 ** 2)).toBeCloseTo(1, 4);
    const lost = peakOf({ use: (p) => (p > 600 ? 'voltage-collapse' : 0.5) }, question);
    expect(lost.answer).toMatchObject({ power: expect.closeTo(600, 1), binding: { limit: 'voltage-collapse' } });
    expect(lost.steady.filter((power) => power !== 40).length).toBeLessThan(lost.steady.filter((power) => power === 40).length);
    // Carried once, but not in the long run: then no rest is looked at any more.
    let begun = 0;
    const later = peakOf({ use: () => (begun % 2 === 0 ? 'voltage-collapse' : 0.5), steady: () => {
      begun++;
      return 'solved';
    } }, { ...question, rest: { duration: 30, power: 0 }, before: 0 });
    expect(later).toMatchObject({ answer: { power: 0, binding: { limit: 'voltage-collapse' } }, rests: [] });
    expect(peakOf({ use: (p) => p / 2000, rest: () => 'no-steady-state' }, question).thrown).toBeInstanceOf(NoRoomForPeak);
  });
});
