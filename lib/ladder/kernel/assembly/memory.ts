// Where everything stands in the kernel's memory. The host makes views of the same bytes; see ../kernel.ts for units.

let top: usize = 0;

function bytes(count: usize): usize {
  const start = top;
  // Whole registers, so that pairs are aligned.
  top += (count + 15) & ~15;
  return start;
}

function numbers(count: i32): usize { return bytes(<usize>count << 3); }
function wholes(count: i32): usize { return bytes(<usize>count << 2); }

export let slotCount: i32 = 0;

// `[slot × pole]`
export let temperature: usize = 0;
export let contactHeat: usize = 0;
export let segmentOffset: usize = 0;
export let segmentSlope: usize = 0;
export let segmentConductance: usize = 0;
export let emissivity: usize = 0;
export let nominalEmissivity: usize = 0;
export let envelope: usize = 0;
/** Emissivity times envelope times the Stefan-Boltzmann constant. */
export let black: usize = 0;
export let heat: usize = 0;
export let heatSlope: usize = 0;
/** W/(m·K), by which the loss falls where the air beside it is warmer: convection, and radiation to that air. */
export let airPull: usize = 0;
export let change: usize = 0;
export let rate: usize = 0;
export let multiplier: usize = 0;
export let frozenPivot: usize = 0;
export let frozenMultiplier: usize = 0;
export let coarseRise: usize = 0;
export let spreadingHeat: usize = 0;
/** V at the contacts above the mean over the depth that other contacts make, each pole by itself. */
export let mutualVoltage: usize = 0;
export let spreadingHeatSlope: usize = 0;
/** Into the supply pole; the return pole's is the reverse, and its entry the same. */
export let edgeCurrent: usize = 0;
export let edgeHeat: usize = 0;
export let hotSpotOwnRate: usize = 0;
export let sheetOffset: usize = 0;
export let sheetSlope: usize = 0;
export let sheetThermal: usize = 0;
export let nominalSegmentOffset: usize = 0;
export let nominalSegmentSlope: usize = 0;
export let nominalSegmentConductance: usize = 0;
export let jointResistance: usize = 0;
export let nominalSheetOffset: usize = 0;
export let nominalSheetSlope: usize = 0;
export let nominalSheetThermal: usize = 0;
export let patchMean: usize = 0;
export let patchMiddle: usize = 0;
export let feltAtMost: usize = 0;
/** Whole numbers: byte address of the convection table of each entry. */
export let tableOf: usize = 0;
/** Whole numbers: index of the lowest slot of the section of each entry. */
export let sectionFirst: usize = 0;
/** W/K by which a stage of a time step holds a node, and the temperature that it holds it at, K. */
export let storage: usize = 0;
export let heldTemperature: usize = 0;
/** A down the return pole, where a frame carries the rest, `[slot]`; through units' return contacts, `[unit]`. */
export let returnCurrent: usize = 0;
export let loadReturnCurrent: usize = 0;
export let sourceReturnCurrent: usize = 0;
/**
 * V, `[slot]`: what the frame adds between a unit's terminals to what the bar alone would give them; the same without what
 * lies between bar and terminal; contact voltages before the last update.
 */
