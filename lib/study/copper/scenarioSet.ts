import { PlacementNotFound, type Scenario, scenarioSource, type ScenarioSource } from '../../draw/index.js';
import type { Study } from '../../rack/studyModel.js';

/** Scenarios that are kept in memory; more are drawn anew each time. */
const KEPT = 20_000;

/**
 * The first scenarios of a study, as often as they are asked for. Draws do not look at the bar: studies that differ in it
 * alone have the same scenarios (a test holds that), so that one set serves every design.
 */
export class ScenarioSet {
  private readonly source: ScenarioSource;
  private readonly kept: (Scenario | null)[] = [];

  /** @throws as scenarioSource */
  constructor(readonly study: Study, readonly count: number) {
    if (!Number.isInteger(count) || count < 1) throw new RangeError(`${count} scenarios: a whole number from 1 is needed`);
    this.source = scenarioSource(study);
  }

  /** Null where the loads found no place. */
  at(index: number): Scenario | null {
    if (index < this.kept.length) return this.kept[index];
    const drawn = this.draw(index);
    if (index < KEPT && index === this.kept.length) this.kept.push(drawn);
    return drawn;
  }

  private draw(index: number): Scenario | null {
    try {
      return this.source.draw(index).scenario;
    } catch (error) {
      if (!(error instanceof PlacementNotFound)) throw error;
      return null;
    }
  }
}
