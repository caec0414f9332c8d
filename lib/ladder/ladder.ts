/**
 * The electro-thermal ladder of one rack: both poles, one node per slot, coupled through resistance.
 *
 * Compile once per rack, `mount` a scenario, then solve at a power or ask for the rated power. Everything is
 * preallocated; a Ladder is not re-entrant. SI, kelvin; arrays are `[slot]`, index 0 is slot 1.
 */
import type { Scenario } from '../draw/scenario.js';
import type { Rack, Section } from '../rack/model.js';
import { ElectricalLadder, FINE_CLOSURE } from './electricalLadder.js';
import { FrameNetwork } from './frameNetwork.js';
import { Kernel } from './kernel/kernel.js';
import { OUTCOME } from './kernel/layout.js';
import { type ContactArrays, Mounting } from './mounting.js';
import type { OperatingState } from './operatingState.js';
import { EdgeContacts } from './edgeContacts.js';
import { compileSegments, type PoleSegments } from './segments.js';
import { ConvectionTable } from './convectionTable.js';
import { Surface } from './surface.js';
import { type SurfaceRun, ThermalLadder } from './thermalLadder.js';

/** How a solve at a given power ended. `not-converged` is a defect to be reported, never an answer. */
export type SolveStatus = 'solved' | 'voltage-collapse' | 'no-steady-state' | 'not-converged';

/** How a sweep of the kernel ended, by its code. */
const SWEEP_STATUS: readonly SolveStatus[] = ['solved', 'voltage-collapse', 'no-steady-state'];

/** Above this no steady state is sought, K: copper melts at 1358 K and lost its strength long before. */
export const HIGHEST_TEMPERATURE = 1273.15;

/** Temperatures are settled when a sweep changes none by more than this, K. */
const SETTLED = 1e-10;
/** Currents are, when contacts ask for no larger change of them than this, as part of their sum. */
const CURRENTS_SETTLED = 1e-10;
/** Largest rise of any node in one sweep, K: keeps a start far below the solution from overshooting. */
export const LARGEST_STEP = 200;
const RAISE = 40;
const MAX_RAISES = 40;
/** Sweeps in a row with some node at the highest temperature that make a lost steady state. */
const MAX_CAPPED = 12;
const MAX_RETREATS = 40;
const MAX_SWEEPS = 400;
/** Sweeps before relaxation sets in; ordinary racks have settled by then. */
const PLAIN_SWEEPS = 8;

export class Ladder {
  readonly kernel: Kernel;
  readonly mounting: Mounting;
  readonly electrical: ElectricalLadder;
  readonly thermal: ThermalLadder;
  readonly edge: EdgeContacts;
  /** Where the rack has a frame. */
  readonly frame: FrameNetwork | null;
  /** Surfaces of both poles. */
  readonly runs: readonly SurfaceRun[];
  /** K, beside the bar at the power last set, `[slot]`. */
  readonly air: Float64Array;
  private laidStates: readonly OperatingState[] | null = null;

  /** Temperatures at which the currents were last found, K. */
  private readonly before: Float64Array;
  private readonly lastChange: Float64Array;

  constructor(readonly rack: Rack) {
    const n = rack.slotCount;
    const kernel = new Kernel(n, countTables(rack));
    this.kernel = kernel;
    this.mounting = new Mounting(rack, kernel);
    this.frame = rack.frame === undefined ? null : new FrameNetwork(rack, kernel, this.mounting);
    this.electrical = new ElectricalLadder(kernel);
    this.runs = surfaceRuns(rack, kernel);
    this.thermal = new ThermalLadder(kernel, this.runs);
    const { limits } = rack;
    kernel.call.setRack(rack.pitch, rack.setVoltage, rack.air.surroundings ?? 0, rack.sharing.model === 'droop');
    kernel.call.setLimits(
      limits.barRise, limits.barTemperature, limits.contactTemperature, limits.loadContactCurrent, limits.lowestLoadVoltage);
    this.before = new Float64Array(2 * n);
    this.lastChange = new Float64Array(2 * n);
    const segments = [compileSegments(rack, rack.supply), compileSegments(rack, rack.return)] as const;
    this.layConductors(segments);
    this.edge = new EdgeContacts(rack, segments, kernel);
    this.air = kernel.numbers('air');
  }

