import { TooManyStates } from './slotAutomaton.js';

/** Numbers states of any kind in the order in which they are met, for automata whose states cannot be listed ahead. */
export class InternedStates<State> {
  private readonly states: State[] = [];
  private readonly numbers = new Map<string, number>();

  /** @param keyOf text that is the same exactly for states that count as one */
  constructor(
    private readonly keyOf: (state: State) => string,
    readonly limit = 2 ** 20,
  ) {}

  at(number: number): State {
    return this.states[number];
  }

  /** @throws TooManyStates past the limit */
  numberOf(state: State): number {
    const key = this.keyOf(state);
    const known = this.numbers.get(key);
    if (known !== undefined) return known;
    const number = this.states.length;
    if (number >= this.limit) throw new TooManyStates(this.limit);
    this.numbers.set(key, number);
    this.states.push(state);
    return number;
  }
}
