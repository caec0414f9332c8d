import type { Scenario } from '../draw/index.js';
import {
  describeState, type LadderSolution, LIMIT_WORDS, type LimitName, type NoSolution, RackModel, RatingError,
} from '../ladder/index.js';
import type { OperatingState } from '../ladder/index.js';
import type { Rack } from '../rack/index.js';
import { largestExcess } from './largestExcess.js';

/** By how much a power goes beyond a limit, and where. */
export interface LabelExcess {
  readonly limit: LimitName;
  /** 1-based; 0 where no slot can be named. */
  readonly slot: number;
  readonly pole: 'supply' | 'return' | 'both';
  /** Beyond the limit, > 0, in `unit`; for the lowest load voltage below it. null where there is no solution at all. */
  readonly excess: number | null;
  readonly unit: 'K' | 'A' | 'V' | 'kW' | null;
}

/** The same with what it is compared with. */
export interface LimitExcess extends LabelExcess {
  /** Per cent of the limit; null for temperatures, whose zero is arbitrary, and where there is no solution. */
  readonly percent: number | null;
  readonly state: OperatingState;
}

/** Finds the excess of a scenario at a total load power, W; null where every limit holds. */
export type ExcessFinder = (scenario: Scenario, power: number) => LimitExcess | null;

/** Up to this utilisation a limit counts as met: a rated power meets its own only as closely as it is searched. */
const MET = 1 + 1e-6;

/**
 * By how much a scenario that has to carry `power` (W) would exceed the limit it breaks most, in the worst operating
 * state; null where it keeps them all.
 *
 * The state and the limit with the highest utilisation are taken; the excess is the largest of that limit over the
 * rack: bar rise, bar temperature and contact temperature in K (hottest point of the depth), currents in A, lowest load
 * voltage in V below the limit, source power in kW. Past the last solution the answer is `voltage collapse` or
 * `no steady state` without a number; a solve that does not settle counts as without steady state, as in a rating.
 *
 * @throws RangeError for a power that is not above 0; NoFeedError where the scenario has no load or a state no source
 */
export function limitExcess(rack: Rack, scenario: Scenario, power: number): LimitExcess | null {
  return excessFinder(rack)(scenario, power);
}

/** {@link limitExcess} for many scenarios of one rack, on one model. */
export function excessFinder(rack: Rack): ExcessFinder {
  const model = new RackModel(rack);
  return (scenario, power) => {
    let worst: LadderSolution | null = null;
    for (const state of model.states(scenario)) {
      const solution = solutionOrNone(model, scenario, power, state);
      if (solution.status !== 'solved') {
        return {
          limit: solution.status, slot: 0, pole: 'both', excess: null, unit: null, percent: null, state: solution.state,
        };
      }
      if (worst === null || solution.utilisation > worst.utilisation) worst = solution;
    }
    if (worst === null || worst.utilisation <= MET) return null;
    return { ...largestExcess(rack, worst), state: worst.state };
  };
}

function solutionOrNone(
  model: RackModel, scenario: Scenario, power: number, state: OperatingState,
): LadderSolution | NoSolution {
  try {
    return model.solutionAt(scenario, power, state);
  } catch (error) {
    if (!(error instanceof RatingError)) throw error;
    return { status: 'no-steady-state', state, power };
  }
}

/**
 * An excess for people, without a full stop.
 * @example excessWords(excess) // 'bar rise 4.2 K above its limit at slot 3, return pole'
 */
export function excessWords({ limit, slot, pole, excess, unit, ...rest }: LabelExcess & Partial<LimitExcess>): string {
  const place = slot > 0 ? ` at slot ${slot}` : '';
  const side = pole === 'both' ? '' : `, ${pole} pole`;
  const { state } = rest;
  const when = state === undefined || state.rule === 'all-in-service' ? '' : ` (${describeState(state)})`;
  if (excess === null || unit === null) return `${LIMIT_WORDS[limit]}: no solution at this power${place}${when}`;
  const percent = rest.percent === undefined || rest.percent === null ? '' : ` (${digits(rest.percent)} %)`;
  const direction = limit === 'lowest-load-voltage' ? 'below' : 'above';
  return `${LIMIT_WORDS[limit]} ${digits(excess)} ${unit}${percent} ${direction} its limit${place}${side}${when}`;
}

function digits(value: number): string {
  return Number(value.toPrecision(2)) >= 100 ? value.toFixed(0) : String(Number(value.toPrecision(2)));
}
