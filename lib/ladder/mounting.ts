/**
 * A scenario laid out slot by slot for the solver. SI, kelvin; index 0 is slot 1.
 */
import type { PlacedUnit, Scenario } from '../draw/scenario.js';
import type { Rack } from '../rack/model.js';
import type { Kernel } from './kernel/kernel.js';
import { NoFeedError } from './operatingState.js';

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
    const { slotCount } = kernel;
    this.node = kernel.wholes(`${name}Node`);
    this.resistance = kernel.numbers(`${name}Resistance`);
    this.thermalResistance = kernel.numbers(`${name}ThermalResistance`, slotCount);
    this.heatShare = kernel.numbers(`${name}HeatShare`, slotCount);
    this.edgeHeight = kernel.numbers(`${name}EdgeHeight`, slotCount);
    this.current = kernel.numbers(`${name}Current`, slotCount);
  }

  /** Ω of a unit's contacts on both poles together. */
  pairResistance(unit: number): number {
    return this.resistance[2 * unit] + this.resistance[2 * unit + 1];
  }

  add(unit: PlacedUnit, contactFactor: number): number {
    const k = this.count++;
    this.node[k] = unit.contactSlot - 1;
    this.resistance[2 * k] = unit.contactResistance[0] * contactFactor;
    this.resistance[2 * k + 1] = unit.contactResistance[1] * contactFactor;
    this.thermalResistance[k] = unit.contactThermalResistance;
    this.heatShare[k] = unit.contactHeatShare;
    this.edgeHeight[k] = unit.contactEdgeHeight;
    return k;
  }
}

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

  constructor(private readonly rack: Rack, kernel: Kernel) {
    const n = rack.slotCount;
    this.loads = new ContactArrays(kernel, 'load');
    this.sources = new ContactArrays(kernel, 'source');
    this.share = kernel.numbers('share', n);
    this.sharingWeight = new Float64Array(n);
    this.maxCurrent = kernel.numbers('maxCurrent', n);
    this.maxPower = kernel.numbers('maxPower', n);
    this.droopResistance = new Float64Array(n);
    this.loadAt = kernel.wholes('loadAt');
    this.sourceAt = kernel.wholes('sourceAt');
    this.airBase = kernel.numbers('airBase', n);
    this.airSlope = kernel.numbers('airSlope', n);
    this.unitConductance = kernel.numbers('unitConductance', n);
    this.unitRise = kernel.numbers('unitRise', n);
  }

  /**
   * @throws NoFeedError where the scenario has no load power
   * @throws RangeError where a unit leaves the rack or two contacts share a slot
   */
  mount(scenario: Scenario): void {
    const { rack } = this;
    const { build, units } = scenario;
    this.loads.count = 0;
    this.sources.count = 0;
    this.loadAt.fill(-1);
    this.sourceAt.fill(-1);
    this.airSlope.fill(0);
    this.unitConductance.fill(0);
    this.unitRise.fill(0);
    const inlet = build.inlet ?? rack.air.inlet;
    for (let i = 0; i < rack.slotCount; i++) this.airBase[i] = inlet + rack.air.profile[i];
    let total = 0;
    for (const unit of units) if (unit.kind === 'load') total += unit.power;
    if (!(total > 0)) throw new NoFeedError(`scenario ${scenario.index}: no load draws any power`);
    for (const unit of units) {
      const node = unit.contactSlot - 1;
      const top = unit.bottomSlot + unit.heightSlots - 1;
      if (unit.bottomSlot < 1 || top > rack.slotCount || node < 0 || node >= rack.slotCount) {
        throw new RangeError(`unit ${unit.equipment} at slot ${unit.bottomSlot} leaves the rack of ${rack.slotCount} slots`);
      }
      if (this.loadAt[node] >= 0 || this.sourceAt[node] >= 0) {
        throw new RangeError(`two contacts in slot ${unit.contactSlot}`);
      }
      if (unit.kind === 'load') {
        const l = this.loads.add(unit, build.contactFactor);
        this.loadAt[node] = l;
        this.share[l] = unit.power / total;
        const perSlot = (rack.air.exhaustRise * this.share[l]) / unit.heightSlots;
        for (let s = unit.bottomSlot; s <= top; s++) this.airSlope[s - 1] = perSlot;
      } else {
        const k = this.sources.add(unit, build.contactFactor);
        this.sourceAt[node] = k;
        this.sharingWeight[k] = unit.sharingWeight;
        this.maxCurrent[k] = unit.maxCurrent;
        this.maxPower[k] = unit.maxPower;
        this.droopResistance[k] = unit.droopResistance;
      }
      this.unitConductance[node] = unit.heatConductance;
      this.unitRise[node] = unit.heatRise;
    }
  }
}
