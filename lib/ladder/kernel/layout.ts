/**
 * Arrays of the kernel's memory: what host and kernel share. `npm run kernel` writes assembly/memory.ts from here.
 *
 * The compiled kernel holds their addresses as constants, so that a loop over many arrays needs one register for all of them;
 * they depend on the number of slots and are put in when a kernel is made: see placeArrays.ts. SI, kelvin.
 */

/** What an array holds, and how many of it in a rack of so many slots. */
interface KernelArray<Holds extends 'number' | 'whole'> {
  readonly holds: Holds;
  readonly count: (slots: number) => number;
}

const numbersOf = (count: (slots: number) => number): KernelArray<'number'> => ({ holds: 'number', count });
const wholesOf = (count: (slots: number) => number): KernelArray<'whole'> => ({ holds: 'whole', count });
const numbers = numbersOf((n) => n);
const pairs = numbersOf((n) => 2 * n);
const wholes = wholesOf((n) => n);
const wholePairs = wholesOf((n) => 2 * n);
/** All in service, batteries alone, and every source out in turn. */
const mostStates = (n: number): number => n + 2;
const statesOf = wholesOf(mostStates);

/** Numbers of a unit: {@link UNIT_FIELDS} of lib/draw/unitRows.ts. */
export const UNIT_NUMBERS = 16;
/** Operating states that are worked on side by side. */
export const STATES_AT_ONCE = 8;
/** Entries that loops read beyond the end of some arrays. */
export const READ_BEYOND = 4;

/**
 * Entries of the array `outcome`, what the host reads after a call, for reading a global takes longer. Of a search in one
 * state: rated power, W; limit that binds, its node and pole; sweeps since the scenario was mounted. What a state looked at
 * seems to carry, W. Of the rating of all states: what those so far carry, W; the state that the host must rate; of the
 * state with the lowest rated power its index, or -1 where it is none that the kernel has rated, its power, W, its limit,
 * node and pole, and the sweeps until it was found.
 */
export const OUTCOME = {
  ratedPower: 0, limit: 1, limitNode: 2, limitPole: 3, sweeps: 4, seems: 5, least: 6, alone: 7, lowestState: 8, lowestPower: 9,
  lowestLimit: 10, lowestNode: 11, lowestPole: 12, lowestSweeps: 13,
} as const;

/** Kinds of operating states, in the array `rules` in the order in which the rack names them. */
export const RULE_CODES = { 'all-in-service': 0, 'one-source-out': 1, 'batteries-alone': 2 } as const;

