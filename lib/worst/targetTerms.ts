/**
 * What one slot of one pole gets from each part of a placement, as terms of a placement program: kelvin of rise from
 * segments, sources and loads. See PROOF.md for the inequalities.
 */
import type { SourcePiece } from '../draw/sourcePieces.js';
import type { Currents } from './currents.js';
import type { LoadOption } from './loadFamilies.js';
import type { PoleBound } from './poleBound.js';
import type { ProgramTerms } from './placementProgram.js';

/** Contact figures of a unit at their worst ends, on one pole. */
export interface WorstContact {
  /** Ω. */
  readonly resistance: number;
  readonly heatShare: number;
  /** m, 0 where it grips the whole depth. */
  readonly edgeHeight: number;
  /** K/W. */
  readonly thermalResistance: number;
}

/** W/K, and K above the local air. */
export interface HeatPath {
  readonly conductance: number;
  readonly rise: number;
}

export interface TargetCase {
  readonly bound: PoleBound;
  /** Slot index whose rise is bounded. */
  readonly slot: number;
  /**
   * rise: of the bar above the local air, which the exhaust of a load there warms too; bar: above the unloaded air;
   * contact: of the contact in the slot above the unloaded air, or of the bar where there is none.
   */
  readonly kind: 'rise' | 'bar' | 'contact';
  /** K, `[slot]`: temperatures that are not exceeded. */
  readonly warmest: Float64Array;
  readonly pieces: readonly SourcePiece[];
  readonly options: readonly LoadOption[];
  readonly sourceContact: readonly WorstContact[];
  readonly loadContact: readonly WorstContact[];
  /** Largest shares that units may have, `[option]`. */
  readonly largestShare: readonly number[];
  readonly smallestShare: readonly number[];
  readonly currents: Currents;
  /** K, rise at which the limit of kind `rise` is broken. */
  readonly limit: number;
  /** K/W of load in a slot. */
  readonly exhaustRise: number;
  /** Heat paths of the units, `[piece]` and `[option]`. */
  readonly sourcePath: readonly HeatPath[];
  readonly loadPath: readonly HeatPath[];
  readonly bins: number;
}

export interface Target {
  readonly terms: ProgramTerms;
  /** K, what is there without any load. */
  readonly constant: number;
}

/** Σ_k of what a contact feels, per ampere squared: heat of spreading, halved between every pair of contacts. */
function spreadingPerSquare(bound: PoleBound, worth: Float64Array, sheet: Float64Array, mean: number): Float64Array {
  const { mutual, from, to } = bound.spreading;
  const n = worth.length;
  return Float64Array.from({ length: n }, (_, j) => {
    let sum = mean * sheet[j] * worth[j];
    for (let k = from[j]; k <= to[j]; k++) sum += 0.5 * mutual[j * n + k] * (sheet[j] * worth[j] + sheet[k] * worth[k]);
    return sum;
  });
}

/**
 * Whether the heat path of the slot's own unit may warm its hot spot. A path brings heat to a bar below its own rise only,
 * and a bar that cool would have to be taken to a limit on its rise by its hot spot alone: mostly it cannot. A limit on
 * a temperature may be met by a cool bar all the same, with warm air or in a contact.
 */
function ownPathCounts(given: TargetCase, thermal: number, middle: number, sheet: number): boolean {
  const { bound, slot, warmest, currents, sourceContact, loadContact, largestShare, limit, kind } = given;
  if (kind !== 'rise') return true;
  const paths = [...given.sourcePath, ...given.loadPath];
  const heat = Math.max(0, ...paths.map(({ conductance, rise }) => conductance * rise));
  const { mutual, from, to } = bound.spreading;
  const n = warmest.length;
  let felt = 0;
  for (let k = from[slot]; k <= to[slot]; k++) felt += mutual[slot * n + k];
  // Every contact of the neighbourhood at the hottest there can be.
  const spread = sheet * (Math.max(0, middle) + felt);
  const hottest = Math.max(
    ...sourceContact.map(({ resistance }) => currents.largestSource ** 2 * (resistance + spread)),
    ...loadContact.map(({ resistance }, o) => (largestShare[o] * currents.perShare) ** 2 * (resistance + spread)),
  );
  const cool = Math.max(...paths.map(({ rise }) => rise)) + thermal * (felt + middle) * (hottest + heat);
  return !(cool < limit);
}

