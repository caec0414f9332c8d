/**
 * The public face of the ladder: one rack, any scenario. SI, kelvin.
 */
import type { PlacedUnit, Scenario } from '../draw/scenario.js';
import type { UnitRows } from '../draw/unitRows.js';
import type { Rack } from '../rack/model.js';
import type { FrameSolution } from './frameNetwork.js';
import { Ladder, type SolveStatus } from './ladder.js';
import type { Binding } from './limitCheck.js';
import { type OperatingState, operatingStates } from './operatingState.js';
import { radiatedHeat } from './radiation.js';
import { type RatedPower, Rating, RatingError } from './ratedPower.js';

/** One unit's electrical and contact results. */
export interface UnitResult {
  readonly unit: PlacedUnit;
  /** A; for a source what it delivers (0 when idle). */
  readonly current: number;
  /** W at the unit's terminals. */
  readonly power: number;
  /** V at the unit's terminals. */
  readonly voltage: number;
  /** K of the contact spot on supply and return. */
  readonly contactTemperature: readonly [number, number];
  /** A of its return current through its ground contact; null where it has none or the rack no frame. */
  readonly groundCurrent: number | null;
}

/** Where power and heat go, W. Each residual is what fails to close. */
export interface Balance {
  readonly sourcePower: number;
  readonly loadPower: number;
  readonly jouleHeat: number;
  readonly contactHeat: number;
  /** Heat made where current spreads from the contacts over the depth of the bar. */
  readonly spreadingHeat: number;
  /** Lost in the frame, in bonds and in ground contacts; none of it reaches the bar. */
  readonly frameHeat: number;
  /** sourcePower − loadPower − jouleHeat − contactHeat − spreadingHeat − frameHeat. */
  readonly powerResidual: number;
  /** Heat entering the bar: Joule heat, spreading heat, the contacts' share, units' heat paths. */
  readonly heatIn: number;
  readonly convection: number;
  readonly radiation: number;
  /** heatIn − convection − radiation. */
  readonly heatResidual: number;
  /** Largest imbalance of current at any node, A. */
  readonly currentResidual: number;
}

/** Currents, voltages and temperatures of one scenario at one power in one operating state. */
export interface LadderSolution {
  readonly status: 'solved';
  readonly state: OperatingState;
  /** W, total load. */
  readonly power: number;
  /** K, `[slot]`. */
  readonly air: Float64Array;
  /** K, mean over the depth at mid-slot, `[slot]`. */
  readonly supplyTemperature: Float64Array;
  readonly returnTemperature: Float64Array;
  /** K, the hottest point of the depth there, `[slot]`: what the limits of the bar speak of. */
  readonly supplyHottest: Float64Array;
  readonly returnHottest: Float64Array;
  /** A, upwards on the supply pole (downwards on the return pole), `[slot − 1]`: entry i flows from slot i+1 to i+2. */
  readonly segmentCurrent: Float64Array;
  /** V between the poles, `[slot]`. */
  readonly voltage: Float64Array;
  /** Loads and sources in order of slot. */
  readonly units: readonly UnitResult[];
  /** Null where the rack has no frame: then the return pole carries what the supply pole does. */
  readonly frame: FrameSolution | null;
  /** Utilisation 0..1 of the limit nearest to being reached, and which it is. */
  readonly utilisation: number;
  readonly binding: Binding;
  readonly balance: Balance;
  /** Sweeps that it took until temperatures and currents agreed to rounding. */
  readonly sweeps: number;
}

/** A power that a scenario cannot carry in a state: an answer, not an error. */
export interface NoSolution {
  readonly status: 'voltage-collapse' | 'no-steady-state';
  readonly state: OperatingState;
  readonly power: number;
}

export class RackModel {
  private readonly ladder: Ladder;
  private readonly rating: Rating;

  constructor(readonly rack: Rack) {
    this.ladder = new Ladder(rack);
    this.rating = new Rating(this.ladder);
  }

  /** Sweeps used by the last call of rate: one electrical solve and one linearisation of all temperatures each. */
  get sweeps(): number {
    return this.ladder.sweeps;
  }

