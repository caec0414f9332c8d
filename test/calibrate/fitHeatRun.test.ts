import { describe, expect, it } from 'vitest';
import { CalibrationError, fitHeatRun, type HeatRunFit } from '../../lib/calibrate/index.js';
import type { HeatRun } from '../../lib/rack/index.js';
import { CATALOGUE, changed, load, measured, PLAN, RACK, SENSORS, sensor, source, truth } from './syntheticRuns.js';

const TRUTH = { filmFactor: 0.82, emissivity: 0.22, sourceContact: 1.4 };
const NAMES = Object.keys(TRUTH);
const exact = truth(PLAN, TRUTH);
const fitted = (run: HeatRun, quantities: readonly string[] = NAMES, more = {}) =>
  fitHeatRun(RACK, CATALOGUE, run, { quantities, ...more });
const of = (found: HeatRunFit, name: string) => {
  const one = found.quantities.find(({ quantity }) => quantity === name);
  if (one === undefined) throw new Error(name);
  return one;
};
async function refused(promise: Promise<unknown>): Promise<CalibrationError> {
  const error = await promise.then(
    () => null,
    (thrown: unknown) => thrown,
  );
  expect(error).toBeInstanceOf(CalibrationError);
  return error as CalibrationError;
}

describe('a heat run without noise', () => {
  it('gives back the truth it was made with', async () => {
    const found = await fitted(measured(exact, 'none', 0, 0));
    for (const [name, value] of Object.entries(TRUTH)) expect(of(found, name).value / value).toBeCloseTo(1, 6);
    expect(found.chiSquare).toBeLessThan(1e-9);
  });

  it.each([
    ['contactFactor', 1.3],
    ['loadContact', 0.7],
    ['areaFactor', 0.96],
    ['exhaustRise', 0.9],
    ['filmFactor', 1.9],
  ])('gives back %s %f', async (name, value) => {
    const air = [11, 23].map((slot) => sensor(`A${slot}`, slot, 0, { place: 'air' }));
    const plan = { points: PLAN.points.map((point) => ({ ...point, readings: [...point.readings, ...air] })) };
    const found = await fitted(measured(truth(plan, { [name]: value }), 'none', 0, 0), [name]);
    expect(of(found, name).value / value).toBeCloseTo(1, 6);
  });

  it('knows loads by their current as well as by their power', async () => {
    const byCurrent = {
      points: PLAN.points.map((point) => ({
        ...point,
        units: point.units.map((unit) =>
          unit.kind === 'load' ? { ...unit, power: null, current: (unit.power ?? 0) / 50 } : unit,
        ),
      })),
    };
    const found = await fitted(measured(truth(byCurrent, TRUTH), 'none', 0, 0));
    for (const [name, value] of Object.entries(TRUTH)) expect(of(found, name).value / value).toBeCloseTo(1, 6);
  });
});

it('currents of sources that do not feed what the loads take are seen', async () => {
  const shared = { ...RACK, sharing: { model: 'equal' as const } };
  const run = measured(exact, 'noisy');
  const fed = (amperes: number) => ({
    points: run.points.map((point) => ({
      ...point,
      units: point.units.map((unit) => (unit.kind === 'source' ? { ...unit, current: amperes } : unit)),
    })),
  });
  const [first] = (await fitHeatRun(shared, CATALOGUE, fed(100), { quantities: ['filmFactor'] })).currents;
  expect(first.measured).toBe(400);
  // 28 kW at a little below 50.5 V.
  expect(first.expected).toBeGreaterThan(28e3 / 50.5);
  expect(first.expected).toBeLessThan(28e3 / 48);
});