  /** Sweeps (an electrical solve and one linearisation of the temperatures) since the last mount. */
  get sweeps(): number {
    return this.kernel.outcome[OUTCOME.sweeps];
  }

  /** Operating states of the mounted scenario. */
  get states(): readonly OperatingState[] {
    this.laidStates ??= Array.from({ length: this.kernel.call.countStates() }, (_, s) => this.mounting.state(s));
    return this.laidStates;
  }

  /**
   * Lays a scenario out for the solver.
   * @throws NoFeedError, RangeError as {@link Mounting.mount}
   */
  mount(scenario: Scenario): void {
    this.mounting.rows.take(scenario);
    this.mountRows();
  }

  /** As mount, for the scenario that stands in the rows of `mounting`. */
  mountRows(): void {
    const { mounting } = this;
    this.laidStates = null;
    mounting.mountRows();
    this.thermal.mount(mounting.rows.build.filmFactor);
    this.frame?.mount();
  }

  private layConductors(segments: readonly [PoleSegments, PoleSegments]): void {
    const { kernel } = this;
    const offset = kernel.numbers('nominalSegmentOffset');
    const slope = kernel.numbers('nominalSegmentSlope');
    const conductance = kernel.numbers('nominalSegmentConductance');
    const joint = kernel.numbers('jointResistance');
    const nominalEmissivity = kernel.numbers('nominalEmissivity');
    segments.forEach((pole, p) => {
      for (let i = 0; i < pole.conductorOffset.length; i++) {
        offset[2 * i + p] = pole.conductorOffset[i];
        slope[2 * i + p] = pole.conductorSlope[i];
        conductance[2 * i + p] = pole.conductance[i];
        joint[2 * i + p] = pole.jointResistance[i];
      }
      pole.sectionAt.forEach(({ emissivity }, i) => {
        nominalEmissivity[2 * i + p] = emissivity;
      });
    });
  }

  /** Selects the operating state of the following solves. */
  setState(state: OperatingState): void {
    this.electrical.setState(state.active);
    this.electrical.contactVoltage.fill(0);
  }

  /**
   * Currents, voltages and temperatures at a total load power (W) in the present state, starting from the present
   * temperatures; at the end currents and temperatures agree to rounding.
   */
  solve(power: number): SolveStatus {
    const { temperature, change } = this.thermal;
    const { before, lastChange } = this;
    const { call } = this.kernel;
    let damping = 1;
    let raised = 0;
    let capped = 0;
    let retreats = 0;
    let fed = false;
    for (let sweep = 0; sweep < MAX_SWEEPS; sweep++) {
      const status = SWEEP_STATUS[call.sweep(power, FINE_CLOSURE)];
      if (status === 'voltage-collapse') {
        // The temperatures of the moment may be too high for it: go back towards the last ones that were not, and at
        // the start to the coldest there can be.
        if (++retreats > MAX_RETREATS || (sweep > 0 && !fed)) return status;
        if (fed) for (let e = 0; e < temperature.length; e++) temperature[e] = 0.5 * (temperature[e] + before[e]);
        else this.coolToColdest();
        damping = 1;
        continue;
      }
      fed = true;
      before.set(temperature);
      if (status === 'no-steady-state') {
        // No M-matrix here; if films grow with temperature there may be one at higher temperatures.
        if (++raised > MAX_RAISES) return status;
        let hottest = 0;
        for (let e = 0; e < temperature.length; e++) {
          temperature[e] += RAISE;
          hottest = Math.max(hottest, temperature[e]);
        }
        if (!(hottest <= HIGHEST_TEMPERATURE)) return status;
        continue;
      }
      // Currents and temperatures that push each other settle slowly, or swing: Aitken's relaxation lengthens or
      // shortens the steps (Küttler & Wall 2008, Comput. Mech. 43, 61).
      if (sweep >= PLAIN_SWEEPS) damping = relaxation(damping, lastChange, change);
      lastChange.set(change);
      let largest = 0;
      let atCap = false;
      for (let e = 0; e < temperature.length; e++) {
        const delta = Math.min(damping * change[e], LARGEST_STEP);
        largest = Math.max(largest, Math.abs(delta));
        temperature[e] += delta;
        if (!(temperature[e] <= HIGHEST_TEMPERATURE)) {
          temperature[e] = HIGHEST_TEMPERATURE;
          atCap = true;
        }
      }
      // Newton overshoots from below once; a solution under the cap is reached from above in the sweeps that follow.
      capped = atCap ? capped + 1 : 0;
      if (capped > MAX_CAPPED) return 'no-steady-state';
      if (largest <= SETTLED && !atCap && call.currentShift() <= CURRENTS_SETTLED) {
        // Currents once more at the settled resistances, so that voltages and losses agree to rounding.
        call.updateLoopResistance();
        call.updateOwnSpreading();
        if (!this.electrical.solve(power)) return 'voltage-collapse';
        call.updateContacts();
        return 'solved';
      }
    }
    return 'not-converged';
  }