  /**
   * Rated power of a placement (W) with its binding limit.
   * @throws NoFeedError (no load, or a state without source), RatingError (no convergence, or nothing limits), RangeError
   */
  rate(scenario: Scenario): RatedPower {
    this.ladder.mounting.rows.take(scenario);
    return this.rateRows();
  }

  /** Where a scenario can be drawn into (`drawInto` of its source) for {@link rateRows}, without an object for any unit. */
  get rows(): UnitRows {
    return this.ladder.mounting.rows;
  }

  /**
   * As {@link rate}, for the scenario that stands in `rows`.
   * @throws as rate
   */
  rateRows(): RatedPower {
    this.ladder.mountRows();
    const rated = this.rating.ratedPower();
    if (!(rated.power >= 0 && rated.power < Number.POSITIVE_INFINITY)) throw new RatingError('the search ended without a power', rated.power);
    return rated;
  }

  /**
   * As {@link rate} where the rated power is below `below`, W; null, and sooner, where the placement carries that much.
   * @throws as rate
   */
  rateBelow(scenario: Scenario, below: number): RatedPower | null {
    this.ladder.mount(scenario);
    return this.rating.ratedBelow(below);
  }

  /** The operating states this placement must survive. */
  states(scenario: Scenario): OperatingState[] {
    return operatingStates(this.rack, scenario);
  }

  /**
   * The full solution at a total load power (W) in a state.
   * @throws NoFeedError, RangeError as rate; RatingError where the solve does not converge
   */
  solutionAt(scenario: Scenario, power: number, state: OperatingState): LadderSolution | NoSolution {
    if (!(power > 0 && Number.isFinite(power))) throw new RangeError(`power ${power} W: must be above 0`);
    const { ladder } = this;
    ladder.mount(scenario);
    const { utilisation, binding } = this.rating.utilisationAt(power, state);
    if (utilisation === Number.POSITIVE_INFINITY && isFailure(binding.limit)) {
      return { status: binding.limit, state, power };
    }
    const { temperature } = ladder.thermal;
    const { edge } = ladder;
    const { slotCount } = this.rack;
    const pole = (p: number) => Float64Array.from({ length: slotCount }, (_, i) => temperature[2 * i + p]);
    const hottest = (p: number) => pole(p).map((mean, i) => mean + edge.hotSpotAt(2 * i + p));
    return {
      status: 'solved',
      state,
      power,
      air: ladder.air.slice(),
      supplyTemperature: pole(0),
      returnTemperature: pole(1),
      supplyHottest: hottest(0),
      returnHottest: hottest(1),
      segmentCurrent: ladder.electrical.segmentCurrent.slice(),
      voltage: ladder.electrical.voltage.map((volts, i) => volts + (ladder.frame?.shiftAt(i) ?? 0)),
      units: this.unitResults(scenario, power),
      frame: ladder.frame?.solution() ?? null,
      utilisation,
      binding,
      balance: this.balance(power),
      sweeps: ladder.sweeps,
    };
  }

  private unitResults(scenario: Scenario, power: number): UnitResult[] {
    const { ladder } = this;
    const { loads, sources, share } = ladder.mounting;
    const { temperature } = ladder.thermal;
    let load = 0;
    let source = 0;
    return scenario.units.map((unit) => {
      const isLoad = unit.kind === 'load';
      const k = isLoad ? load++ : source++;
      const contacts = isLoad ? loads : sources;
      const current = contacts.current[k];
      const voltage = isLoad ? ladder.loadVoltage(k) : ladder.sourceVoltage(k);
      const spot = (p: number) =>
        temperature[2 * contacts.node[k] + p] + ladder.edge.hotSpotAt(2 * contacts.node[k] + p)
        + ladder.contactCurrent(contacts, k, p) ** 2 * contacts.resistance[2 * k + p] * contacts.thermalResistance[k];
      return {
        unit,
        current,
        power: isLoad ? power * share[k] : current * voltage,
        voltage,
        contactTemperature: [spot(0), spot(1)] as const,
        groundCurrent: ladder.frame?.groundCurrentOf(isLoad, k) ?? null,
      };
    });
  }