describe('a noisy heat run', () => {
  it('gives the truth within its intervals, and a reduced chi-square near 1', async () => {
    const found = await fitted(measured(exact, 'noisy'));
    for (const [name, value] of Object.entries(TRUTH)) {
      const { interval } = of(found, name);
      expect(interval?.[0]).toBeLessThan(value);
      expect(interval?.[1]).toBeGreaterThan(value);
    }
    expect(found.degreesOfFreedom).toBe(3 * SENSORS.length - 3);
    expect(found.reducedChiSquare).toBeGreaterThan(found.expectedReducedChiSquare?.[0] ?? 2);
    expect(found.reducedChiSquare).toBeLessThan(found.expectedReducedChiSquare?.[1] ?? 0);
    expect(found.outliers).toEqual([]);
    expect(found.exchanged).toEqual([]);
  });

  it('does not care about the size of the standard errors, only about their ratios', async () => {
    const run = measured(exact, 'noisy');
    const [plain, tenfold] = [await fitted(run), await fitted(changed(run, () => ({ standardError: 4 })))];
    expect(of(tenfold, 'filmFactor').standardError).toBeCloseTo(of(plain, 'filmFactor').standardError ?? 0, 6);
    expect(tenfold.reducedChiSquare).toBeCloseTo(plain.reducedChiSquare / 100, 6);
  });

  it('counts a missing sensor and fits without it', async () => {
    const run = changed(measured(exact, 'noisy'), ({ sensor: name }, point) =>
      name === 'S14' && point === 'near' ? { temperature: null } : {},
    );
    const found = await fitted(run);
    expect(found.missing).toEqual([{ point: 'near', sensor: 'S14' }]);
    expect(found.degreesOfFreedom).toBe(3 * SENSORS.length - 1 - 3);
  });

  it('names two sensors whose readings are exchanged, and changes nothing by itself', async () => {
    const run = measured(exact, 'noisy');
    const reading = (name: string, point: string) =>
      run.points.find((p) => p.name === point)?.readings.find((r) => r.sensor === name)?.temperature ?? null;
    const swapped = changed(run, ({ sensor: name }, point) => {
      const other = { S2: 'R34', R34: 'S2' }[name];
      return other === undefined ? {} : { temperature: reading(other, point) };
    });
    const found = await fitted(swapped);
    expect(found.exchanged.map(({ sensors }) => [...sensors].sort())).toEqual([['R34', 'S2']]);
    expect(found.readings.find((r) => r.sensor === 'S2' && r.point === 'far')?.measured).toBe(reading('R34', 'far'));
  });

  it('names an outlier and keeps it, until it is told to leave the sensor out', async () => {
    const run = changed(measured(exact, 'noisy'), ({ sensor: name, temperature }, point) =>
      name === 'R30' && point === 'far' ? { temperature: (temperature ?? 0) - 5 } : {},
    );
    const found = await fitted(run);
    expect(found.outliers.map(({ sensor: name, point }) => [name, point])).toEqual([['R30', 'far']]);
    const without = await fitted(run, NAMES, { drop: ['R30'] });
    expect(without.outliers).toEqual([]);
    expect(without.readings.filter(({ use }) => use === 'dropped')).toHaveLength(3);
    expect(without.degreesOfFreedom).toBe(found.degreesOfFreedom - 3);
  });

  it('calls one outlier or more in about 5 % of sound heat runs, and an exchange in at most that', async () => {
    let [alarms, exchanges] = [0, 0];
    for (let i = 0; i < 300; i++) {
      const found = await fitted(measured(exact, 'false alarms', i), ['filmFactor']);
      if (found.outliers.length > 0) alarms++;
      if (found.exchanged.length > 0) exchanges++;
    }
    // Binomial with 300 and 0.05: 5 to 26 in 99.9 %.
    expect(alarms).toBeGreaterThanOrEqual(5);
    expect(alarms).toBeLessThanOrEqual(26);
    expect(exchanges).toBeLessThanOrEqual(26);
  }, 120_000);
});

