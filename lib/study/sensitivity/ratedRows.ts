/** Rates every scenario that a sensitivity study needs, row by row, and keeps the powers. */
import type { Scenario } from '../../draw/index.js';
import type { RackModel } from '../../ladder/index.js';
import { SCENARIO_QUANTITIES, type ScenarioQuantity } from '../../rack/studyModel.js';
import { isUnrateable } from '../batch.js';
import type { Factor } from './factors.js';
import type { RowScenarios } from './rowScenarios.js';
import { halved, removed, type Tolerance, withChange } from './tolerances.js';

/** A scenario that could not be rated: it counts as carrying nothing. */
export interface Unrated {
  /** `A`, `B`, or what was changed. */
  readonly scenario: string;
  readonly row: number;
  readonly reason: string;
}

/** Rated powers in W, each `[row]`. */
export interface RatedRows {
  readonly a: Float64Array;
  readonly b: Float64Array;
  /** `[factor]`. */
  readonly mixed: readonly Float64Array[];
  /** `[tolerance]`: of A with the tolerance shifted (null where it cannot be), halved and removed. */
  readonly changed: readonly {
    readonly down: Float64Array | null;
    readonly up: Float64Array | null;
    readonly halved: Float64Array;
    readonly removed: Float64Array;
  }[];
  /** Of A with all tolerances halved, and removed. */
  readonly allHalved: Float64Array;
  readonly allRemoved: Float64Array;
  /** 1 where the scenario of A found a placement. */
  readonly drawn: Uint8Array;
  /** Of A where it was drawn, SI. */
  readonly quantities: Readonly<Record<ScenarioQuantity, Float64Array>>;
  /** Whether two rows of A and B differ in their placement. */
  readonly placementVaries: boolean;
  /** In A and B together. */
  readonly baseNotRated: number;
  /** Scenarios without a rated power, all in all, and the first of them. */
  readonly notRated: number;
  readonly firstNotRated: readonly Unrated[];
  /** Rated powers asked for. */
  readonly ratings: number;
}

const UNRATED_SHOWN = 20;

export function rateRows(
  rows: number,
  scenarios: RowScenarios,
  model: RackModel,
  factors: readonly Factor[],
  tolerances: readonly Tolerance[],
  onProgress: (done: number, planned: number) => void,
): RatedRows {
  const column = () => new Float64Array(rows);
  const [a, b, allHalved, allRemoved] = [column(), column(), column(), column()];
  const mixed = factors.map(column);
  const changed = tolerances.map(({ shift }) => ({
    down: shift === null ? null : column(),
    up: shift === null ? null : column(),
    halved: column(),
    removed: column(),
  }));
  const quantities = Object.fromEntries(SCENARIO_QUANTITIES.map((name) => [name, column()])) as Record<
    ScenarioQuantity,
    Float64Array
  >;
  const hasBase = new Uint8Array(rows);
  const perRow = 4 + factors.length + changed.reduce((sum, { down }) => sum + (down === null ? 2 : 4), 0);
  const firstNotRated: Unrated[] = [];
  let notRated = 0;
  let baseNotRated = 0;
  let firstPlacement: string | null = null;
  let placementVaries = false;

  function rate(into: Float64Array, row: number, what: string, scenario: () => Scenario): Scenario | null {
    let drawn: Scenario | null = null;
    try {
      drawn = scenario();
      into[row] = model.rate(drawn).power;
    } catch (error) {
      if (!isUnrateable(error)) throw error;
      into[row] = 0;
      notRated++;
      if (what === 'A' || what === 'B') baseNotRated++;
      if (firstNotRated.length < UNRATED_SHOWN) firstNotRated.push({ scenario: what, row, reason: error.message });
    }
    return drawn;
  }

  function look(scenario: Scenario | null): void {
    if (scenario === null || placementVaries) return;
    const placement = placementKey(scenario);
    firstPlacement ??= placement;
    placementVaries = placement !== firstPlacement;
  }

  for (let row = 0; row < rows; row++) {
    const base = rate(a, row, 'A', () => scenarios.a(row));
    look(base);
    look(rate(b, row, 'B', () => scenarios.b(row)));
    factors.forEach((factor, k) => {
      rate(mixed[k], row, `A with ${factor.words} of B`, () => scenarios.mixed(row, factor));
    });
    // Without a placement there is nothing to change: these rows carry nothing either.
    if (base !== null) rateChanges(row, base);
    onProgress((row + 1) * perRow, rows * perRow);
  }

  function rateChanges(row: number, base: Scenario): void {
    hasBase[row] = 1;
    for (const name of SCENARIO_QUANTITIES) quantities[name][row] = base.build[name] ?? 0;
    let [half, none] = [base, base];
    tolerances.forEach((tolerance, k) => {
      const { name, words, shift } = tolerance;
      const { down, up, halved: narrow, removed: fixed } = changed[k];
      if (shift !== null && down !== null && up !== null) {
        rate(down, row, `${words} shifted down`, () => withChange(base, name, shift.down));
        rate(up, row, `${words} shifted up`, () => withChange(base, name, shift.up));
      }
      rate(narrow, row, `${words} halved`, () => withChange(base, name, halved(tolerance)));
      rate(fixed, row, `${words} removed`, () => withChange(base, name, removed(tolerance)));
      half = withChange(half, name, halved(tolerance));
      none = withChange(none, name, removed(tolerance));
    });
    rate(allHalved, row, 'all tolerances halved', () => half);
    rate(allRemoved, row, 'all tolerances removed', () => none);
  }

  return {
    a,
    b,
    mixed,
    changed,
    allHalved,
    allRemoved,
    drawn: hasBase,
    quantities,
    placementVaries,
    baseNotRated,
    notRated,
    firstNotRated,
    ratings: rows * perRow,
  };
}

function placementKey({ units }: Scenario): string {
  return units
    .map(
      ({ kind, equipment, bottomSlot, heightSlots, power }) =>
        `${kind} ${equipment} ${bottomSlot} ${heightSlots} ${power}`,
    )
    .join('\n');
}