  /** Prepares the hot spots of `edge` for the solution just found. */
  settleHotSpots(): void {
    this.kernel.call.updateEdgeHeat(0, false);
  }

  /** No part of the bar can be colder than the coldest thing that touches it: nowhere does it conduct better. */
  private coolToColdest(): void {
    const { temperature } = this.thermal;
    const { unitConductance, unitRise } = this.mounting;
    let coldest = Number.POSITIVE_INFINITY;
    for (let i = 0; i < this.air.length; i++) {
      coldest = Math.min(coldest, this.air[i] + (unitConductance[i] > 0 ? Math.min(0, unitRise[i]) : 0));
    }
    const surroundings = this.rack.air.surroundings;
    if (surroundings !== null) coldest = Math.min(coldest, surroundings);
    for (let e = 0; e < temperature.length; e++) temperature[e] = Math.min(temperature[e], coldest);
  }

  /** A through a unit's contact on the supply pole (0) or the return pole (1). */
  contactCurrent(contacts: ContactArrays, unit: number, pole: number): number {
    const { frame, mounting } = this;
    if (pole === 0 || frame === null) return contacts.current[unit];
    return (contacts === mounting.loads ? frame.loadReturn : frame.sourceReturn)[unit];
  }

  /** V at a load's terminals, after its contacts. */
  loadVoltage(load: number): number {
    const { loads } = this.mounting;
    const contact = loads.pairResistance(load);
    return this.voltageAtContact(loads.node[load]) - loads.current[load] * contact;
  }

  /** V at a source's terminals, before its contacts. */
  sourceVoltage(source: number): number {
    const { sources } = this.mounting;
    const contact = sources.pairResistance(source);
    return this.voltageAtContact(sources.node[source]) + sources.current[source] * contact;
  }

  private voltageAtContact(node: number): number {
    return this.electrical.voltage[node] + this.edge.voltage[node];
  }
}

/** Next factor on the steps from the last one and two successive full steps. */
function relaxation(factor: number, last: Float64Array, now: Float64Array): number {
  let along = 0;
  let size = 0;
  for (let e = 0; e < now.length; e++) {
    const difference = last[e] - now[e];
    along += last[e] * difference;
    size += difference * difference;
  }
  // Steps that grow in their own direction are running away: long strides get there sooner.
  if (!(along > 0)) return 2;
  return Math.min(10, Math.max(0.05, (factor * along) / size));
}

function surfaceKey({ plates, openFaces }: Section): string {
  return JSON.stringify([plates, openFaces]);
}

/** Sections that are cooled alike, and most often both poles are, share one convection table. */
function countTables(rack: Rack): number {
  return new Set([rack.supply, rack.return].flatMap(({ sections }) => sections.map(surfaceKey))).size;
}

function surfaceRuns(rack: Rack, kernel: Kernel): SurfaceRun[] {
  const runLength = rack.slotCount * rack.pitch;
  const tables = new Map<string, Pick<SurfaceRun, 'convection' | 'address' | 'envelope'>>();
  return ([0, 1] as const).flatMap((pole) => (pole === 0 ? rack.supply : rack.return).sections.map((section) => {
    const { plates, openFaces, fromSlot, toSlot } = section;
    const key = surfaceKey(section);
    let shared = tables.get(key);
    if (shared === undefined) {
      const surface = new Surface({ plates, openFaces, run: 'vertical', runLength }, rack.films, rack.air.altitude);
      const { address, cells } = kernel.table(tables.size);
      shared = { convection: new ConvectionTable(surface, cells), address, envelope: surface.envelope };
      tables.set(key, shared);
    }
    return { ...shared, pole, slot: fromSlot - 1, count: toSlot - fromSlot + 1 };
  }));
}
