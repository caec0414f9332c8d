/**
 * Spreading around the contacts at the front edge of both poles, at the currents and temperatures of the moment; for the
 * formulas see contactSpreading.ts. Arrays are `[slot]`, or `[slot × pole]` with entry 2·slot + pole.
 */
import { type Rack, ZERO_CELSIUS } from '../rack/model.js';
import { ContactSpreading } from './contactSpreading.js';
import type { ContactArrays, Mounting } from './mounting.js';
import type { PoleSegments } from './segments.js';

export class EdgeContacts {
  /** V between the poles at the patches above V between the means over the depth, `[slot]`. */
  readonly voltage: Float64Array;
  /** Of a hot spot's rate, what the slot's own contact adds to growth with the heat, per unit of 1/(k·τ), `[slot × pole]`. */
  private readonly ownRate: Float64Array;
  /** W made by spreading, and its derivative to the temperature, W/K, `[slot × pole]`. */
  readonly heat: Float64Array;
  readonly heatSlope: Float64Array;
  /** W through the patch or made beside it that follow the square of the current, `[slot × pole]`. */
  private readonly loadHeat: Float64Array;
  /** W at the front edge of each pole, `[slot]`. */
  private readonly edgeHeat: readonly [Float64Array, Float64Array];
  /** 1/W, the rate of the heats made by currents. */
  heatRate = 0;
  /** K, not below the hot spot; K/W, the part of its rate that does not grow with it; `[slot × pole]`. */
  readonly hotSpotBound: Float64Array;
  readonly ownPart: Float64Array;
  /** A into the supply pole at the front edge, `[slot]`. */
  private readonly current: Float64Array;
  /** m, `[slot]`; 0 where no contact is at the front edge. */
  private readonly height: Float64Array;
  /** Ω and Ω/K: sheet resistance is offset + slope·T; K/W: 1/(k·τ); `[slot × pole]`. */
  private readonly sheetOffset: Float64Array;
  private readonly sheetSlope: Float64Array;
  private readonly sheetThermal: Float64Array;
  /** The same for the nominal section. */
  private readonly nominalOffset: Float64Array;
  private readonly nominalSlope: Float64Array;
  private readonly nominalThermal: Float64Array;
  private readonly poles: readonly [ContactSpreading, ContactSpreading];
  private readonly alike: boolean;
  private any = false;

  constructor(
    rack: Rack, segments: readonly [PoleSegments, PoleSegments], private readonly mounting: Mounting,
  ) {
    const n = rack.slotCount;
    this.voltage = new Float64Array(n);
    this.heat = new Float64Array(2 * n);
    this.heatSlope = new Float64Array(2 * n);
    this.loadHeat = new Float64Array(2 * n);
    this.ownRate = new Float64Array(2 * n);
    this.hotSpotBound = new Float64Array(2 * n);
    this.ownPart = new Float64Array(2 * n);
    this.edgeHeat = [new Float64Array(n), new Float64Array(n)];
    this.current = new Float64Array(n);
    this.height = new Float64Array(n);
    this.sheetOffset = new Float64Array(2 * n);
    this.sheetSlope = new Float64Array(2 * n);
    this.sheetThermal = new Float64Array(2 * n);
    this.poles = [new ContactSpreading(segments[0], rack.pitch), new ContactSpreading(segments[1], rack.pitch)];
    this.alike = this.poles[0].isLike(this.poles[1]);
    this.nominalOffset = new Float64Array(2 * n);
    this.nominalSlope = new Float64Array(2 * n);
    this.nominalThermal = new Float64Array(2 * n);
    for (let p = 0; p < 2; p++) {
      const { sectionAt } = segments[p];
      for (let i = 0; i < n; i++) {
        const { material, plates } = sectionAt[i];
        const thickness = plates.count * plates.thickness;
        const atZeroKelvin = 1 - material.temperatureCoefficient * (ZERO_CELSIUS + 20);
        this.nominalOffset[2 * i + p] = (material.resistivity20 * atZeroKelvin) / thickness;
        this.nominalSlope[2 * i + p] = (material.resistivity20 * material.temperatureCoefficient) / thickness;
        this.nominalThermal[2 * i + p] = 1 / (material.thermalConductivity * thickness);
      }
    }
  }

