/**
 * Currents and voltages along the two poles, resistances given.
 *
 * Each load takes from the supply pole what it gives to the return pole and each source does the reverse, so the two
 * poles carry equal and opposite segment currents and the voltage between them obeys one ladder with the loop
 * resistance (supply + return) of each segment.
 *
 * Method: shooting from the bottom slot. The unknowns x are the bottom voltage and either the total current (`equal`
 * sharing) or each source's current (`droop`). One march up the bar accumulates current (Kirchhoff's current law
 * holds to rounding by construction) and voltage, with the derivatives to every unknown; Newton closes
 *   - the current above the top slot to zero, and
 *   - equal: mean terminal voltage of the sources in service = set voltage;
 *     droop: each source's voltage = set voltage − current·droop resistance.
 * A load draws I from U = P/I + I·R_contact, the root with the higher voltage: I = 2P/(U + √(U² − 4·P·R_contact)).
 * Spreading beneath the contacts adds millivolts of its own to U; they are held while the currents are found.
 * Where no solution exists the voltage has collapsed.
 *
 * The march with equal sharing is in kernel/assembly/currents.ts; droop, with as many unknowns as sources, is here.
 */
import type { Sharing } from '../rack/model.js';
import { solveDense } from './denseSolve.js';
import type { Kernel } from './kernel/kernel.js';
import type { Mounting } from './mounting.js';

/** Closure relative to the total current and to the set voltage, where nothing else is asked for. */
export const FINE_CLOSURE = 1e-12;

export class ElectricalLadder {
  /** A upwards on the supply pole, `[slot − 1]`. */
  readonly segmentCurrent: Float64Array;
  /** V between the poles, `[slot]`. */
  readonly voltage: Float64Array;
  /** Ω, supply + return, `[slot − 1]`, set by the kernel. */
  readonly loopResistance: Float64Array;
  /** V at the contacts above those of the bar's mean over the depth, `[slot]`, set by the caller. */
  readonly contactVoltage: Float64Array;
  /** A, sum of the load currents. */
  totalCurrent = 0;

  private readonly isEqual: boolean;

  private readonly columnOf: Int32Array;
  /** Share of the total current, `[source]`; equal sharing only. */
  private readonly weight: Float64Array;
  /** 1 for a source in service, `[source]`, for the kernel. */
  private readonly inService: Int32Array;
  /** Ω, contact and droop of the source behind each unknown, `[unknown]`. */
  private readonly seriesResistance: Float64Array;
  private active: readonly number[] = [];
  private activeCount = 0;
  private unknowns = 0;
  private readonly x: Float64Array;
  private readonly held: Float64Array;
  private readonly du: Float64Array;
  private readonly dc: Float64Array;
  private readonly matrix: Float64Array;
  private readonly residual: Float64Array;
  /** Power for which x is a solution; 0: none yet. */
  private solvedPower = 0;
  /** Sign of the Jacobian without load: a solution beyond the collapse has the other sign. */
  private stableSign = 0;

  constructor(
    private readonly kernel: Kernel,
    sharing: Sharing,
    private readonly setVoltage: number,
    private readonly mounting: Mounting,
  ) {
    const { slotCount } = kernel;
    const size = slotCount + 1;
    this.isEqual = sharing.model === 'equal';
    const segments = Math.max(0, slotCount - 1);
    this.segmentCurrent = kernel.numbers('segmentCurrent', segments);
    this.loopResistance = kernel.numbers('loopResistance', segments);
    this.contactVoltage = kernel.numbers('contactVoltage', slotCount);
    this.voltage = kernel.numbers('voltage', slotCount);
    this.columnOf = new Int32Array(slotCount);
    this.weight = kernel.numbers('sourceWeight', slotCount);
    this.inService = kernel.wholes('active');
    this.seriesResistance = new Float64Array(size);
    this.x = this.isEqual ? kernel.numbers('unknowns', 2) : new Float64Array(size);
    this.held = new Float64Array(this.x.length);
    this.du = new Float64Array(size);
    this.dc = new Float64Array(size);
    this.matrix = new Float64Array(size * size);
    this.residual = new Float64Array(size);
  }

  /**
   * Puts sources in and out of service; `active` is `[source]`. Earlier solutions are forgotten, unless the next one is
   * to start from the last and has the same unknowns.
   */
  setState(active: readonly number[], startFromLast = false): void {
    const { sources, sharingWeight } = this.mounting;
    this.active = active;
    let sum = 0;
    let count = 0;
    for (let k = 0; k < sources.count; k++) {
      if (active[k] === 1) {
        sum += sharingWeight[k];
        count++;
      }
      sources.current[k] = 0;
      this.inService[k] = active[k];
    }
    this.activeCount = count;
    const droop = !this.isEqual;
    this.unknowns = droop ? count + 1 : 2;
    let column = 1;
    for (let k = 0; k < sources.count; k++) {
      if (active[k] === 0) continue;
      this.columnOf[k] = droop ? column++ : 1;
      this.weight[k] = droop ? 1 : sharingWeight[k] / sum;
      this.seriesResistance[this.columnOf[k]] = this.mounting.droopResistance[k]
        + sources.pairResistance(k);
    }
    if (droop || !startFromLast) this.solvedPower = 0;
    this.stableSign = 0;
  }