export const ARRAYS = {
  // `[slot × pole]`
  temperature: pairs,
  contactHeat: pairs,
  segmentOffset: pairs,
  segmentSlope: pairs,
  segmentConductance: pairs,
  emissivity: pairs,
  nominalEmissivity: pairs,
  envelope: pairs,
  /** Emissivity times envelope times the Stefan-Boltzmann constant. */
  black: pairs,
  heat: pairs,
  heatSlope: pairs,
  /** W/(m·K), by which the loss falls where the air beside it is warmer: convection, and radiation to that air. */
  airPull: pairs,
  change: pairs,
  rate: pairs,
  multiplier: pairs,
  frozenPivot: pairs,
  frozenMultiplier: pairs,
  coarseRise: pairs,
  spreadingHeat: pairs,
  /** V at the contacts above the mean over the depth that other contacts make, each pole by itself. */
  mutualVoltage: pairs,
  spreadingHeatSlope: pairs,
  /** Into the supply pole; the return pole's is the reverse, and its entry the same. */
  edgeCurrent: pairs,
  edgeHeat: pairs,
  hotSpotOwnRate: pairs,
  sheetOffset: pairs,
  sheetSlope: pairs,
  sheetThermal: pairs,
  nominalSegmentOffset: pairs,
  nominalSegmentSlope: pairs,
  nominalSegmentConductance: pairs,
  jointResistance: pairs,
  nominalSheetOffset: pairs,
  nominalSheetSlope: pairs,
  nominalSheetThermal: pairs,
  patchMean: pairs,
  patchMiddle: pairs,
  feltAtMost: pairs,
  /** Byte address of the convection table of each entry. */
  tableOf: wholePairs,
  /** Index of the lowest slot of the section of each entry. */
  sectionFirst: wholePairs,
  /** W/K by which a stage of a time step holds a node, and the temperature that it holds it at, K. */
  storage: pairs,
  heldTemperature: pairs,
  /** A down the return pole, where a frame carries the rest, `[slot]`; through units' return contacts, `[unit]`. */
  returnCurrent: numbers,
  loadReturnCurrent: numbers,
  sourceReturnCurrent: numbers,
  /**
   * V, `[slot]`: what the frame adds between a unit's terminals to what the bar alone would give them; the same without what
   * lies between bar and terminal; contact voltages before the last update.
   */
  frameVoltage: numbers,
  frameShift: numbers,
  heldVoltage: numbers,
  /** Ground contacts and bonds, as many as the host says: A, A, slot and limit. */
  frameCurrent: pairs,
  frameMost: pairs,
  frameNode: wholePairs,
  frameLimit: wholePairs,
  /** Where another operating state was last linearised, K. */
  lastTemperature: pairs,
  /** W and W/K of contacts that a state was last linearised with, for looks at others from there; A that contacts feel more: see looks.ts. */
  ownHeat: pairs,
  ownHeatSlope: pairs,
  feltMore: pairs,
  /** m. */
  depth: pairs,
  /** A into the supply pole at the front edge, `[slot]` and some zeros. */
  edgeAmperes: numbersOf((n) => n + READ_BEYOND),
  // `[slot]`
  air: numbers,
  airBase: numbers,
  /** K above the inlet. */
  airProfile: numbers,
  airSlope: numbers,
  unitConductance: numbers,
  unitRise: numbers,
  segmentCurrent: numbers,
  loopResistance: numbers,
  /** V at the contacts above the bar's mean over the depth that other contacts make, and Ω of their own spreading, both poles. */
  contactVoltage: numbers,
  ownSpreading: numbers,
  edgeVoltage: numbers,
  coarseVoltage: numbers,
  voltage: numbers,
  /** A into the supply pole, of loads and sources. */
  injected: numbers,
  /** Of looks at other states: A in segments, V, V, and A of sources in the state looked from. */
  ownCurrent: numbers,
  ownVoltage: numbers,
  ownEdgeVoltage: numbers,
  ownFed: numbers,
  /** V below the set voltage, with droop, and what a Newton step of it needs. */
  drop: numbers,
  sentSlope: numbers,
  sentCurrent: numbers,
  // `[slot]`
  /** Slots with a contact at the front edge, as they were mounted. */
  edgeSlot: wholes,
  feltFrom: wholes,
  feltTo: wholes,
  loadAt: wholes,
  sourceAt: wholes,
  active: wholes,
  // `[unit]`; resistances `[unit × pole]`
  loadNode: wholes,
  loadResistance: pairs,
  loadThermalResistance: numbers,
  loadHeatShare: numbers,
  loadEdgeHeight: numbers,
  loadCurrent: numbers,
  share: numbers,
  sourceNode: wholes,
  sourceResistance: pairs,
  sourceThermalResistance: numbers,
  sourceHeatShare: numbers,
  sourceEdgeHeight: numbers,
  sourceCurrent: numbers,
  sharingWeight: numbers,
  droopResistance: numbers,
  /** Part of the total current with equal sharing. */
  sourceWeight: numbers,
  /** Ω, contacts and droop. */
  seriesResistance: numbers,
  /** With equal sharing, of the last march: V/V and V/A by the bottom voltage and the total current, `[slot]`; A/V, `[load]`. */
  byBottomVoltage: numbers,
  byTotalCurrent: numbers,
  loadSlope: numbers,
  maxCurrent: numbers,
  maxPower: numbers,
  /** Bottom voltage and total current, with equal sharing. */
  unknowns: numbersOf(() => 2),
  heldUnknowns: numbersOf(() => 2),
  /** By {@link OUTCOME}. */
  outcome: numbersOf(() => Object.keys(OUTCOME).length),
  /** Contacts at the front edge met so far: see mount.ts. */
  patches: numbersOf(() => 64),
  /** `[unit × UNIT_NUMBERS]`, what the host mounts: see mount.ts. */
  units: numbersOf((n) => UNIT_NUMBERS * n),
  /** Loads and sources mounted. */
  unitCounts: wholesOf(() => 2),
  /** Kinds of states that the rack must survive, by RULE_CODES. */
  rules: wholesOf(() => Object.keys(RULE_CODES).length),
  /** 1 for a power shelf, `[source]`. */
  isShelf: wholes,
  /** `[state]`: its kind, the source that is out or -1, W of what it seems to carry and surely does, and the order of rating. */
  stateRule: statesOf,
  stateOut: statesOf,
  seems: numbersOf(mostStates),
  surely: numbersOf(mostStates),
  stateOrder: statesOf,
  /** Part of the current that a source feeds, `[source × STATES_AT_ONCE]`; A²/(W²/V²), `[STATES_AT_ONCE]`: see states.ts. */
  stateWeight: numbersOf((n) => STATES_AT_ONCE * n),
  squares: numbersOf(() => STATES_AT_ONCE),
  // `[slot × slot × pole]`
  mutual: numbersOf((n) => 2 * n * n),
  /** `[slot × slot]`, of either pole where both are alike; rows are read a little beyond their end. */
  mutualOfEither: numbersOf((n) => n * n + READ_BEYOND),
} as const;

export type ArrayName = keyof typeof ARRAYS;
/** Names of the arrays that hold numbers, or whole numbers of 32 bits. */
export type NumbersName = { [N in ArrayName]: (typeof ARRAYS)[N]['holds'] extends 'number' ? N : never }[ArrayName];
export type WholesName = Exclude<ArrayName, NumbersName>;

/** Bytes at the start of the memory that hold nothing. */
const UNUSED = 1024;

/** Where everything stands, bytes. */
export interface Layout {
  readonly addresses: Readonly<Record<ArrayName, number>>;
  /** Behind the last array. */
  readonly end: number;
}

/** Lays all arrays out for a rack; each begins with a whole register. */
export function layOut(slots: number): Layout {
  let end = UNUSED;
  const addresses = Object.fromEntries(Object.entries(ARRAYS).map(([name, { holds, count }]) => {
    const start = end;
    end += 16 * Math.ceil(((holds === 'number' ? 8 : 4) * count(slots)) / 16);
    return [name, start];
  })) as Record<ArrayName, number>;
  return { addresses, end };
}
