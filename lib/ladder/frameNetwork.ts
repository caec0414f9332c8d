/**
 * The metal frame as a third path: return current divides between the return pole and the frame.
 *
 * Nodes: return pole and frame at mid-slot. Between them bonds, and units with a ground contact: a unit's return terminal
 * touches the pole through its return contact (and what spreads beneath it) and the frame through its ground contact, so
 * that it is a branch between both nodes into which the unit's current is fed:
 *
 *   i_return = (I·R_ground + V_frame − V_pole − EMF)/(R_return + R_ground),  i_ground = I − i_return
 *
 * (EMF: what other contacts add beneath this one). Supply currents given, all of it is linear: one symmetric
 * block-tridiagonal system with blocks of two. It is solved in every sweep, and what it changes between the terminals of
 * the units goes into the next solve of the supply currents, as the voltages of contacts do. Less return resistance can only
 * shrink drops (Rayleigh 1899), by less than they are, so the sweeps close. The frame keeps its nominal resistance; the heat
 * of frame, bonds and ground contacts does not reach the bar.
 *
 * Return currents have the sign of the supply pole's: up the supply pole, down the return pole. SI, kelvin.
 */
import { LOAD, UNIT, UNIT_FIELDS } from '../draw/unitRows.js';
import type { Frame, Rack } from '../rack/model.js';
import type { Kernel } from './kernel/kernel.js';
import { LIMIT_NAMES } from './limitCheck.js';
import type { ContactArrays, Mounting } from './mounting.js';

const GROUND_CONTACT = LIMIT_NAMES.indexOf('ground-contact-current');
const BOND = LIMIT_NAMES.indexOf('bond-current');

/** How return current divides where the rack has a frame. */
export interface FrameSolution {
  /** A down the return pole and down the frame, `[slot − 1]`. */
  readonly returnCurrent: Float64Array;
  readonly frameCurrent: Float64Array;
  /** A through bonds, from the pole into the frame, in the order of the rack file. */
  readonly bonds: readonly { readonly slot: number; readonly current: number }[];
}

/** A unit with a ground contact. */
interface Grounded {
  readonly isLoad: boolean;
  /** Index among loads or sources, and of its contact's slot. */
  readonly index: number;
  readonly node: number;
  /** Ω. */
  readonly ground: number;
}

export class FrameNetwork {
  /** A down the return pole, `[slot − 1]`. */
  readonly returnCurrent: Float64Array;
  /** A down the frame, `[slot − 1]`. */
  readonly frameCurrent: Float64Array;
  /** A through each ground contact (frame-wards from a load) and each bond (from the pole to the frame), then limits. */
  readonly currents: Float64Array;
  /** A through return contacts, `[load]` and `[source]`. */
  readonly loadReturn: Float64Array;
  readonly sourceReturn: Float64Array;
  private readonly limits: Float64Array;
  private readonly nodes: Int32Array;
  private readonly names: Int32Array;
  private readonly frameVoltage: Float64Array;
  private readonly frameShift: Float64Array;
  private readonly segmentOffset: Float64Array;
  private readonly segmentSlope: Float64Array;
  private readonly temperature: Float64Array;
  private readonly segmentCurrent: Float64Array;
  private readonly mutual: Float64Array;
  private readonly edgeCurrent: Float64Array;
  private readonly patchMean: Float64Array;
  private readonly sheetOffset: Float64Array;
  private readonly sheetSlope: Float64Array;
  /** V, `[slot]`. */
  private readonly pole: Float64Array;
  private readonly metal: Float64Array;
  private readonly system: BlockTridiagonal;
  private readonly frame: Frame;
  private readonly perSegment: number;
  private grounded: readonly Grounded[] = [];

