/** The placement that a program found to come nearest to a limit, solved on the ladder itself: where lines should touch. */
import { placedUnit } from '../draw/placedUnit.js';
import type { PlacedUnit, Scenario } from '../draw/scenario.js';
import { operatingStates, RackModel } from '../ladder/index.js';
import type { Rack } from '../rack/index.js';
import type { Branch } from './branch.js';
import type { ProgramUnit } from './placementProgram.js';
import { type ToleranceRanges, worstBuild } from './toleranceRanges.js';
import { worstContact } from './worstContact.js';

export class NearestPlacement {
  private readonly model: RackModel;

  constructor(private readonly rack: Rack, private readonly ranges: ToleranceRanges) {
    this.model = new RackModel({ ...rack, operatingStates: ['all-in-service'] });
  }

  /** K above the unloaded air that a placement takes both poles to at a power, `[pole][slot]`; null where it has no solution. */
  rises(branch: Branch, units: readonly ProgramUnit[], power: number): [Float64Array, Float64Array] | null {
    const scenario = this.scenarioOf(branch, units);
    const sources = units.filter(({ piece }) => piece >= 0);
    const states = operatingStates({ ...this.rack, operatingStates: [branch.rule] }, scenario);
    const state = states.find(({ active }) => sources.every(({ inService }, k) => inService === (active[k] === 1)));
    if (state === undefined) return null;
    const solution = this.model.solutionAt(scenario, power, state);
    if (solution.status !== 'solved') return null;
    const base = Float64Array.from(this.rack.air.profile, (k) => this.ranges.inlet.max + k);
    const rises = (pole: Float64Array) => pole.map((t, i) => t - base[i]);
    return [rises(solution.supplyTemperature), rises(solution.returnTemperature)];
  }

  private scenarioOf({ program, family }: Branch, units: readonly ProgramUnit[]): Scenario {
    const { ranges } = this;
    const placed = units.map(({ piece, option, bottomSlot, share }): PlacedUnit => {
      const type = piece >= 0 ? program.pieces[piece].unitType : family.options[option].type;
      const height = piece >= 0 ? type.heightSlots : family.options[option].heightSlots;
      const nominal = worstContact(type, ranges).resistance / ranges.contactFactor.max;
      return placedUnit(type, bottomSlot, height, share, [nominal, nominal], 1);
    });
    return { index: 0, units: placed, build: worstBuild(ranges, ranges.inlet.max) };
  }
}
