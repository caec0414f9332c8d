import type { OperatingStateRule, Rack } from '../rack/model.js';
import type { Scenario } from '../draw/scenario.js';

/** Which sources carry the load. */
export interface OperatingState {
  readonly rule: OperatingStateRule;
  /** Contact slot of the source that is out, or 0. */
  readonly outSlot: number;
  /** `[source]`, 1 = carries load; in the order of the scenario's source units. */
  readonly active: readonly number[];
}

/** A rack whose sources cannot carry it: no source in service in some operating state, or no load at all. */
export class NoFeedError extends Error {
  constructor(message: string) {
    super(message);
    this.name = 'NoFeedError';
  }
}

/**
 * The operating states a placement must survive. Batteries idle unless they carry the load alone; with
 * `one-source-out` each power shelf is out in turn.
 *
 * @throws NoFeedError where a state leaves no source in service
 */
export function operatingStates(rack: Rack, scenario: Scenario): OperatingState[] {
  const shelves: number[] = [];
  const contactSlots: number[] = [];
  for (const { kind, contactSlot } of scenario.units) {
    if (kind === 'load') continue;
    shelves.push(kind === 'power-shelf' ? 1 : 0);
    contactSlots.push(contactSlot);
  }
  return statesOfSources(rack, scenario.index, shelves, contactSlots);
}

/**
 * The same from the sources alone, in the order of the scenario's units.
 * @param shelves 1 for a power shelf, 0 for a battery shelf, `[source]`
 * @param contactSlots `[source]`
 */
export function statesOfSources(
  rack: Rack, scenario: number, shelves: readonly number[], contactSlots: readonly number[],
): OperatingState[] {
  const states: OperatingState[] = [];
  for (const rule of rack.operatingStates) {
    if (rule === 'all-in-service') {
      states.push({ rule, outSlot: 0, active: shelves });
    } else if (rule === 'batteries-alone') {
      states.push({ rule, outSlot: 0, active: shelves.map((shelf) => 1 - shelf) });
    } else {
      for (let k = 0; k < shelves.length; k++) {
        if (shelves[k] === 0) continue;
        const active = shelves.slice();
        active[k] = 0;
        states.push({ rule, outSlot: contactSlots[k], active });
      }
    }
  }
  for (const state of states) {
    if (!state.active.includes(1)) {
      throw new NoFeedError(`scenario ${scenario}: no source in service in the state ${describeState(state)}`);
    }
  }
  return states;
}

/** A state in words: `all in service`, `source at slot 42 out`, `batteries alone`. */
export function describeState(state: { readonly rule: OperatingStateRule; readonly outSlot: number }): string {
  if (state.rule === 'one-source-out') return `source at slot ${state.outSlot} out`;
  return state.rule === 'all-in-service' ? 'all in service' : 'batteries alone';
}