  constructor(rack: Rack, private readonly kernel: Kernel, private readonly mounting: Mounting) {
    if (rack.frame === undefined) throw new Error('the rack has no frame');
    this.frame = rack.frame;
    this.perSegment = rack.frame.resistancePerMetre * rack.pitch;
    const n = rack.slotCount;
    this.returnCurrent = kernel.numbers('returnCurrent');
    this.frameCurrent = new Float64Array(n);
    this.loadReturn = kernel.numbers('loadReturnCurrent');
    this.sourceReturn = kernel.numbers('sourceReturnCurrent');
    this.currents = kernel.numbers('frameCurrent');
    this.limits = kernel.numbers('frameMost');
    this.nodes = kernel.wholes('frameNode');
    this.names = kernel.wholes('frameLimit');
    this.frameVoltage = kernel.numbers('frameVoltage');
    this.frameShift = kernel.numbers('frameShift');
    this.segmentOffset = kernel.numbers('segmentOffset');
    this.segmentSlope = kernel.numbers('segmentSlope');
    this.temperature = kernel.numbers('temperature');
    this.segmentCurrent = kernel.numbers('segmentCurrent');
    this.mutual = kernel.numbers('mutual');
    this.edgeCurrent = kernel.numbers('edgeCurrent');
    this.patchMean = kernel.numbers('patchMean');
    this.sheetOffset = kernel.numbers('sheetOffset');
    this.sheetSlope = kernel.numbers('sheetSlope');
    this.pole = new Float64Array(n);
    this.metal = new Float64Array(n);
    this.system = new BlockTridiagonal(n);
    kernel.divide = () => this.divide();
  }

  /** Number of ground contacts and bonds: entries of {@link currents}. */
  get count(): number {
    return this.grounded.length + this.frame.bonds.length;
  }

  /** Takes the ground contacts of the scenario just mounted. Ground contacts vary with the contact factor like all contacts. */
  mount(): void {
    const { count, names, numbers, build } = this.mounting.rows;
    let loads = 0;
    let sources = 0;
    const grounded: Grounded[] = [];
    for (let unit = 0; unit < count; unit++) {
      const isLoad = numbers[UNIT_FIELDS * unit + UNIT.kind] === LOAD;
      const contactSlot = numbers[UNIT_FIELDS * unit + UNIT.contactSlot];
      const { groundContact } = names[unit];
      const index = isLoad ? loads++ : sources++;
      if (groundContact === null) continue;
      const at = grounded.length;
      grounded.push({ isLoad, index, node: contactSlot - 1, ground: groundContact.resistance * build.contactFactor });
      this.limit(at, groundContact.maxCurrent, contactSlot - 1, GROUND_CONTACT);
    }
    this.grounded = grounded;
    for (const [k, { slot, maxCurrent }] of this.frame.bonds.entries()) this.limit(grounded.length + k, maxCurrent, slot - 1, BOND);
    this.kernel.call.setFrame(true, this.count);
  }

  /** What was last found, to be kept. */
  solution(): FrameSolution {
    const n = this.pole.length;
    return {
      returnCurrent: this.returnCurrent.slice(0, n - 1),
      frameCurrent: this.frameCurrent.slice(0, n - 1),
      bonds: this.frame.bonds.map(({ slot }, k) => ({ slot, current: this.currents[this.grounded.length + k] })),
    };
  }

  /** W lost in the frame, in bonds and in ground contacts at the currents last found. */
  loss(): number {
    const { grounded, frame, currents } = this;
    let watts = this.frameCurrent.reduce((sum, current) => sum + current * current * this.perSegment, 0);
    grounded.forEach(({ ground }, k) => { watts += currents[k] ** 2 * ground; });
    frame.bonds.forEach(({ resistance }, k) => { watts += currents[grounded.length + k] ** 2 * resistance; });
    return watts;
  }

  /** V by which the return pole at a slot index lies lower than if it carried the supply pole's current. */
  shiftAt(slot: number): number {
    return this.loopPotential[slot] - this.pole[slot];
  }

  /** Every limited ground contact and bond: A, A, index of the limit's name and of the slot. */
  eachLimit(look: (current: number, most: number, limit: number, node: number) => void): void {
    for (let k = 0; k < this.count; k++) look(this.currents[k], this.limits[k], this.names[k], this.nodes[k]);
  }

  /** What a unit's ground contact carries, A; null where it has none. */
  groundCurrentOf(isLoad: boolean, index: number): number | null {
    const at = this.grounded.findIndex((one) => one.isLoad === isLoad && one.index === index);
    return at < 0 ? null : this.currents[at];
  }