/** The terms of one target. */
export function targetTerms(given: TargetCase): Target {
  const { bound, slot, warmest, pieces, options, sourceContact, loadContact, currents, bins } = given;
  const n = warmest.length;
  const green = new Float64Array(n);
  bound.green(slot, green);
  const contacts = [...sourceContact, ...loadContact].filter(({ edgeHeight }) => edgeHeight > 0);
  const edge = contacts.length > 0;
  const lowest = edge ? Math.min(...contacts.map(({ edgeHeight }) => edgeHeight)) : 0;
  const patch = Array.from({ length: n }, (_, i) => bound.patch(i, lowest));
  const thermal = bound.sheetThermal[slot];
  /** K/W: what a watt at the front edge of a slot adds, mean and hot spot together. */
  const atEdge = green.map((g, k) => g
    + (edge ? thermal * (bound.spreading.mutual[slot * n + k] + (k === slot ? patch[slot].middle : 0)) : 0));
  const sheet = Float64Array.from(warmest, (t, i) => bound.sheetResistance(i, t));
  const spreading = edge ? spreadingPerSquare(bound, atEdge, sheet, Math.max(...patch.map(({ mean }) => Math.max(0, mean))))
    : new Float64Array(n);
  const perSquare = ({ resistance, heatShare, edgeHeight }: WorstContact) => Float64Array.from({ length: n }, (_, i) => (
    edgeHeight > 0 ? resistance * heatShare * atEdge[i] + spreading[i] : resistance * heatShare * green[i]));

  /** K/A² of a contact above the bar, counted where the contact itself is the target. */
  const contactStep = ({ resistance, thermalResistance }: WorstContact) => Float64Array.from({ length: n }, (_, i) => (
    given.kind === 'contact' && i === slot ? resistance * thermalResistance : 0));
  const joule = Float64Array.from({ length: Math.max(0, n - 1) }, (_, j) => (
    0.5 * (green[j] + green[j + 1]) * bound.segmentResistance(j, warmest)));
  const segment = currents.largestSquares(bins).map((squares) => {
    const terms = new Float64Array(squares.length * Math.max(0, n - 1));
    for (let j = 0; j < n - 1; j++) for (let g = 0; g <= bins; g++) terms[j * (bins + 1) + g] = joule[j] * squares[g];
    return terms;
  });
  const own = edge && ownPathCounts(given, thermal, patch[slot].middle, Math.max(...sheet));
  /** K that a unit's heat path adds with the contact in a slot, `[slot]`: to the mean, and to the hot spot. */
  const pathRise = (path: HeatPath, { edgeHeight }: WorstContact) => Float64Array.from({ length: n }, (_, i) => (
    green[i] * bound.pathHeat(i, path)
    + (edgeHeight > 0 && (own || i !== slot) ? (atEdge[i] - green[i]) * path.conductance * Math.max(0, path.rise) : 0)));
  const idleSource = pieces.map((_, p) => pathRise(given.sourcePath[p], sourceContact[p]));
  const source = pieces.map((_, p) => {
    const path = idleSource[p];
    const step = contactStep(sourceContact[p]);
    return perSquare(sourceContact[p]).map((k, i) => (k + step[i]) * currents.largestSource ** 2 + path[i]);
  });
  const loadOffset: Float64Array[] = [];
  const loadSlope: Float64Array[] = [];
  options.forEach(({ type, heightSlots }, o) => {
    const step = contactStep(loadContact[o]);
    const square = perSquare(loadContact[o]).map((k, i) => (k + step[i]) * currents.perShare ** 2);
    const [lo, hi] = [given.smallestShare[o], given.largestShare[o]];
    const warming = (currents.power * given.exhaustRise) / heightSlots;
    const path = pathRise(given.loadPath[o], loadContact[o]);
    loadOffset.push(square.map((k, i) => path[i] - k * lo * hi));
    loadSlope.push(square.map((k, contact) => {
      // y² ≤ (lo + hi)·y − lo·hi between lo and hi.
      let slope = k * (lo + hi);
      const bottom = contact - type.contactSlot + 1;
      for (let s = Math.max(0, bottom); s < Math.min(n, bottom + heightSlots); s++) slope += bound.slope[s] * green[s] * warming;
      if (given.kind === 'rise' && slot >= bottom && slot < bottom + heightSlots) slope -= warming;
      return slope;
    }));
  });
  let constant = 0;
  for (let j = 0; j < n; j++) constant += green[j] * bound.constant[j];
  return { terms: { segment, source, idleSource, loadOffset, loadSlope }, constant };
}