  /** Takes the contacts of the scenario just mounted. */
  mount(areaFactor: number): void {
    const { height, mounting } = this;
    height.fill(0);
    this.any = false;
    for (const { count, node, edgeHeight } of [mounting.loads, mounting.sources]) {
      for (let k = 0; k < count; k++) {
        height[node[k]] = edgeHeight[k];
        if (edgeHeight[k] > 0) this.any = true;
      }
    }
    for (const pole of this.poles) pole.mount(height);
    const perArea = 1 / areaFactor;
    for (let e = 0; e < this.sheetOffset.length; e++) {
      this.sheetOffset[e] = perArea * this.nominalOffset[e];
      this.sheetSlope[e] = perArea * this.nominalSlope[e];
      this.sheetThermal[e] = perArea * this.nominalThermal[e];
    }
    this.clear();
  }

  /** No contact, no current. */
  private clear(): void {
    const { voltage, heat, heatSlope, loadHeat, current, ownRate, edgeHeat } = this;
    voltage.fill(0);
    heat.fill(0);
    heatSlope.fill(0);
    loadHeat.fill(0);
    current.fill(0);
    ownRate.fill(0);
    this.hotSpotBound.fill(0);
    this.ownPart.fill(0);
    this.heatRate = 0;
    edgeHeat[0].fill(0);
    edgeHeat[1].fill(0);
  }

  /** Voltages and heats at the contacts' present currents and the temperatures `[slot × pole]`. */
  update(temperature: Float64Array): void {
    if (!this.any) return;
    const { mounting, current, loadHeat, height, voltage, heat, heatSlope, sheetOffset, sheetSlope, alike } = this;
    const [supply, back] = this.poles;
    this.add(mounting.sources, 1);
    this.add(mounting.loads, -1);
    for (let i = 0; i < height.length; i++) {
      if (height[i] === 0) continue;
      const into = current[i];
      const e = 2 * i;
      const felt0 = supply.felt(i, current) + supply.mean[i] * into;
      const felt1 = alike ? felt0 : back.felt(i, current) + back.mean[i] * into;
      const volts0 = felt0 * (sheetOffset[e] + sheetSlope[e] * temperature[e]);
      const volts1 = felt1 * (sheetOffset[e + 1] + sheetSlope[e + 1] * temperature[e + 1]);
      // What flows into the supply pole flows out of the return pole: the voltages add up.
      voltage[i] = volts0 + volts1;
      heat[e] = into * volts0;
      heat[e + 1] = into * volts1;
      heatSlope[e] = into * felt0 * sheetSlope[e];
      heatSlope[e + 1] = into * felt1 * sheetSlope[e + 1];
      loadHeat[e] += heat[e];
      loadHeat[e + 1] += heat[e + 1];
    }
  }