  /** V of the return pole if it carried the supply pole's current, `[slot]`. */
  private get loopPotential(): Float64Array {
    const potential = new Float64Array(this.pole.length);
    for (let i = 1; i < potential.length; i++) {
      potential[i] = potential[i - 1] + this.segmentCurrent[i - 1] * this.poleResistance(i - 1);
    }
    return potential;
  }

  private divide(): void {
    const { system, grounded, frame, currents, pole, metal } = this;
    const { loads, sources } = this.mounting;
    const n = pole.length;
    system.clear();
    for (let i = 0; i < n - 1; i++) system.addAlong(i, 1 / this.poleResistance(i), 1 / this.perSegment);
    // Only differences of potential matter: the lowest node of the pole is the zero.
    system.addToZero(0, n > 1 ? 1 / this.poleResistance(0) : 1);
    for (let k = 0; k < loads.count; k++) system.feed(loads.node[k], loads.current[k], 0);
    for (let k = 0; k < sources.count; k++) system.feed(sources.node[k], -sources.current[k], 0);
    this.loadReturn.set(loads.current.subarray(0, loads.count));
    this.sourceReturn.set(sources.current.subarray(0, sources.count));
    const branches = grounded.map((unit) => this.branchOf(unit));
    for (const { node, conductance, toFrame } of branches) {
      system.addAcross(node, conductance);
      system.feed(node, -toFrame, toFrame);
    }
    for (const { slot, resistance } of frame.bonds) system.addAcross(slot - 1, 1 / resistance);
    if (branches.length + frame.bonds.length > 0) system.solve(pole, metal);
    else this.alone();
    grounded.forEach((unit, k) => {
      const { node, conductance, toFrame } = branches[k];
      // Into the frame: what is fed there, and what flows along the branch.
      const intoFrame = toFrame + (pole[node] - metal[node]) * conductance;
      const sign = unit.isLoad ? 1 : -1;
      currents[k] = sign * intoFrame;
      const [contacts, returns] = unit.isLoad ? [loads, this.loadReturn] : [sources, this.sourceReturn];
      returns[unit.index] = contacts.current[unit.index] - sign * intoFrame;
    });
    frame.bonds.forEach(({ slot, resistance }, k) => {
      currents[grounded.length + k] = (pole[slot - 1] - metal[slot - 1]) / resistance;
    });
    for (let i = 0; i < n - 1; i++) {
      this.returnCurrent[i] = (pole[i + 1] - pole[i]) / this.poleResistance(i);
      this.frameCurrent[i] = (metal[i + 1] - metal[i]) / this.perSegment;
    }
    this.shiftTerminals();
  }

  /** Nothing ties the frame to the bar. */
  private alone(): void {
    this.metal.fill(0);
    this.pole.set(this.loopPotential);
  }

  /** What the frame changes between the terminals of every unit. */
  private shiftTerminals(): void {
    const { loads, sources } = this.mounting;
    const loop = this.loopPotential;
    this.frameVoltage.fill(0);
    this.frameShift.fill(0);
    const shift = (contacts: ContactArrays, returns: Float64Array, sign: number) => {
      for (let k = 0; k < contacts.count; k++) {
        const node = contacts.node[k];
        const less = sign * (contacts.current[k] - returns[k]);
        const poles = loop[node] - this.pole[node];
        this.frameVoltage[node] = poles + less * (contacts.resistance[2 * k + 1] + this.ownSpreading(node));
        // What spreads beneath the contact is counted with its own current already where this is read.
        this.frameShift[node] = poles + less * contacts.resistance[2 * k + 1];
      }
    };
    shift(loads, this.loadReturn, 1);
    shift(sources, this.sourceReturn, -1);
  }

  /** A unit as a branch: its conductance, and what of its current it feeds into the frame. */
  private branchOf({ isLoad, index, node, ground }: Grounded): { node: number; conductance: number; toFrame: number } {
    const contacts = isLoad ? this.mounting.loads : this.mounting.sources;
    const current = (isLoad ? 1 : -1) * contacts.current[index];
    const contact = contacts.resistance[2 * index + 1] + this.ownSpreading(node);
    const conductance = 1 / (contact + ground);
    return { node, conductance, toFrame: (current * contact + this.feltVoltage(node)) * conductance };
  }

