/**
 * A scenario laid out slot by slot for the solver. SI, kelvin; index 0 is slot 1.
 */
import type { PlacedUnit, Scenario } from '../draw/scenario.js';
import type { Rack } from '../rack/model.js';
import { NoFeedError } from './operatingState.js';

/** Contacts of the loads or of the sources, one entry per unit, in order of slot. */
export class ContactArrays {
  count = 0;
  /** Node of the contact, `[unit]`. */
  readonly node: Int32Array;
  /** Ω, `[pole × unit]` with stride `capacity`. */
  readonly resistance: Float64Array;
  /** K/W, `[unit]`. */
  readonly thermalResistance: Float64Array;
  /** `[unit]`. */
  readonly heatShare: Float64Array;
  /** m along the front edge, 0 where the contact grips the whole depth, `[unit]`. */
  readonly edgeHeight: Float64Array;
  /** A through the contact, `[unit]`, set by the solver; 0 for an idle source. */
  readonly current: Float64Array;

  constructor(readonly capacity: number) {
    this.node = new Int32Array(capacity);
    this.resistance = new Float64Array(2 * capacity);
    this.thermalResistance = new Float64Array(capacity);
    this.heatShare = new Float64Array(capacity);
    this.edgeHeight = new Float64Array(capacity);
    this.current = new Float64Array(capacity);
  }

  add(unit: PlacedUnit, contactFactor: number): number {
    const k = this.count++;
    this.node[k] = unit.contactSlot - 1;
    this.resistance[k] = unit.contactResistance[0] * contactFactor;
    this.resistance[this.capacity + k] = unit.contactResistance[1] * contactFactor;
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

  constructor(private readonly rack: Rack) {
    const n = rack.slotCount;
    this.loads = new ContactArrays(n);
    this.sources = new ContactArrays(n);
    this.share = new Float64Array(n);
    this.sharingWeight = new Float64Array(n);
    this.maxCurrent = new Float64Array(n);
    this.maxPower = new Float64Array(n);
    this.droopResistance = new Float64Array(n);
    this.loadAt = new Int32Array(n);
    this.sourceAt = new Int32Array(n);
    this.airBase = new Float64Array(n);
    this.airSlope = new Float64Array(n);
    this.unitConductance = new Float64Array(n);
    this.unitRise = new Float64Array(n);
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