  /**
   * Heats at the front edge for the temperatures and the air of the moment, or for those a step of the temperatures
   * away; {@link hotSpotAt} then gives the hot spots they make.
   *
   * @param change K, what the temperatures are about to change by; `rate`, K/W, what they follow the power by
   * @param heatRate 1/W, what heat made by currents follows the power by, relative
   */
  updateEdgeHeat(
    temperature: Float64Array, air: Float64Array, change: Float64Array, rate: Float64Array, heatRate: number,
  ): void {
    if (!this.any) return;
    const { height, loadHeat, heatSlope, ownRate } = this;
    const { unitConductance, unitRise, airSlope } = this.mounting;
    const [supply, back] = this.poles;
    const [edgeHeat0, edgeHeat1] = this.edgeHeat;
    this.heatRate = heatRate;
    let largest0 = 0;
    let largest1 = 0;
    for (let k = 0; k < height.length; k++) {
      if (height[k] === 0) continue;
      const e = 2 * k;
      const g = unitConductance[k];
      const end = air[k] + unitRise[k];
      const slope0 = heatSlope[e] - g;
      const slope1 = heatSlope[e + 1] - g;
      const path0 = g * (end - temperature[e]);
      const path1 = g * (end - temperature[e + 1]);
      const heat0 = loadHeat[e] + path0 + slope0 * change[e];
      const heat1 = loadHeat[e + 1] + path1 + slope1 * change[e + 1];
      edgeHeat0[k] = heat0;
      edgeHeat1[k] = heat1;
      if (heat0 > largest0) largest0 = heat0;
      if (heat1 > largest1) largest1 = heat1;
      ownRate[e] = supply.middle[k] * (slope0 * rate[e] + g * airSlope[k] - heatRate * path0);
      ownRate[e + 1] = back.middle[k] * (slope1 * rate[e + 1] + g * airSlope[k] - heatRate * path1);
    }
    const { hotSpotBound, ownPart, sheetThermal } = this;
    const { feltAtMost: felt0, middle: middle0 } = supply;
    const { feltAtMost: felt1, middle: middle1 } = back;
    for (let i = 0, e = 0; i < height.length; i++, e += 2) {
      const own0 = edgeHeat0[i];
      const own1 = edgeHeat1[i];
      hotSpotBound[e] = sheetThermal[e] * (felt0[i] * largest0 + (own0 > 0 ? middle0[i] * own0 : 0));
      hotSpotBound[e + 1] = sheetThermal[e + 1] * (felt1[i] * largest1 + (own1 > 0 ? middle1[i] * own1 : 0));
      ownPart[e] = sheetThermal[e] * ownRate[e];
      ownPart[e + 1] = sheetThermal[e + 1] * ownRate[e + 1];
    }
  }

  /** Heats at the front edge as far as currents make them, the units' heat paths left out. */
  updateEdgeHeatOfLoad(): void {
    if (!this.any) return;
    const [edgeHeat0, edgeHeat1] = this.edgeHeat;
    for (let i = 0; i < edgeHeat0.length; i++) {
      edgeHeat0[i] = this.loadHeat[2 * i];
      edgeHeat1[i] = this.loadHeat[2 * i + 1];
    }
  }

  /** K, front edge in the middle of a slot above the mean over the depth, not below 0, for the heats last updated. */
  hotSpotAt(entry: number): number {
    if (!this.any) return 0;
    const i = entry >> 1;
    const p = entry & 1;
    const pole = this.poles[p];
    const heat = this.edgeHeat[p];
    const felt = pole.felt(i, heat) + pole.middle[i] * heat[i];
    // Where units cool the front edge the mean over the depth stands for the hottest point.
    return felt > 0 ? felt * this.sheetThermal[entry] : 0;
  }

  /** K/W, how the hot spot (K) at an entry follows the power. */
  hotSpotRateAt(entry: number, hotSpot: number): number {
    // That the neighbours' heat follows the temperature is left out: a step is a little off, a solution is not.
    return hotSpot > 0 ? this.heatRate * hotSpot + this.ownPart[entry] : 0;
  }

  private add(contacts: ContactArrays, sign: number): void {
    const { node, resistance, heatShare, edgeHeight, capacity, count } = contacts;
    for (let k = 0; k < count; k++) {
      if (edgeHeight[k] === 0) continue;
      const amperes = contacts.current[k];
      const square = amperes * amperes * heatShare[k];
      const e = 2 * node[k];
      this.current[node[k]] = sign * amperes;
      this.loadHeat[e] = square * resistance[k];
      this.loadHeat[e + 1] = square * resistance[capacity + k];
    }
  }
}