  /**
   * Solves for a total load power (W) at the present loop resistances.
   *
   * @param closure how nearly current and voltage must close, relative
   * @returns false where the voltage has collapsed
   */
  solve(power: number, closure: number = FINE_CLOSURE): boolean {
    if (this.solvedPower > 0) {
      const scale = power / this.solvedPower;
      for (let q = 1; q < this.unknowns; q++) this.x[q] *= scale;
    } else {
      this.startFlat(power);
    }
    if (this.newton(power, closure) || this.continueFromNoLoad(power, closure)) {
      this.solvedPower = power;
      return true;
    }
    this.solvedPower = 0;
    return false;
  }

  private startFlat(power: number): void {
    this.x[0] = this.setVoltage;
    const current = power / this.setVoltage;
    for (let q = 1; q < this.unknowns; q++) {
      this.x[q] = this.isEqual ? current : current / this.activeCount;
    }
  }

  private newton(power: number, closure: number): boolean {
    const { unknowns, x, residual } = this;
    if (this.isEqual) return this.newtonEqual(power, closure);
    if (this.stableSign === 0) {
      this.held.set(x);
      x.fill(0, 0, unknowns);
      x[0] = this.setVoltage;
      this.march(0);
      this.stableSign = solveDense(this.matrix, residual, unknowns);
      x.set(this.held);
      if (this.stableSign === 0) return false;
    }
    for (let iteration = 0; iteration < 40; iteration++) {
      if (!this.march(power)) return false;
      let closed = Math.abs(residual[0]) <= closure * this.totalCurrent;
      for (let q = 1; q < unknowns && closed; q++) {
        closed = Math.abs(residual[q]) <= this.voltageTolerance(q, closure);
      }
      if (closed) return true;
      const sign = solveDense(this.matrix, residual, unknowns);
      if (sign !== this.stableSign) return false;
      for (let q = 0; q < unknowns; q++) x[q] -= residual[q];
    }
    return false;
  }

  private newtonEqual(power: number, closure: number): boolean {
    const { call } = this.kernel;
    const closed = call.solveEqual(power, this.setVoltage, this.activeCount, closure) !== 0;
    this.totalCurrent = call.totalCurrent.value;
    return closed;
  }

  /** V. A stiff droop source turns a small voltage error into a large current: its own series resistance sets the scale. */
  private voltageTolerance(q: number, closure: number): number {
    const rounding = 1e-15 * this.setVoltage;
    return Math.min(closure * this.setVoltage, closure * this.seriesResistance[q] * this.totalCurrent) + 8 * rounding;
  }

  /** Follows the solution from no load in growing steps; a step that cannot be made however small is the collapse. */
  private continueFromNoLoad(power: number, closure: number): boolean {
    let reached = 0;
    let step = 0.25;
    this.startFlat(0);
    while (reached < 1) {
      this.held.set(this.x);
      const next = Math.min(1, reached + step);
      if (reached > 0) for (let q = 1; q < this.unknowns; q++) this.x[q] *= next / reached;
      else this.startFlat(power * next);
      if (this.newton(power * next, closure)) {
        reached = next;
        step *= 1.5;
      } else {
        this.x.set(this.held);
        step *= 0.5;
        if (step < 1e-9) return false;
      }
    }
    return true;
  }

  /**
   * One march up the bar: fills voltages, currents, residual and Jacobian. Unknowns: bottom voltage, each source's current.
   * @returns false where a load finds no voltage
   */
  private march(power: number): boolean {
    const { x, du, dc, matrix, residual, unknowns, mounting } = this;
    const { slotCount } = this.kernel;
    const { voltage, segmentCurrent, loopResistance, contactVoltage } = this;
    const { loads, sources, loadAt, sourceAt, share } = mounting;
    let u = x[0];
    let c = 0;
    let total = 0;
    for (let q = 0; q < unknowns; q++) {
      du[q] = 0;
      dc[q] = 0;
    }
    du[0] = 1;
    for (let i = 0; i < slotCount; i++) {
      voltage[i] = u;
      const k = sourceAt[i];
      if (k >= 0 && this.active[k] === 1) {
        const column = this.columnOf[k];
        const injected = x[column];
        sources.current[k] = injected;
        c += injected;
        dc[column] += 1;
        const series = this.seriesResistance[column];
        residual[column] = u + contactVoltage[i] + injected * series - this.setVoltage;
        for (let q = 0; q < unknowns; q++) matrix[column * unknowns + q] = du[q];
        matrix[column * unknowns + column] += series;
      }
      const l = loadAt[i];
      if (l >= 0) {
        const p = power * share[l];
        const contact = loads.pairResistance(l);
        const atContact = u + contactVoltage[i];
        const discriminant = atContact * atContact - 4 * p * contact;
        if (!(atContact > 0 && discriminant > 0)) return false;
        const root = Math.sqrt(discriminant);
        const current = (2 * p) / (atContact + root);
        loads.current[l] = current;
        total += current;
        c -= current;
        const slope = current / root;
        for (let q = 0; q < unknowns; q++) dc[q] += slope * du[q];
      }
      if (i < slotCount - 1) {
        segmentCurrent[i] = c;
        const r = loopResistance[i];
        u -= r * c;
        for (let q = 0; q < unknowns; q++) du[q] -= r * dc[q];
      }
    }
    this.totalCurrent = total;
    residual[0] = c;
    for (let q = 0; q < unknowns; q++) matrix[q] = dc[q];
    return Number.isFinite(u) && Number.isFinite(c);
  }
}
