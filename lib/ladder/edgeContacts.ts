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
  /** K, front edge in the middle of the slot above the mean over the depth, not below 0, `[slot × pole]`; K/W, its rate. */
  readonly hotSpot: Float64Array;
  readonly hotSpotRate: Float64Array;
  /** Of the rate, what a slot's own contact adds to growth with the heat, per unit of 1/(k·τ), `[slot × pole]`. */
  private readonly ownRate: Float64Array;
  /** W made by spreading, and its derivative to the temperature, W/K, `[slot × pole]`. */
  readonly heat: Float64Array;
  readonly heatSlope: Float64Array;
  /** W through the patch or made beside it that follow the square of the current, `[slot × pole]`. */
  private readonly loadHeat: Float64Array;
  /** W at the front edge of each pole, `[slot]`. */
  private readonly edgeHeat: readonly [Float64Array, Float64Array];
  /** A into the supply pole at the front edge, `[slot]`. */
  private readonly current: Float64Array;
  /** m, `[slot]`; 0 where no contact is at the front edge. */
  private readonly height: Float64Array;
  /** Ω and Ω/K: sheet resistance is offset + slope·T; K/W: 1/(k·τ); `[slot × pole]`. */
  private readonly sheetOffset: Float64Array;
  private readonly sheetSlope: Float64Array;
  private readonly sheetThermal: Float64Array;
  private readonly poles: readonly [ContactSpreading, ContactSpreading];
  private readonly alike: boolean;
  private any = false;

  constructor(
    rack: Rack, private readonly segments: readonly [PoleSegments, PoleSegments], private readonly mounting: Mounting,
  ) {
    const n = rack.slotCount;
    this.voltage = new Float64Array(n);
    this.heat = new Float64Array(2 * n);
    this.heatSlope = new Float64Array(2 * n);
    this.loadHeat = new Float64Array(2 * n);
    this.hotSpot = new Float64Array(2 * n);
    this.hotSpotRate = new Float64Array(2 * n);
    this.ownRate = new Float64Array(2 * n);
    this.edgeHeat = [new Float64Array(n), new Float64Array(n)];
    this.current = new Float64Array(n);
    this.height = new Float64Array(n);
    this.sheetOffset = new Float64Array(2 * n);
    this.sheetSlope = new Float64Array(2 * n);
    this.sheetThermal = new Float64Array(2 * n);
    this.poles = [new ContactSpreading(segments[0], rack.pitch), new ContactSpreading(segments[1], rack.pitch)];
    this.alike = this.poles[0].isLike(this.poles[1]);
  }

  /** Takes the contacts of the scenario just mounted. */
  mount(areaFactor: number): void {
    const { height, mounting } = this;
    height.fill(0);
    for (const { count, node, edgeHeight } of [mounting.loads, mounting.sources]) {
      for (let k = 0; k < count; k++) height[node[k]] = edgeHeight[k];
    }
    this.any = height.some((metres) => metres > 0);
    for (const pole of this.poles) pole.mount(height);
    for (let p = 0; p < 2; p++) {
      const { sectionAt } = this.segments[p];
      for (let i = 0; i < sectionAt.length; i++) {
        const { material, plates } = sectionAt[i];
        const thickness = plates.count * plates.thickness * areaFactor;
        const atZeroKelvin = 1 - material.temperatureCoefficient * (ZERO_CELSIUS + 20);
        this.sheetOffset[2 * i + p] = (material.resistivity20 * atZeroKelvin) / thickness;
        this.sheetSlope[2 * i + p] = (material.resistivity20 * material.temperatureCoefficient) / thickness;
        this.sheetThermal[2 * i + p] = 1 / (material.thermalConductivity * thickness);
      }
    }
    this.forget();
  }

  /** No current yet. */
  forget(): void {
    const { voltage, heat, heatSlope, loadHeat, hotSpot, hotSpotRate, current } = this;
    const all = [voltage, heat, heatSlope, loadHeat, hotSpot, hotSpotRate, current, this.ownRate, ...this.edgeHeat];
    for (const array of all) array.fill(0);
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
   * Hot spots for the temperatures and the air of the moment, or for those a step of the temperatures away.
   *
   * @param change K, what the temperatures are about to change by; `rate`, K/W, what they follow the power by
   * @param heatRate 1/W, what heat made by currents follows the power by, relative
   */
  updateHotSpots(
    temperature: Float64Array, air: Float64Array, change: Float64Array, rate: Float64Array, heatRate: number,
  ): void {
    if (!this.any) return;
    const { height, loadHeat, heatSlope, hotSpot, hotSpotRate, sheetThermal, ownRate } = this;
    const { unitConductance, unitRise, airSlope } = this.mounting;
    const [supply, back] = this.poles;
    const [edgeHeat0, edgeHeat1] = this.edgeHeat;
    for (let k = 0; k < height.length; k++) {
      if (height[k] === 0) continue;
      const e = 2 * k;
      const g = unitConductance[k];
      const end = air[k] + unitRise[k];
      const slope0 = heatSlope[e] - g;
      const slope1 = heatSlope[e + 1] - g;
      const path0 = g * (end - temperature[e]);
      const path1 = g * (end - temperature[e + 1]);
      edgeHeat0[k] = loadHeat[e] + path0 + slope0 * change[e];
      edgeHeat1[k] = loadHeat[e + 1] + path1 + slope1 * change[e + 1];
      ownRate[e] = supply.middle[k] * (slope0 * rate[e] + g * airSlope[k] - heatRate * path0);
      ownRate[e + 1] = back.middle[k] * (slope1 * rate[e + 1] + g * airSlope[k] - heatRate * path1);
    }
    this.spreadHeat();
    for (let e = 0; e < hotSpot.length; e++) {
      // That the neighbours' heat follows the temperature is left out: a step is a little off, a solution is not.
      hotSpotRate[e] = hotSpot[e] > 0 ? heatRate * hotSpot[e] + sheetThermal[e] * ownRate[e] : 0;
    }
  }

  /** Hot spots as far as currents make them, the units' heat paths left out. */
  updateHotSpotsOfLoad(): void {
    if (!this.any) return;
    const [edgeHeat0, edgeHeat1] = this.edgeHeat;
    for (let i = 0; i < edgeHeat0.length; i++) {
      edgeHeat0[i] = this.loadHeat[2 * i];
      edgeHeat1[i] = this.loadHeat[2 * i + 1];
    }
    this.spreadHeat();
  }

  /** Hot spots of the heat at the front edge. */
  private spreadHeat(): void {
    const { hotSpot, sheetThermal } = this;
    const [supply, back] = this.poles;
    const [edgeHeat0, edgeHeat1] = this.edgeHeat;
    for (let i = 0, e = 0; i < edgeHeat0.length; i++, e += 2) {
      const felt0 = supply.felt(i, edgeHeat0) + supply.middle[i] * edgeHeat0[i];
      const felt1 = back.felt(i, edgeHeat1) + back.middle[i] * edgeHeat1[i];
      // Where units cool the front edge the mean over the depth stands for the hottest point.
      hotSpot[e] = felt0 > 0 ? felt0 * sheetThermal[e] : 0;
      hotSpot[e + 1] = felt1 > 0 ? felt1 * sheetThermal[e + 1] : 0;
    }
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
