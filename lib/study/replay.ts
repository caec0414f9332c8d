import { type DrawnScenario, type ScenarioSource, scenarioSource } from '../draw/index.js';
import { type LadderSolution, type NoSolution, RackModel, type RatedPower } from '../ladder/index.js';
import type { Study } from '../rack/studyModel.js';

/** One scenario of a study in full. */
export interface Replay extends DrawnScenario {
  readonly rated: RatedPower;
  /**
   * Solutions at the rated power, one per operating state, the binding state first; at a rated power of 0, or where
   * a collapse binds, the highest power that still has solutions is shown (a ten-thousandth below).
   */
  readonly solutions: readonly (LadderSolution | NoSolution)[];
}

/** What replays of one study share, so that several need not prepare it anew. */
export interface ReplayTools {
  readonly source: ScenarioSource;
  readonly model: RackModel;
}

/** @throws the errors of scenarioSource */
export function replayTools(study: Study): ReplayTools {
  return { source: scenarioSource(study), model: new RackModel(study.rack) };
}

/**
 * Scenario `index` of a study again, from (study, seed, index) alone.
 * @param tools of this study, where there are some already
 * @throws the errors of scenarioSource and RackModel.rate; RangeError for a bad index
 */
export function replayScenario(study: Study, index: number, tools?: ReplayTools): Replay {
  if (!Number.isSafeInteger(index) || index < 0) {
    throw new RangeError(`scenario index ${index}: must be a whole number from 0`);
  }
  const { source, model } = tools ?? replayTools(study);
  return replayPlacement(study, source.draw(index), model);
}

/**
 * A placement of a study in full, drawn or not, e.g. the worst that a search found.
 * @param model of the study's rack, where there is one already
 * @throws the errors of RackModel.rate
 */
export function replayPlacement(study: Study, drawn: DrawnScenario, model = new RackModel(study.rack)): Replay {
  const rated = model.rate(drawn.scenario);
  const collapses = rated.limit === 'voltage-collapse' || rated.limit === 'no-steady-state';
  const power = rated.power > 0 ? rated.power * (collapses ? 1 - 1e-4 : 1) : 1;
  const states = model.states(drawn.scenario);
  const isBinding = (state: (typeof states)[number]) =>
    state.rule === rated.state.rule && state.outSlot === rated.state.outSlot;
  const ordered = [...states.filter(isBinding), ...states.filter((state) => !isBinding(state))];
  return {
    ...drawn,
    rated,
    solutions: ordered.map((state) => model.solutionAt(drawn.scenario, power, state)),
  };
}