  private balance(power: number): Balance {
    const { ladder, rack } = this;
    const { thermal, electrical, air, mounting } = ladder;
    const surroundings = rack.air.surroundings ?? 0;
    const { sources, unitConductance, unitRise } = mounting;
    const { temperature } = thermal;
    const n = rack.slotCount;
    let sourcePower = 0;
    for (let k = 0; k < sources.count; k++) sourcePower += sources.current[k] * ladder.sourceVoltage(k);
    let jouleHeat = 0;
    for (let i = 0; i < n - 1; i++) {
      const back = ladder.frame?.returnCurrent[i] ?? electrical.segmentCurrent[i];
      jouleHeat += electrical.segmentCurrent[i] ** 2 * thermal.segmentResistance(i, 0) + back ** 2 * thermal.segmentResistance(i, 1);
    }
    const [loadContacts, sourceContacts] = [contactLoss(ladder, true), contactLoss(ladder, false)];
    const contactHeat = loadContacts.all + sourceContacts.all;
    const frameHeat = ladder.frame?.loss() ?? 0;
    const spreadingHeat = ladder.edge.heat.reduce((sum, watts) => sum + watts, 0);
    let heatIn = jouleHeat + spreadingHeat + loadContacts.toBar + sourceContacts.toBar;
    ladder.kernel.call.assembleLoss(surroundings);
    let loss = 0;
    let radiation = 0;
    for (let e = 0; e < 2 * n; e++) {
      const i = e >> 1;
      heatIn += unitConductance[i] * (air[i] + unitRise[i] - temperature[e]);
      loss += rack.pitch * thermal.lossPerMetre(e);
      const other = surroundings > 0 ? surroundings : air[i];
      radiation += rack.pitch * radiatedHeat(temperature[e], other, thermal.emissivity[e], thermal.envelopeAt(e));
    }
    return {
      sourcePower,
      loadPower: power,
      jouleHeat,
      contactHeat,
      spreadingHeat,
      frameHeat,
      powerResidual: sourcePower - power - jouleHeat - contactHeat - spreadingHeat - frameHeat,
      heatIn,
      convection: loss - radiation,
      radiation,
      heatResidual: heatIn - loss,
      currentResidual: currentResidual(ladder),
    };
  }
}

/** Rated power of one scenario on one rack; for many scenarios keep a {@link RackModel}. */
export function rateScenario(rack: Rack, scenario: Scenario): RatedPower {
  return new RackModel(rack).rate(scenario);
}

function isFailure(limit: string): limit is Exclude<SolveStatus, 'solved' | 'not-converged'> {
  return limit === 'voltage-collapse' || limit === 'no-steady-state';
}

function contactLoss(ladder: Ladder, isLoad: boolean): { all: number; toBar: number } {
  const contacts = isLoad ? ladder.mounting.loads : ladder.mounting.sources;
  let all = 0;
  let toBar = 0;
  for (let k = 0; k < contacts.count; k++) {
    const heat = [0, 1].reduce(
      (sum, pole) => sum + ladder.contactCurrent(contacts, k, pole) ** 2 * contacts.resistance[2 * k + pole], 0);
    all += heat;
    toBar += heat * contacts.heatShare[k];
  }
  return { all, toBar };
}

/** Kirchhoff's current law at every node: what flows in from below and the source, less load and what leaves upwards. */
function currentResidual(ladder: Ladder): number {
  const { electrical, mounting, rack } = ladder;
  let worst = 0;
  for (let i = 0; i < rack.slotCount; i++) {
    const k = mounting.sourceAt[i];
    const l = mounting.loadAt[i];
    const below = i > 0 ? electrical.segmentCurrent[i - 1] : 0;
    const above = i < rack.slotCount - 1 ? electrical.segmentCurrent[i] : 0;
    const injected = k >= 0 ? mounting.sources.current[k] : 0;
    const taken = l >= 0 ? mounting.loads.current[l] : 0;
    worst = Math.max(worst, Math.abs(below + injected - taken - above));
  }
  return worst;
}