export let frameVoltage: usize = 0;
export let frameShift: usize = 0;
export let heldVoltage: usize = 0;
/** Ground contacts and bonds, as many as the host says: A, A, slot and limit, whole numbers. */
export let frameCurrent: usize = 0;
export let frameMost: usize = 0;
export let frameNode: usize = 0;
export let frameLimit: usize = 0;
/** Where another operating state was last linearised, K. */
export let lastTemperature: usize = 0;
/** W and W/K of contacts that a state was last linearised with, for looks at others from there; A that contacts feel more: see looks.ts. */
export let ownHeat: usize = 0;
export let ownHeatSlope: usize = 0;
export let feltMore: usize = 0;
/** m. */
export let depth: usize = 0;
// `[slot × slot × pole]`
export let mutual: usize = 0;
/** `[slot × slot]`, of either pole where both are alike; rows are read a little beyond their end. */
export let mutualOfEither: usize = 0;
/** A into the supply pole at the front edge, `[slot]` and some zeros. */
export let edgeAmperes: usize = 0;
export const BEYOND: i32 = 4;
// `[slot]`
export let air: usize = 0;
export let airBase: usize = 0;
/** K above the inlet. */
export let airProfile: usize = 0;
export let airSlope: usize = 0;
export let unitConductance: usize = 0;
export let unitRise: usize = 0;
export let segmentCurrent: usize = 0;
export let loopResistance: usize = 0;
/** V at the contacts above the bar's mean over the depth that other contacts make, and Ω of their own spreading, both poles. */
export let contactVoltage: usize = 0;
export let ownSpreading: usize = 0;
export let edgeVoltage: usize = 0;
export let coarseVoltage: usize = 0;
export let voltage: usize = 0;
/** A into the supply pole, of loads and sources. */
export let injected: usize = 0;
/** Of looks at other states: A in segments, V, V, and A of sources in the state looked from. */
export let ownCurrent: usize = 0;
export let ownVoltage: usize = 0;
export let ownEdgeVoltage: usize = 0;
export let ownFed: usize = 0;
/** V below the set voltage, with droop, and what a Newton step of it needs. */
export let drop: usize = 0;
export let sentSlope: usize = 0;
export let sentCurrent: usize = 0;
// Whole numbers, `[slot]`
/** Slots with a contact at the front edge, as they were mounted. */
export let edgeSlot: usize = 0;
export let feltFrom: usize = 0;
export let feltTo: usize = 0;
export let loadAt: usize = 0;
export let sourceAt: usize = 0;
export let active: usize = 0;
// `[unit]`; resistances `[unit × pole]`, nodes whole numbers
export let loadNode: usize = 0;
export let loadResistance: usize = 0;
export let loadThermalResistance: usize = 0;
export let loadHeatShare: usize = 0;
export let loadEdgeHeight: usize = 0;
export let loadCurrent: usize = 0;
export let share: usize = 0;
export let sourceNode: usize = 0;
export let sourceResistance: usize = 0;
export let sourceThermalResistance: usize = 0;
export let sourceHeatShare: usize = 0;
export let sourceEdgeHeight: usize = 0;
export let sourceCurrent: usize = 0;
export let sharingWeight: usize = 0;
export let droopResistance: usize = 0;
/** Part of the total current with equal sharing. */
export let sourceWeight: usize = 0;
/** Ω, contacts and droop. */
export let seriesResistance: usize = 0;
/** With equal sharing, of the last march: V/V and V/A by the bottom voltage and the total current, `[slot]`; A/V, `[load]`. */
export let byBottomVoltage: usize = 0;
export let byTotalCurrent: usize = 0;
export let loadSlope: usize = 0;
export let maxCurrent: usize = 0;
export let maxPower: usize = 0;
/** Bottom voltage and total current, with equal sharing. */
export let unknowns: usize = 0;
export let heldUnknowns: usize = 0;
/**
 * What the host reads after a call, for reading a global takes longer: rated power, W; limit that binds, its node and pole;
 * sweeps since the scenario was mounted; what a state looked at seems to carry, W.
 */
export let outcome: usize = 0;
export const RATED_POWER: i32 = 0;
export const LIMIT: i32 = 1;
export const LIMIT_NODE: i32 = 2;
export const LIMIT_POLE: i32 = 3;
export const SWEEPS: i32 = 4;
export const SEEMS: i32 = 5;
/** Contacts at the front edge met so far: see mount.ts. */
export let patches: usize = 0;
/** `[unit × UNIT_FIELDS]`, what the host mounts: see mount.ts. */
export let units: usize = 0;
export const UNIT_FIELDS: i32 = 16;
/** `[source × STATES_AT_ONCE]` and `[STATES_AT_ONCE]`: see start.ts. */
export let stateWeight: usize = 0;
export let squares: usize = 0;
/** W, `[STATES_AT_ONCE]`: what states looked at seem to carry, and what they surely do. */
export let seems: usize = 0;
export let surely: usize = 0;
export const STATES_AT_ONCE: i32 = 8;
/** The first convection table; the others follow. */
export let tables: usize = 0;

