/** One rack on a set of scenarios: rated powers, and what a stated load costs in volts and heat. */
import type { Scenario } from '../../draw/index.js';
import { RackModel } from '../../ladder/index.js';
import type { Rack } from '../../rack/index.js';
import { isUnrateable } from '../batch.js';
import type { ScenarioSet } from './scenarioSet.js';

/** Rated powers, W, `[scenario]`; one that cannot be rated carries nothing. */
export interface RatedDesign {
  readonly powers: Float64Array;
  readonly notRated: number;
}

/** What a load costs in the scenarios that carry it at all, each `[of those, in order of index]`. */
export interface LoadedDesign {
  /** V: mean of the feeding sources' terminal voltages less the lowest terminal voltage of a load. */
  readonly drop: readonly number[];
  /** W: Joule heat of plates and joints, and of current that spreads from contacts. */
  readonly barHeat: readonly number[];
  /** W: the same and the contacts'. */
  readonly heat: readonly number[];
  /** Scenarios without a solution at the load: voltage collapse, or no steady state. */
  readonly unsolved: number;
}

export function rateDesign(rack: Rack, set: ScenarioSet, onScenario: () => void = () => {}): RatedDesign {
  const model = new RackModel(rack);
  const powers = new Float64Array(set.count);
  let notRated = 0;
  for (let i = 0; i < set.count; i++) {
    const scenario = set.at(i);
    const power = scenario === null ? null : unlessUnrateable(() => model.rate(scenario).power);
    if (power === null) notRated++;
    else powers[i] = power;
    onScenario();
  }
  return { powers, notRated };
}

/** At a total load (W), in the first operating state of the rack file. */
export function loadDesign(rack: Rack, set: ScenarioSet, load: number, onScenario: () => void = () => {}): LoadedDesign {
  const model = new RackModel(rack);
  const found: LoadState[] = [];
  for (let i = 0; i < set.count; i++) {
    const scenario = set.at(i);
    const state = scenario === null ? null : unlessUnrateable(() => loadState(model, scenario, load));
    if (state !== null) found.push(state);
    onScenario();
  }
  return {
    drop: found.map(({ drop }) => drop), barHeat: found.map(({ barHeat }) => barHeat), heat: found.map(({ heat }) => heat),
    unsolved: set.count - found.length,
  };
}

interface LoadState {
  readonly drop: number;
  readonly barHeat: number;
  readonly heat: number;
}

function loadState(model: RackModel, scenario: Scenario, load: number): LoadState | null {
  const [state] = model.states(scenario);
  const solution = model.solutionAt(scenario, load, state);
  if (solution.status !== 'solved') return null;
  const sources = solution.units.filter(({ unit }) => unit.kind !== 'load').filter((_, k) => state.active[k] === 1);
  const loads = solution.units.filter(({ unit }) => unit.kind === 'load' && unit.power > 0);
  const mean = sources.reduce((sum, { voltage }) => sum + voltage, 0) / sources.length;
  const lowest = loads.reduce((least, { voltage }) => Math.min(least, voltage), Number.POSITIVE_INFINITY);
  const { jouleHeat, spreadingHeat, contactHeat } = solution.balance;
  const barHeat = jouleHeat + spreadingHeat;
  const answer = { drop: mean - lowest, barHeat, heat: barHeat + contactHeat };
  return Object.values(answer).every(Number.isFinite) ? answer : null;
}

function unlessUnrateable<T>(run: () => T): T | null {
  try {
    return run();
  } catch (error) {
    if (!isUnrateable(error)) throw error;
    return null;
  }
}
