import type { Scenario } from '../draw/index.js';
import { type RatedPower, RackModel } from '../ladder/index.js';
import { Ladder } from '../ladder/ladder.js';
import { Rating } from '../ladder/ratedPower.js';
import type { Rack } from '../rack/index.js';

/** A power that a scenario does not carry. */
export interface LowerPower {
  /** W: the rated power in one operating state, at least that of the scenario. */
  readonly power: number;
  /** Position of that state among the operating states. */
  readonly state: number;
}

/** Rates the candidates of a search: fully, or only whether one lies below the best so far. */
export class SearchRating {
  /** Scenarios looked at. */
  evaluations = 0;
  private readonly model: RackModel;
  private readonly ladder: Ladder;
  private readonly rating: Rating;

  constructor(rack: Rack) {
    this.model = new RackModel(rack);
    this.ladder = new Ladder(rack);
    this.rating = new Rating(this.ladder);
  }

  /** @throws NoFeedError, RatingError, RangeError as {@link RackModel.rate} */
  rate(scenario: Scenario): RatedPower {
    this.evaluations++;
    return this.model.rate(scenario);
  }

  /** Position of the operating state that a rating names. */
  stateOf(scenario: Scenario, { state }: RatedPower): number {
    const states = this.model.states(scenario);
    return Math.max(0, states.findIndex(({ rule, outSlot }) => rule === state.rule && outSlot === state.outSlot));
  }

  /**
   * A state in which the scenario carries less than `upper` (W), the given state looked at first; null where it carries
   * that much in the given state or, with `all`, in every state.
   *
   * Most candidates are turned down by one linearisation per state, at a third or less of the cost of a rating.
   */
  below(scenario: Scenario, upper: number, first: number, all: boolean): LowerPower | null {
    const { ladder, rating } = this;
    this.evaluations++;
    ladder.mount(scenario);
    const { states } = ladder;
    for (let step = 0; step < (all ? states.length : 1); step++) {
      const state = (first + step) % states.length;
      ladder.setState(states[state]);
      const joint = rating.searchJoint(states[state], upper);
      const found = joint === undefined ? rating.searchBracketed(states[state], upper) : joint;
      if (found !== null) return { power: found.power, state };
    }
    return null;
  }
}
