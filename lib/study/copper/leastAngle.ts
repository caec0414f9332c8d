import type { BalanceData, Rack } from '../../rack/index.js';
import type { ScenarioSet } from './scenarioSet.js';
import { type CentreOfMass, RackBalance, tippingAngle, type TippingAngle } from './tipping.js';

/** The placement of a set at which a rack tips first. */
export interface LeastAngle extends TippingAngle {
  /** Of its scenario. */
  readonly index: number;
  readonly centre: CentreOfMass;
}

/** Smallest tipping angle over the scenarios drawn; one that was not drawn may tip sooner. Null where none was placed. */
export function leastAngle(rack: Rack, set: ScenarioSet, data: BalanceData): LeastAngle | null {
  const balance = new RackBalance(rack, set.study.catalogue, data);
  let least: LeastAngle | null = null;
  for (let index = 0; index < set.count; index++) {
    const scenario = set.at(index);
    if (scenario === null) continue;
    const centre = balance.centre(scenario.units);
    const found = tippingAngle(centre, data.feet);
    if (least === null || found.angle < least.angle) least = { ...found, index, centre };
  }
  return least;
}