/** Lays everything out for a rack. @returns bytes needed */
export function layOut(slots: i32, tableCount: i32, tableBytes: i32): usize {
  const n = slots;
  slotCount = n;
  top = (__heap_base + 15) & ~15;
  temperature = numbers(2 * n);
  contactHeat = numbers(2 * n);
  segmentOffset = numbers(2 * n);
  segmentSlope = numbers(2 * n);
  segmentConductance = numbers(2 * n);
  emissivity = numbers(2 * n);
  nominalEmissivity = numbers(2 * n);
  envelope = numbers(2 * n);
  black = numbers(2 * n);
  heat = numbers(2 * n);
  heatSlope = numbers(2 * n);
  airPull = numbers(2 * n);
  change = numbers(2 * n);
  rate = numbers(2 * n);
  multiplier = numbers(2 * n);
  frozenPivot = numbers(2 * n);
  frozenMultiplier = numbers(2 * n);
  coarseRise = numbers(2 * n);
  spreadingHeat = numbers(2 * n);
  mutualVoltage = numbers(2 * n);
  spreadingHeatSlope = numbers(2 * n);
  edgeCurrent = numbers(2 * n);
  edgeHeat = numbers(2 * n);
  hotSpotOwnRate = numbers(2 * n);
  sheetOffset = numbers(2 * n);
  sheetSlope = numbers(2 * n);
  sheetThermal = numbers(2 * n);
  nominalSegmentOffset = numbers(2 * n);
  nominalSegmentSlope = numbers(2 * n);
  nominalSegmentConductance = numbers(2 * n);
  jointResistance = numbers(2 * n);
  nominalSheetOffset = numbers(2 * n);
  nominalSheetSlope = numbers(2 * n);
  nominalSheetThermal = numbers(2 * n);
  patchMean = numbers(2 * n);
  patchMiddle = numbers(2 * n);
  feltAtMost = numbers(2 * n);
  ownHeat = numbers(2 * n);
  ownHeatSlope = numbers(2 * n);
  feltMore = numbers(2 * n);
  depth = numbers(2 * n);
  tableOf = wholes(2 * n);
  sectionFirst = wholes(2 * n);
  lastTemperature = numbers(2 * n);
  storage = numbers(2 * n);
  heldTemperature = numbers(2 * n);
  returnCurrent = numbers(n);
  loadReturnCurrent = numbers(n);
  sourceReturnCurrent = numbers(n);
  frameVoltage = numbers(n);
  frameShift = numbers(n);
  heldVoltage = numbers(n);
  frameCurrent = numbers(2 * n);
  frameMost = numbers(2 * n);
  frameNode = wholes(2 * n);
  frameLimit = wholes(2 * n);
  mutual = numbers(2 * n * n);
  mutualOfEither = numbers(n * n + BEYOND);
  edgeAmperes = numbers(n + BEYOND);
  air = numbers(n);
  airBase = numbers(n);
  airProfile = numbers(n);
  airSlope = numbers(n);
  unitConductance = numbers(n);
  unitRise = numbers(n);
  segmentCurrent = numbers(n);
  loopResistance = numbers(n);
  contactVoltage = numbers(n);
  ownSpreading = numbers(n);
  edgeVoltage = numbers(n);
  coarseVoltage = numbers(n);
  voltage = numbers(n);
  injected = numbers(n);
  ownCurrent = numbers(n);
  ownVoltage = numbers(n);
  ownEdgeVoltage = numbers(n);
  ownFed = numbers(n);
  drop = numbers(n);
  sentSlope = numbers(n);
  sentCurrent = numbers(n);
  edgeSlot = wholes(n);
  feltFrom = wholes(n);
  feltTo = wholes(n);
  loadAt = wholes(n);
  sourceAt = wholes(n);
  active = wholes(n);
  loadNode = wholes(n);
  loadResistance = numbers(2 * n);
  loadThermalResistance = numbers(n);
  loadHeatShare = numbers(n);
  loadEdgeHeight = numbers(n);
  loadCurrent = numbers(n);
  share = numbers(n);
  sourceNode = wholes(n);
  sourceResistance = numbers(2 * n);
  sourceThermalResistance = numbers(n);
  sourceHeatShare = numbers(n);
  sourceEdgeHeight = numbers(n);
  sourceCurrent = numbers(n);
  sharingWeight = numbers(n);
  droopResistance = numbers(n);
  sourceWeight = numbers(n);
  seriesResistance = numbers(n);
  byBottomVoltage = numbers(n);
  byTotalCurrent = numbers(n);
  loadSlope = numbers(n);
  maxCurrent = numbers(n);
  maxPower = numbers(n);
  unknowns = numbers(2);
  heldUnknowns = numbers(2);
  outcome = numbers(8);
  patches = numbers(64);
  units = numbers(UNIT_FIELDS * n);
  stateWeight = numbers(STATES_AT_ONCE * n);
  squares = numbers(STATES_AT_ONCE);
  seems = numbers(STATES_AT_ONCE);
  surely = numbers(STATES_AT_ONCE);
  tables = bytes(<usize>tableCount * <usize>tableBytes);
  return top;
}