describe('what readings cannot tell apart', () => {
  it('is named: film factor and emissivity from one operating point', async () => {
    const one = {
      points: [
        {
          ...PLAN.points[0],
          readings: [12, 20].map((slot) => sensor(`S${slot}`, slot, 0)).concat(SENSORS.slice(0, 6)),
        },
      ],
    };
    const found = await fitted(measured(truth(one, { filmFactor: 0.82, emissivity: 0.22 }), 'one point'), [
      'filmFactor',
      'emissivity',
    ]);
    expect(found.alike).toHaveLength(1);
    expect(found.alike[0].quantities).toEqual(['filmFactor', 'emissivity']);
    expect(found.alike[0].words).toMatch(/film factor and emissivity/);
    expect(Math.abs(found.alike[0].correlation ?? 0)).toBeGreaterThan(0.95);
    // With less noise neither runs into a bound, and the table of correlations says the same.
    const quiet = await fitted(measured(truth(one, { filmFactor: 0.82, emissivity: 0.22 }), 'one point', 0, 0.02), [
      'filmFactor',
      'emissivity',
    ]);
    expect(quiet.correlation[0][1]).toBeLessThan(-0.95);
  });

  it('is nothing where load, place and air vary enough', async () => {
    expect((await fitted(measured(exact, 'noisy'), ['filmFactor', 'sourceContact'])).alike).toEqual([]);
  });

  it('is refused where nothing distinguishes them at all', async () => {
    const run = measured(exact, 'noisy');
    const error = await refused(fitted(run, ['filmFactor', 'exhaustRise', 'loadContact', 'contactFactor']));
    expect(error.found).toMatch(/contactFactor/);
  });
});

describe('a heat run is refused', () => {
  it('with too few readings', async () => {
    const one = { points: [{ ...PLAN.points[0], readings: SENSORS.slice(0, 2) }] };
    expect((await refused(fitted(measured(truth(one, {}), 'few'), ['filmFactor', 'emissivity']))).found).toBe(
      '2 usable readings for 2 quantities',
    );
  });

  it('while it still warms up, and taken where that is allowed, with the effect stated', async () => {
    // As if every reading were 2 K/h × time constant short of its end.
    const still = await fitted(measured(exact, 'none', 0, 0), ['filmFactor']);
    const hours = still.steadiness.timeConstant;
    const young = changed(measured(exact, 'none', 0, 0), ({ temperature }) => ({
      temperature: (temperature ?? 0) - 1.5 * hours,
      driftPerHour: 1.5,
    }));
    const error = await refused(fitted(young, ['filmFactor']));
    expect(error.found).toMatch(/still move by more than 1 K\/h/);
    const taken = await fitted(young, ['filmFactor'], { allowUnsteady: true });
    expect(taken.steadiness.unsteady).toHaveLength(3 * SENSORS.length);
    const { value } = of(taken, 'filmFactor');
    expect(value).toBeGreaterThan(of(still, 'filmFactor').value);
    // The stated effect takes most of the error away.
    expect(Math.abs(value + taken.steadiness.effect[0] - of(still, 'filmFactor').value)).toBeLessThan(
      0.35 * (value - of(still, 'filmFactor').value),
    );
  });

  it('for a name that is none', async () => {
    expect((await refused(fitted(measured(exact, 'x'), ['filmfactor']))).allowed).toMatch(/did you mean "filmFactor"/);
    expect((await refused(fitted(measured(exact, 'x'), NAMES, { drop: ['S3'] }))).allowed).toMatch(/did you mean/);
    expect((await refused(fitted(measured(exact, 'x'), []))).found).toBe('no quantity to fit');
  });

  it('for a quantity that no reading knows of', async () => {
    const run: HeatRun = {
      points: [
        {
          name: 'p',
          inlet: 300,
          units: [source(1), load('node-1', 3, 3)],
          readings: [20, 30, 3].map((slot) => sensor(`A${slot}`, slot, 0, { place: 'air' })),
        },
      ],
    };
    expect((await refused(fitted(measured(truth(run, {}), 'air'), ['exhaustRise', 'filmFactor']))).found).toMatch(
      /without effect on any reading/,
    );
  });
});

it('a value at its bound is called so, without an interval', async () => {
  const cold = changed(measured(exact, 'none', 0, 0), ({ temperature }) => ({ temperature: (temperature ?? 0) - 20 }));
  const found = await fitted(cold, ['emissivity']);
  expect(of(found, 'emissivity')).toMatchObject({ value: 1, atBound: 'upper', standardError: null, interval: null });
});