  /** V by which other contacts raise the return pole beneath one. Their currents are those of the last sweep. */
  private feltVoltage(node: number): number {
    const n = this.pole.length;
    let sum = 0;
    for (let k = 0; k < n; k++) sum += this.mutual[2 * (node * n + k) + 1] * this.edgeCurrent[2 * k + 1];
    // Currents are those into the supply pole; what flows into that flows out of the return pole.
    return this.patchMean[2 * node + 1] > 0 ? -sum * this.sheetResistance(node) : 0;
  }

  private ownSpreading(node: number): number {
    return this.patchMean[2 * node + 1] * this.sheetResistance(node);
  }

  private sheetResistance(node: number): number {
    const entry = 2 * node + 1;
    return this.sheetOffset[entry] + this.sheetSlope[entry] * this.temperature[entry];
  }

  private poleResistance(segment: number): number {
    const entry = 2 * segment + 1;
    return this.segmentOffset[entry] + this.segmentSlope[entry] * (this.temperature[entry] + this.temperature[entry + 2]);
  }

  private limit(at: number, most: number, node: number, name: number): void {
    this.limits[at] = most;
    this.nodes[at] = node;
    this.names[at] = name;
  }
}

/** Conductances of two chains of nodes that touch here and there; blocks of two along the diagonal. */
class BlockTridiagonal {
  private readonly first: Float64Array;
  private readonly second: Float64Array;
  private readonly across: Float64Array;
  private readonly alongFirst: Float64Array;
  private readonly alongSecond: Float64Array;
  private readonly feedFirst: Float64Array;
  private readonly feedSecond: Float64Array;
  // The inverse of each block's Schur complement, symmetric.
  private readonly inverse: readonly [Float64Array, Float64Array, Float64Array];

  constructor(private readonly n: number) {
    const make = () => new Float64Array(n);
    this.first = make();
    this.second = make();
    this.across = make();
    this.alongFirst = make();
    this.alongSecond = make();
    this.feedFirst = make();
    this.feedSecond = make();
    this.inverse = [make(), make(), make()];
  }

  clear(): void {
    for (const array of [this.first, this.second, this.across, this.feedFirst, this.feedSecond]) array.fill(0);
  }

  addAlong(i: number, first: number, second: number): void {
    this.alongFirst[i] = first;
    this.alongSecond[i] = second;
    for (const k of [i, i + 1]) {
      this.first[k] += first;
      this.second[k] += second;
    }
  }

  addAcross(i: number, conductance: number): void {
    this.across[i] += conductance;
  }

  addToZero(i: number, conductance: number): void {
    this.first[i] += conductance;
  }

  /** A into both nodes. */
  feed(i: number, first: number, second: number): void {
    this.feedFirst[i] += first;
    this.feedSecond[i] += second;
  }

  /** Potentials of both chains. */
  solve(first: Float64Array, second: Float64Array): void {
    const { n, across, alongFirst, alongSecond, inverse: [aa, ab, bb] } = this;
    let fed = 0;
    let fedSecond = 0;
    for (let i = 0; i < n; i++) {
      let a = this.first[i] + across[i];
      let b = this.second[i] + across[i];
      let c = -across[i];
      let f = this.feedFirst[i];
      let s = this.feedSecond[i];
      if (i > 0) {
        const [g, h] = [alongFirst[i - 1], alongSecond[i - 1]];
        a -= g * g * aa[i - 1];
        b -= h * h * bb[i - 1];
        c -= g * h * ab[i - 1];
        f += g * fed;
        s += h * fedSecond;
      }
      const determinant = a * b - c * c;
      aa[i] = b / determinant;
      bb[i] = a / determinant;
      ab[i] = -c / determinant;
      fed = aa[i] * f + ab[i] * s;
      fedSecond = ab[i] * f + bb[i] * s;
      first[i] = fed;
      second[i] = fedSecond;
    }
    for (let i = n - 2; i >= 0; i--) {
      const up = alongFirst[i] * first[i + 1];
      const upSecond = alongSecond[i] * second[i + 1];
      first[i] += aa[i] * up + ab[i] * upSecond;
      second[i] += ab[i] * up + bb[i] * upSecond;
    }
  }
}
