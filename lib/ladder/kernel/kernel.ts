/**
 * The ladder's inner loops and the memory they share with the classes around them.
 *
 * The loops are WebAssembly (assembly/, compiled by `npm run kernel`): both poles are worked on side by side, which takes
 * less than half the time of the same loops in JavaScript and gives the same numbers on every machine. Each ladder has an
 * instance of its own; its arrays are views of the instance's memory, which never moves. SI, kelvin.
 */
import { patchMean, patchMiddle } from '../contactSpreading.js';
import { TABLE_LENGTH } from '../convectionTable.js';
import { KERNEL_CODE } from './kernelCode.js';

interface Global {
  readonly value: number;
}

/** Functions and addresses of the compiled kernel; see assembly/ for what each does. */
interface KernelExports {
  layOut(slots: number, tableCount: number, tableBytes: number): number;
  setRack(pitch: number, setVoltage: number, surroundings: number, isDroop: boolean): void;
  setLimits(
    barRise: number, barTemperature: number, contactTemperature: number, loadContactCurrent: number, lowestLoadVoltage: number,
  ): void;
  mount(
    count: number, contactFactor: number, exhaustRise: number, inlet: number, emissivity: number, filmFactor: number,
    areaFactor: number,
  ): number;
  staysCool(): number;
  setState(startFromLast: boolean): void;
  solveStart(): number;
  beginAt(power: number): void;
  squaredCurrents(): void;
  sweep(power: number, closure: number): number;
  updateLoopResistance(): void;
  updateOwnSpreading(): void;
  solveCurrents(power: number, closure: number): number;
  solveAgain(power: number, closure: number): number;
  updateContacts(): void;
  currentShift(): number;
  updateEdgeHeat(heatRate: number, stepped: boolean): void;
  hotSpotAt(entry: number): number;
  setAlike(on: boolean): void;
  assembleLoss(surroundings: number): void;
  store(on: boolean): void;
  setFrame(on: boolean, count: number): void;
  hasLastSweep(): number;
  forgetLastSweep(): void;
  lookAt(): number;
  beginLooks(): number;
  lookAround(count: number, except: number): void;
  joint(start: number, upper: number, keeps: boolean): number;
  readonly faultyUnit: Global;
}

/** The part of the WebAssembly interface that is used here. */
declare const WebAssembly: {
  Module: new (code: Uint8Array) => object;
  Memory: new (size: { initial: number; maximum: number }) => { readonly buffer: ArrayBuffer };
  Instance: new (module: object, imports: object) => { readonly exports: object };
};

/** Entries of the array `outcome`: see assembly/memory.ts. */
export const OUTCOME = { ratedPower: 0, limit: 1, limitNode: 2, limitPole: 3, sweeps: 4, seems: 5 } as const;

const PAGE = 65_536;
/** Doubles per slot that the arrays take at most, and doubles beside them. */
const PER_SLOT = 192;
const BESIDE = 4096;

let compiled: object | null = null;

export class Kernel {
  readonly call: KernelExports;
  /** What the last call found, by {@link OUTCOME}. */
  readonly outcome: Float64Array;
  /** Answers for the films of a slot that the tables do not hold yet: see assembly/host.ts. Set by the thermal ladder. */
  films: (slot: number, surroundings: number) => boolean = () => false;
  /** Divides the return current between bar and frame: see assembly/host.ts. Set where the rack has a frame. */
  divide: () => void = () => {};
  private readonly buffer: ArrayBuffer;

  /** @param tables convection tables to make room for */
  constructor(readonly slotCount: number, tables: number) {
    compiled ??= new WebAssembly.Module(Buffer.from(KERNEL_CODE, 'base64'));
    const doubles = BESIDE + PER_SLOT * slotCount + 3 * slotCount ** 2 + tables * TABLE_LENGTH;
    const pages = Math.ceil((8 * doubles) / PAGE);
    // What is not written takes no memory: the tables are filled where they are read.
    const memory = new WebAssembly.Memory({ initial: pages, maximum: pages });
    const instance = new WebAssembly.Instance(compiled, {
      env: { memory },
      host: {
        films: (slot: number, surroundings: number) => (this.films(slot, surroundings) ? 1 : 0), divide: () => this.divide(),
        patchMean, patchMiddle,
      },
    });
    this.call = instance.exports as KernelExports;
    this.buffer = memory.buffer;
    const needed = this.call.layOut(slotCount, tables, 8 * TABLE_LENGTH);
    this.outcome = this.numbers('outcome', Object.keys(OUTCOME).length);
    if (needed > pages * PAGE) throw new Error(`the kernel needs ${needed} bytes and has ${pages * PAGE}`);
  }

  /** View of the array of that name, `[slot × pole]` unless told otherwise. */
  numbers(name: string, length: number = 2 * this.slotCount): Float64Array {
    return new Float64Array(this.buffer, this.address(name), length);
  }

  /** View of an array of whole numbers, `[slot]` unless told otherwise. */
  wholes(name: string, length: number = this.slotCount): Int32Array {
    return new Int32Array(this.buffer, this.address(name), length);
  }

  /** Byte address of a convection table and the view of its cells. */
  table(index: number): { readonly address: number; readonly cells: Float64Array } {
    const address = this.address('tables') + index * 8 * TABLE_LENGTH;
    return { address, cells: new Float64Array(this.buffer, address, TABLE_LENGTH) };
  }

  private address(name: string): number {
    const found = (this.call as unknown as Record<string, Global | undefined>)[name];
    if (found === undefined) throw new Error(`the kernel has no array ${name}`);
    return found.value;
  }
}
