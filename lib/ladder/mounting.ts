/**
 * A scenario laid out slot by slot for the solver. SI, kelvin; index 0 is slot 1.
 */
import { LOAD, POWER_SHELF, UNIT, UNIT_FIELDS, UnitRows } from '../draw/unitRows.js';
import type { OperatingStateRule, Rack } from '../rack/model.js';
import type { Kernel } from './kernel/kernel.js';
import { RULE_CODES } from './kernel/layout.js';
import { NoFeedError, type OperatingState, statesOfSources } from './operatingState.js';

/** Contacts of the loads or of the sources, one entry per unit, in order of slot. */
export class ContactArrays {
  count = 0;
  /** Node of the contact, `[unit]`. */
  readonly node: Int32Array;
  /** Ω, `[unit × pole]`. */
  readonly resistance: Float64Array;
  /** K/W, `[unit]`. */
  readonly thermalResistance: Float64Array;
  /** `[unit]`. */
  readonly heatShare: Float64Array;
  /** m along the front edge, 0 where the contact grips the whole depth, `[unit]`. */
  readonly edgeHeight: Float64Array;
  /** A through the contact, `[unit]`, set by the solver; 0 for an idle source. */
  readonly current: Float64Array;

  /** @param name how the kernel's arrays begin */
  constructor(kernel: Kernel, name: 'load' | 'source') {
    this.node = kernel.wholes(`${name}Node`);
    this.resistance = kernel.numbers(`${name}Resistance`);
    this.thermalResistance = kernel.numbers(`${name}ThermalResistance`);
    this.heatShare = kernel.numbers(`${name}HeatShare`);
    this.edgeHeight = kernel.numbers(`${name}EdgeHeight`);
    this.current = kernel.numbers(`${name}Current`);
  }

  /** Ω of a unit's contacts on both poles together. */
  pairResistance(unit: number): number {
    return this.resistance[2 * unit] + this.resistance[2 * unit + 1];
  }
}

/** Kinds of states by their codes. */
const RULES = Object.keys(RULE_CODES) as OperatingStateRule[];

/** How the kernel ended mounting. */
const NO_LOAD = 1;
const LEAVES_RACK = 2;
const TWO_CONTACTS = 3;
const NOT_FED = 4;

export class Mounting {
  readonly loads: ContactArrays;
  readonly sources: ContactArrays;
  /** Fraction of the total load, `[load]`; sums to 1. */
  readonly share: Float64Array;
  /** `[source]`. */
  readonly sharingWeight: Float64Array;
  readonly maxCurrent: Float64Array;
  readonly maxPower: Float64Array;
  readonly droopResistance: Float64Array;
  /** What the kernel mounts. */
  readonly rows: UnitRows;
  /** Index of the load or source whose contact is in this slot, or −1, `[slot]`. */
  readonly loadAt: Int32Array;
  readonly sourceAt: Int32Array;
  /** K, air beside the bar without load, `[slot]`. */
  readonly airBase: Float64Array;
  /** K per W of total load, `[slot]`. */
  readonly airSlope: Float64Array;
  /** W/K to each pole, and the rise of the unit's end above the local air, K, `[slot]`. */
  readonly unitConductance: Float64Array;
  readonly unitRise: Float64Array;

  /** Loads and sources of the scenario mounted last. */
  private readonly counts: Int32Array;
  /** 1 for a power shelf, `[source]`; kind and source that is out, or −1, `[state]`. */
  private readonly isShelf: Int32Array;
  private readonly stateRule: Int32Array;
  private readonly stateOut: Int32Array;

  constructor(private readonly rack: Rack, private readonly kernel: Kernel) {
    const n = rack.slotCount;
    this.loads = new ContactArrays(kernel, 'load');
    this.sources = new ContactArrays(kernel, 'source');
    this.share = kernel.numbers('share');
    this.sharingWeight = kernel.numbers('sharingWeight');
    this.maxCurrent = kernel.numbers('maxCurrent');
    this.maxPower = kernel.numbers('maxPower');
    this.droopResistance = kernel.numbers('droopResistance');
    this.rows = new UnitRows(n, kernel.numbers('units'));
    this.loadAt = kernel.wholes('loadAt');
    this.sourceAt = kernel.wholes('sourceAt');
    this.airBase = kernel.numbers('airBase');
    this.airSlope = kernel.numbers('airSlope');
    this.unitConductance = kernel.numbers('unitConductance');
    this.unitRise = kernel.numbers('unitRise');
    kernel.numbers('airProfile').set(rack.air.profile);
    this.counts = kernel.wholes('unitCounts');
    this.isShelf = kernel.wholes('isShelf');
    this.stateRule = kernel.wholes('stateRule');
    this.stateOut = kernel.wholes('stateOut');
    kernel.wholes('rules').set(rack.operatingStates.map((rule) => RULE_CODES[rule]));
    kernel.call.setRules(rack.operatingStates.length);
  }

  /**
   * Lays out the scenario that stands in `rows`.
   * @throws NoFeedError where the scenario has no load power, or an operating state no source in service
   * @throws RangeError where a unit leaves the rack or two contacts share a slot
   */
  mountRows(): void {
    const { rack, rows } = this;
    const { build, count } = rows;
    const { call } = this.kernel;
    const ended = call.mount(
      count, build.contactFactor, rack.air.exhaustRise, build.inlet ?? rack.air.inlet, build.emissivity ?? Number.NaN,
      build.filmFactor, build.areaFactor);
    if (ended !== 0) throw this.problem(ended, call.faultyUnit.value);
    this.loads.count = this.counts[0];
    this.sources.count = this.counts[1];
  }

  /** The operating states that the scenario in `rows` must survive. @throws NoFeedError where one has no source in service */
  states(): OperatingState[] {
    const { count, index, numbers } = this.rows;
    const shelves: number[] = [];
    const contactSlots: number[] = [];
    for (let at = 0; at < UNIT_FIELDS * count; at += UNIT_FIELDS) {
      const kind = numbers[at + UNIT.kind];
      if (kind === LOAD) continue;
      shelves.push(kind === POWER_SHELF ? 1 : 0);
      contactSlots.push(numbers[at + UNIT.contactSlot]);
    }
    return statesOfSources(this.rack, index, shelves, contactSlots);
  }

  /** One of them, of the scenario that was mounted last. */
  state(position: number): OperatingState {
    const { isShelf, sources, stateOut, stateRule } = this;
    const rule = RULES[stateRule[position]];
    const out = stateOut[position];
    const active: number[] = [];
    for (let k = 0; k < sources.count; k++) active.push(rule === 'batteries-alone' ? 1 - isShelf[k] : k === out ? 0 : isShelf[k]);
    return { rule, outSlot: out < 0 ? 0 : sources.node[out] + 1, active };
  }

  /** @throws NoFeedError */
  private problem(ended: number, unit: number): Error {
    const { slotCount } = this.rack;
    const { index, names, numbers } = this.rows;
    const at = UNIT_FIELDS * unit;
    switch (ended) {
      case NO_LOAD:
        return new NoFeedError(`scenario ${index}: no load draws any power`);
      case LEAVES_RACK: {
        const slot = numbers[at + UNIT.bottomSlot];
        return new RangeError(`unit ${names[unit].id} at slot ${slot} leaves the rack of ${slotCount} slots`);
      }
      case TWO_CONTACTS:
        return new RangeError(`two contacts in slot ${numbers[at + UNIT.contactSlot]}`);
      case NOT_FED:
        this.states();
        return new Error('the kernel finds an operating state without a source in service');
      default:
        return new Error(`the kernel ended mounting with ${ended}`);
    }
  }
}
