import { InternedStates } from './internedStates.js';
import type { SlotAutomaton } from './slotAutomaton.js';

/** Most sets of numbers kept; more would make one placement cost seconds. */
const STATE_LIMIT = 5000;

/**
 * Exactly `count` alike units (the search around it stops there) whose numbers by class (`[class]`) are acceptable. For
 * conditions that look at the whole placement, where a unit matters only through the class of its place. State: the
 * numbers so far, numbered as met.
 * Throws TooManyStates while it is followed when more than 5000 sets of numbers turn up.
 * @param classOfBottom `[bottomSlot]`
 */
export function composition(
  count: number,
  classOfBottom: Int32Array,
  classCount: number,
  acceptable: (numbers: readonly number[]) => boolean,
): SlotAutomaton {
  const states = new InternedStates<readonly number[]>((numbers) => numbers.join(), STATE_LIMIT);
  const start = states.numberOf(new Array<number>(classCount).fill(0));
  const total = (numbers: readonly number[]): number => numbers.reduce((sum, number) => sum + number, 0);
  const verdicts: (boolean | undefined)[] = [];
  return {
    stateCount: states.limit,
    start,
    leaveEmpty: (state) => state,
    place: (state, _piece, bottomSlot) => {
      const numbers = states.at(state);
      return states.numberOf(numbers.map((number, c) => (c === classOfBottom[bottomSlot] ? number + 1 : number)));
    },
    accepts: (state) => {
      if (total(states.at(state)) !== count) return false;
      const known = verdicts[state] ?? acceptable(states.at(state));
      verdicts[state] = known;
      return known;
    },
  };
}
