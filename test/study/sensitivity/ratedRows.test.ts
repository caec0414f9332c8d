import { describe, expect, it } from 'vitest';
import { scenarioSource } from '../../../lib/draw/index.js';
import { RackModel, RatingError } from '../../../lib/ladder/index.js';
import { loadStudy } from '../../../lib/rack/index.js';
import { factorsOf } from '../../../lib/study/sensitivity/factors.js';
import { rateRows } from '../../../lib/study/sensitivity/ratedRows.js';
import { RowScenarios } from '../../../lib/study/sensitivity/rowScenarios.js';
import { TOLERANCE_NAMES, tolerancesOf } from '../../../lib/study/sensitivity/tolerances.js';

const { study } = loadStudy('data-demo/deep-bar-anywhere.json');
const own = {
  ...study,
  uncertain: { ...study.uncertain, sourceContact: { distribution: 'uniform', min: 5e-6, max: 15e-6 } },
} as const;
const tolerances = tolerancesOf(own);
const factors = factorsOf(own, tolerances);
const ROWS = 6;
const scenarios = new RowScenarios(scenarioSource(own), own.seed, ROWS);

describe('a row with one factor of B', () => {
  const placement = (of: ReturnType<typeof scenarios.a>) =>
    of.units.map(({ equipment, bottomSlot, power }) => `${equipment} ${bottomSlot} ${power}`);
  const contacts = (of: ReturnType<typeof scenarios.a>, load: boolean) =>
    of.units.filter(({ kind }) => (kind === 'load') === load).map(({ contactResistance }) => contactResistance);
  const weights = (of: ReturnType<typeof scenarios.a>) => of.units.map(({ sharingWeight }) => sharingWeight);

  it('has all tolerances as factors', () => {
    expect(factors.map(({ name }) => name)).toEqual(['placement', ...TOLERANCE_NAMES]);
  });

  it.each(TOLERANCE_NAMES)('keeps all but %s', (name) => {
    const factor = factors.find((one) => one.name === name);
    if (factor === undefined) throw new Error(name);
    const [a, b, mixed] = [scenarios.a(2), scenarios.b(2), scenarios.mixed(2, factor)];
    expect(placement(mixed)).toEqual(placement(a));
    expect(placement(mixed)).not.toEqual(placement(b));
    const same = {
      loadContact: JSON.stringify(contacts(mixed, true)) === JSON.stringify(contacts(a, true)),
      sourceContact: JSON.stringify(contacts(mixed, false)) === JSON.stringify(contacts(a, false)),
      sharingWeight: JSON.stringify(weights(mixed)) === JSON.stringify(weights(a)),
    };
    for (const [key, isSame] of Object.entries(same)) expect(isSame, key).toBe(key !== name);
    for (const [key, value] of Object.entries(mixed.build)) {
      expect(value, key).toBe((key === name ? b : a).build[key as keyof typeof a.build]);
    }
  });

  it('takes the placement of B with the values of A', () => {
    const mixed = scenarios.mixed(2, factors[0]);
    expect(placement(mixed)).toEqual(placement(scenarios.b(2)));
    expect(mixed.build).toEqual(scenarios.a(2).build);
    expect(contacts(mixed, false)).toEqual(contacts(scenarios.a(2), false));
  });
});

describe('scenarios without a rated power', () => {
  /** Fails on every `every`-th rating. */
  function failing(every: number): RackModel {
    const model = new RackModel(own.rack);
    let at = 0;
    const rate: RackModel['rate'] = (scenario) => {
      if (at++ % every === 0) throw new RatingError('made to fail', 1);
      return model.rate(scenario);
    };
    return { rate } as RackModel;
  }

  it('count as carrying nothing and are named', () => {
    const perRow = 4 + factors.length + 4 * tolerances.length - 2;
    const done: number[] = [];
    const rated = rateRows(ROWS, scenarios, failing(2 * perRow), factors, tolerances, (now, planned) => {
      expect(planned).toBe(ROWS * perRow);
      done.push(now);
    });
    expect(done).toEqual([1, 2, 3, 4, 5, 6].map((row) => row * perRow));
    expect(rated.ratings).toBe(ROWS * perRow);
    expect(Array.from(rated.a, (power) => power > 0)).toEqual([false, true, false, true, false, true]);
    expect(rated).toMatchObject({ notRated: 3, baseNotRated: 3, placementVaries: true });
    expect(rated.firstNotRated).toEqual([0, 2, 4].map((row) => ({ scenario: 'A', row, reason: 'made to fail' })));
    for (const power of rated.b) expect(power).toBeGreaterThan(0);
  });

  it('are named by what was changed, twenty of them at most, and are not of the base', () => {
    const rated = rateRows(ROWS, scenarios, failing(5), factors, tolerances, () => {});
    expect(rated.notRated).toBeGreaterThan(20);
    expect(rated.firstNotRated).toHaveLength(20);
    expect(rated.firstNotRated.map(({ scenario }) => scenario)).toEqual(
      expect.arrayContaining(['A with sharing between sources of B']),
    );
    expect(rated.baseNotRated).toBeLessThan(rated.notRated);
  });

  it('are no excuse for other errors', () => {
    const broken = {
      rate: () => {
        throw new RangeError('a defect');
      },
    } as unknown as RackModel;
    expect(() => rateRows(ROWS, scenarios, broken, factors, tolerances, () => {})).toThrow('a defect');
  });
});
