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
 */
import type { Sharing } from '../rack/model.js';
import { solveDense } from './denseSolve.js';
import type { Mounting } from './mounting.js';

/** Closure relative to the total current and to the set voltage, where nothing else is asked for. */
export const FINE_CLOSURE = 1e-12;

export class ElectricalLadder {
  /** A upwards on the supply pole, `[slot − 1]`. */
  readonly segmentCurrent: Float64Array;
  /** V between the poles, `[slot]`. */
  readonly voltage: Float64Array;
  /** Ω, supply + return, `[slot − 1]`, set by the caller. */
  readonly loopResistance: Float64Array;
  /** V at the contacts above those of the bar's mean over the depth, `[slot]`, set by the caller. */
  readonly contactVoltage: Float64Array;
  /** A, sum of the load currents. */
  totalCurrent = 0;

  private readonly columnOf: Int32Array;
  /** Share of the total current, `[source]`; equal sharing only. */
  private readonly weight: Float64Array;
  /** Ω, contact and droop of the source behind each unknown, `[unknown]`. */
  private readonly seriesResistance: Float64Array;
  private active: Uint8Array = new Uint8Array(0);
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
    private readonly slotCount: number,
    private readonly sharing: Sharing,
    private readonly setVoltage: number,
    private readonly mounting: Mounting,
  ) {
    const size = slotCount + 1;
    this.segmentCurrent = new Float64Array(Math.max(0, slotCount - 1));
    this.loopResistance = new Float64Array(Math.max(0, slotCount - 1));
    this.contactVoltage = new Float64Array(slotCount);
    this.voltage = new Float64Array(slotCount);
    this.columnOf = new Int32Array(slotCount);
    this.weight = new Float64Array(slotCount);
    this.seriesResistance = new Float64Array(size);
    this.x = new Float64Array(size);
    this.held = new Float64Array(size);
    this.du = new Float64Array(size);
    this.dc = new Float64Array(size);
    this.matrix = new Float64Array(size * size);
    this.residual = new Float64Array(size);
  }

  /**
   * Puts sources in and out of service; `active` is `[source]`. Earlier solutions are forgotten, unless the next one is
   * to start from the last and has the same unknowns.
   */
  setState(active: Uint8Array, startFromLast = false): void {
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
    }
    this.activeCount = count;
    const droop = this.sharing.model === 'droop';
    this.unknowns = droop ? count + 1 : 2;
    let column = 1;
    for (let k = 0; k < sources.count; k++) {
      if (active[k] === 0) continue;
      this.columnOf[k] = droop ? column++ : 1;
      this.weight[k] = droop ? 1 : sharingWeight[k] / sum;
      this.seriesResistance[this.columnOf[k]] = this.mounting.droopResistance[k]
        + sources.resistance[k] + sources.resistance[sources.capacity + k];
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
      this.x[q] = this.sharing.model === 'droop' ? current / this.activeCount : current;
    }
  }

  private newton(power: number, closure: number): boolean {
    const { unknowns, x, residual } = this;
    if (this.sharing.model === 'equal') return this.newtonEqual(power, closure);
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

  /** The two unknowns of equal sharing. Without load the Jacobian's determinant is −1: beyond the collapse it is positive. */
  private newtonEqual(power: number, closure: number): boolean {
    const { x, residual, matrix, setVoltage } = this;
    const tolerance = closure * setVoltage + 1e-15 * setVoltage;
    for (let iteration = 0; iteration < 40; iteration++) {
      if (!this.marchEqual(power)) return false;
      if (Math.abs(residual[0]) <= closure * this.totalCurrent && Math.abs(residual[1]) <= tolerance) return true;
      const determinant = matrix[0] * matrix[3] - matrix[1] * matrix[2];
      if (!(determinant < 0)) return false;
      x[0] -= (matrix[3] * residual[0] - matrix[1] * residual[1]) / determinant;
      x[1] -= (matrix[0] * residual[1] - matrix[2] * residual[0]) / determinant;
    }
    return false;
  }

  /** V. A stiff droop source turns a small voltage error into a large current: its own series resistance sets the scale. */
  private voltageTolerance(q: number, closure: number): number {
    const rounding = 1e-15 * this.setVoltage;
    if (this.sharing.model === 'equal') return closure * this.setVoltage + rounding;
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

  /** One march up the bar: fills voltages, currents, residual and Jacobian. @returns false where a load finds no voltage */
  private march(power: number): boolean {
    return this.sharing.model === 'equal' ? this.marchEqual(power) : this.marchDroop(power);
  }

  /** Unknowns: bottom voltage, total current. */
  private marchEqual(power: number): boolean {
    const { x, mounting, voltage, segmentCurrent, loopResistance, contactVoltage, slotCount } = this;
    const { active, weight, matrix, residual } = this;
    const { loads, sources, loadAt, sourceAt, share } = mounting;
    const loadCurrent = loads.current;
    const part = 1 / this.activeCount;
    const totalFed = x[1];
    let u = x[0];
    let uByVoltage = 1;
    let uByCurrent = 0;
    let c = 0;
    let cByVoltage = 0;
    let cByCurrent = 0;
    let total = 0;
    let mean = 0;
    let meanByVoltage = 0;
    let meanByCurrent = 0;
    for (let i = 0; i < slotCount; i++) {
      voltage[i] = u;
      const k = sourceAt[i];
      if (k >= 0 && active[k] === 1) {
        const w = weight[k];
        const contact = sources.resistance[k] + sources.resistance[sources.capacity + k];
        sources.current[k] = w * totalFed;
        c += w * totalFed;
        cByCurrent += w;
        mean += part * (u + contactVoltage[i] + w * totalFed * contact);
        meanByVoltage += part * uByVoltage;
        meanByCurrent += part * (uByCurrent + w * contact);
      }
      const l = loadAt[i];
      if (l >= 0) {
        const p = power * share[l];
        const contact = loads.resistance[l] + loads.resistance[loads.capacity + l];
        const atContact = u + contactVoltage[i];
        const discriminant = atContact * atContact - 4 * p * contact;
        if (!(atContact > 0 && discriminant > 0)) return false;
        const root = Math.sqrt(discriminant);
        const current = (2 * p) / (atContact + root);
        loadCurrent[l] = current;
        total += current;
        c -= current;
        const slope = current / root;
        cByVoltage += slope * uByVoltage;
        cByCurrent += slope * uByCurrent;
      }
      if (i < slotCount - 1) {
        segmentCurrent[i] = c;
        const r = loopResistance[i];
        u -= r * c;
        uByVoltage -= r * cByVoltage;
        uByCurrent -= r * cByCurrent;
      }
    }
    this.totalCurrent = total;
    residual[0] = c;
    residual[1] = mean - this.setVoltage;
    matrix[0] = cByVoltage;
    matrix[1] = cByCurrent;
    matrix[2] = meanByVoltage;
    matrix[3] = meanByCurrent;
    return Number.isFinite(u) && Number.isFinite(c);
  }

  /** Unknowns: bottom voltage, each source's current. */
  private marchDroop(power: number): boolean {
    const { x, du, dc, matrix, residual, unknowns, mounting, slotCount } = this;
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
        const contact = loads.resistance[l] + loads.resistance[loads.capacity + l];
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
