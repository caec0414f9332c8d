/**
 * The whole electro-thermal system of 50 random racks, unreduced, by scipy.optimize.root: temperatures, voltages and
 * currents at the rated power, and the rated power itself.
 */
import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { RackModel } from '../../lib/ladder/index.js';
import { rackCase } from '../ladder/randomRack.js';
import { independentCase } from '../published/publishedCheck.js';
import { havePython, runPython, sayWhy } from './python.js';

interface Answer {
  readonly supplyTemperature: number[];
  readonly returnTemperature: number[];
  readonly supplyHottest: number[];
  readonly returnHottest: number[];
  readonly voltage: number[];
  readonly loadCurrent: number[];
  readonly sourceCurrent: number[];
  readonly ratedPower?: number;
}

const CASES = 50;
sayWhy(havePython, 'SciPy is not installed in .venv (test/independent/requirements.txt); 50 racks are not compared');

describe.skipIf(!havePython)('SciPy on the unreduced equations', () => {
  const cases = fc.sample(rackCase, { numRuns: 3 * CASES, seed: 31 }).flatMap(({ rack, scenario }) => {
    const model = new RackModel(rack);
    const rated = model.rate(scenario);
    const thermal = ['bar-rise', 'bar-temperature', 'contact-temperature', 'lowest-load-voltage'].includes(rated.limit);
    if (!thermal || !(rated.power > 0)) return [];
    // The binding state alone, so that both sides rate the same thing.
    const solution = model.solutionAt(scenario, rated.power, rated.state);
    if (solution.status !== 'solved') throw new Error('a rated power must have a solution');
    return [{ rack, scenario, rated, solution }];
  }).slice(0, CASES);
  let answers: Answer[] = [];
  beforeAll(() => {
    answers = runPython<Answer[]>('electro_thermal.py', cases.map(({ rack, scenario, rated }) => ({
      rack, scenario, active: Array.from(rated.state.active), power: rated.power, rate: true,
    })));
  }, 400_000);

  it.each(cases.map((_, i) => [i]))('rack %d: temperatures within 1e-4 K, voltages within 1e-6 V, rated power within 1e-5', (i) => {
    const { solution, rated } = cases[i];
    const answer = answers[i];
    const differences = (ours: ArrayLike<number>, theirs: number[]) =>
      Math.max(...theirs.map((value, k) => Math.abs(value - ours[k])));
    const loads = solution.units.filter((u) => u.unit.kind === 'load').map((u) => u.current);
    const compare = (quantity: string, unit: string, difference: number, allowed: number) =>
      independentCase({ program: 'SciPy root', quantity: `${quantity}, rack ${i + 1}`, unit, difference, allowed });
    compare('supply temperatures', 'K', differences(solution.supplyTemperature, answer.supplyTemperature), 1e-4);
    compare('return temperatures', 'K', differences(solution.returnTemperature, answer.returnTemperature), 1e-4);
    compare('hottest of the supply’s depth', 'K', differences(solution.supplyHottest, answer.supplyHottest), 1e-4);
    compare('hottest of the return’s depth', 'K', differences(solution.returnHottest, answer.returnHottest), 1e-4);
    compare('voltages', 'V', differences(solution.voltage, answer.voltage), 1e-6);
    compare('load currents', 'A', differences(loads, answer.loadCurrent), 1e-4);
    compare('rated power', 'share', Math.abs((answer.ratedPower ?? 0) / rated.power - 1), 1e-5);
  });

  it(`compares ${CASES} racks`, () => {
    expect(cases).toHaveLength(CASES);
  });
});
