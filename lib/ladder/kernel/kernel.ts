/**
 * The ladder's inner loops and the memory they share with the classes around them.
 *
 * The loops are WebAssembly (assembly/, compiled by `npm run kernel`): both poles are worked on side by side, which takes
 * less than half the time of the same loops in JavaScript and gives the same numbers on every machine. Each ladder has an
 * instance of its own; its arrays are views of the instance's memory, which never moves. SI, kelvin.
 */
import { patchMean, patchMiddle } from '../contactSpreading.js';
import { TABLE_LENGTH } from '../convectionTable.js';
import { KERNEL_CODE, KERNEL_SITES } from './kernelCode.js';
import { ARRAYS, type ArrayName, layOut, type NumbersName, type WholesName } from './layout.js';
import { placeArrays } from './placeArrays.js';

interface Global {
  readonly value: number;
}

/** Functions of the compiled kernel; see assembly/ for what each does. */
interface KernelExports {
  setSlotCount(slots: number): void;
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
  setRules(count: number): void;
  countStates(): number;
  rateStates(upper: number, isSure: boolean): number;
  goOn(power: number): number;
  lookAtAll(except: number): number;
  layWeights(first: number, count: number): void;
  beginLooks(): number;
  lookAround(first: number, count: number, except: number): void;
  joint(start: number, upper: number, keeps: boolean): number;
  readonly faultyUnit: Global;
}

/** The part of the WebAssembly interface that is used here. */
declare const WebAssembly: {
  Module: new (code: Uint8Array) => object;
  Memory: new (size: { initial: number; maximum: number }) => { readonly buffer: ArrayBuffer };
  Instance: new (module: object, imports: object) => { readonly exports: object };
};

const PAGE = 65_536;

/** Compiled modules by the number of slots that they are for. */
const modules = new Map<number, object>();

function moduleFor(slotCount: number, addresses: Readonly<Record<ArrayName, number>>): object {
  let compiled = modules.get(slotCount);
  if (compiled === undefined) {
    const sites = Buffer.from(KERNEL_SITES, 'base64');
    const entries = Int32Array.from({ length: sites.length / 4 }, (_, k) => sites.readInt32LE(4 * k));
    compiled = new WebAssembly.Module(placeArrays(Buffer.from(KERNEL_CODE, 'base64'), entries, Object.values(addresses)));
    modules.set(slotCount, compiled);
  }
  return compiled;
}

export class Kernel {
  readonly call: KernelExports;
  /** What the last call found, by OUTCOME of layout.ts. */
  readonly outcome: Float64Array;
  /** Answers for the films of a slot that the tables do not hold yet: see assembly/host.ts. Set by the thermal ladder. */
  films: (slot: number, surroundings: number) => boolean = () => false;
  /** Divides the return current between bar and frame: see assembly/host.ts. Set where the rack has a frame. */
  divide: () => void = () => {};
  private readonly buffer: ArrayBuffer;
  private readonly addresses: Readonly<Record<ArrayName, number>>;
  private readonly tables: number;

  /** @param tables convection tables to make room for */
  constructor(readonly slotCount: number, tables: number) {
    const { addresses, end } = layOut(slotCount);
    const pages = Math.ceil((end + 8 * tables * TABLE_LENGTH) / PAGE);
    // What is not written takes no memory: the tables are filled where they are read.
    const memory = new WebAssembly.Memory({ initial: pages, maximum: pages });
    const instance = new WebAssembly.Instance(moduleFor(slotCount, addresses), {
      env: { memory },
      host: {
        films: (slot: number, surroundings: number) => (this.films(slot, surroundings) ? 1 : 0), divide: () => this.divide(),
        patchMean, patchMiddle,
      },
    });
    this.call = instance.exports as KernelExports;
    this.buffer = memory.buffer;
    this.addresses = addresses;
    this.tables = end;
    this.call.setSlotCount(slotCount);
    this.outcome = this.numbers('outcome');
  }

  /** View of an array, or of its first `length` entries. */
  numbers(name: NumbersName, length: number = ARRAYS[name].count(this.slotCount)): Float64Array {
    return new Float64Array(this.buffer, this.addresses[name], length);
  }

  /** View of an array of whole numbers. */
  wholes(name: WholesName): Int32Array {
    return new Int32Array(this.buffer, this.addresses[name], ARRAYS[name].count(this.slotCount));
  }

  /** Byte address of a convection table and the view of its cells. */
  table(index: number): { readonly address: number; readonly cells: Float64Array } {
    const address = this.tables + index * 8 * TABLE_LENGTH;
    return { address, cells: new Float64Array(this.buffer, address, TABLE_LENGTH) };
  }
}
