/**
 * The largest value that a sum over the slots can take over all placements of sources and loads: dynamic programming from
 * the lowest slot upwards over (what the source rules remember, sources in service so far, share of the load so far).
 *
 * The share of the load with contacts up to a slot, X, is kept in bins: bin g stands for g/bins ≤ X < (g+1)/bins, and the
 * last one for X = 1. A unit of share y moves X by ⌊y·bins⌋ or ⌈y·bins⌉ bins, so that every real placement is a path here.
 * What a bin contributes is the most that any X in it does: the value is an upper bound on all placements.
 */
import { BROKEN, type SlotAutomaton } from '../draw/slotAutomaton.js';
import { sourceAutomaton } from '../draw/sourceArrangements.js';
import { type SourcePiece, sourcePieces } from '../draw/sourcePieces.js';
import type { RuleBook } from '../draw/ruleBook.js';
import type { OperatingStateRule, Study } from '../rack/index.js';
import { type LoadFamily, powerWithin } from './loadFamilies.js';

/** What the program adds up for one quantity, e.g. the rise of one slot. */
export interface ProgramTerms {
  /** Most that the segment above a slot adds with n sources in service below it and X in a bin: `[n][segment × bin]`. */
  readonly segment: readonly Float64Array[];
  /** Of a source in service with its contact in a slot, `[piece][slot]`, index 0 is slot 1. */
  readonly source: readonly Float64Array[];
  /** The same of a source that carries nothing. */
  readonly idleSource: readonly Float64Array[];
  /** Of a load with its contact in a slot: offset + slope·y, `[option][slot]`. */
  readonly loadOffset: readonly Float64Array[];
  readonly loadSlope: readonly Float64Array[];
}

/** A part of all placements. */
export interface PlacementClass {
  readonly family: LoadFamily;
  /** Part of the family's total. */
  readonly total: { readonly min: number; readonly max: number };
  /** Slots of the lowest and of the highest contact of a source in service. */
  readonly lowestSource: { readonly min: number; readonly max: number };
  readonly highestSource: { readonly min: number; readonly max: number };
}

/** One unit of a placement found by the program; power is its share of the load. */
export interface ProgramUnit {
  readonly piece: number;
  readonly option: number;
  readonly bottomSlot: number;
  readonly share: number;
  /** Of a source. */
  readonly inService: boolean;
}

interface Edge {
  readonly to: number;
  /** −1: empty; a source piece otherwise. */
  readonly piece: number;
  readonly active: boolean;
}

interface Node {
  readonly slot: number;
  readonly active: number;
  readonly edges: Edge[];
  /** Node after a load of so many slots, `[height]`. */
  readonly afterLoad: number[];
}

/** Bins; a share this near to a whole number of bins is one. What that errs by is within the slack for rounding. */
const WHOLE = 1e-10;
const NOTHING = Number.NEGATIVE_INFINITY;
/** Largest number of nodes of a program. */
const NODE_LIMIT = 20_000;

export class PlacementProgram {
  readonly pieces: readonly SourcePiece[];
  /** Sources in service when the placement is complete. */
  readonly inService: number;
  private readonly nodes: Node[] = [];
  private readonly layers: number[][];
  private readonly slotCount: number;
  private values: Float64Array[] = [];
  private from: Int32Array[] = [];
  private bins = 0;
  /** Whether a node has any value, `[node]`. */
  private reached = new Uint8Array(0);
  // Sliding window.
  private readonly queue: Int32Array;
  private keyed: Float64Array = new Float64Array(0);

  /**
   * @param heights heights of the loads that may stand, slots
   * @throws RangeError where the source rules remember too much
   */
  constructor(study: Study, book: RuleBook, readonly rule: OperatingStateRule, heights: readonly number[]) {
    this.slotCount = book.slotCount;
    this.pieces = sourcePieces(study, book);
    this.layers = Array.from({ length: this.slotCount + 2 }, () => []);
    this.queue = new Int32Array(1 << 13);
    const automaton = sourceAutomaton(study, book, this.pieces);
    const feeding = this.pieces.filter((piece) => this.feeds(piece)).reduce((sum, { count }) => sum + count, 0);
    this.inService = rule === 'one-source-out' ? feeding - 1 : feeding;
    this.explore(automaton, [...new Set(heights)]);
  }

  /** Whether sources of this piece carry load in this kind of operating state. */
  feeds(piece: SourcePiece): boolean {
    return (piece.unitType.kind === 'battery-shelf') === (this.rule === 'batteries-alone');
  }

  private explore(automaton: SlotAutomaton, heights: readonly number[]): void {
    const index = new Map<string, number>();
    const accepted: boolean[] = [];
    const reach = (slot: number, state: number, active: number, out: number): number => {
      const key = `${slot} ${state} ${active} ${out}`;
      const known = index.get(key);
      if (known !== undefined) return known;
      const at = this.nodes.length;
      if (at >= NODE_LIMIT) throw new RangeError('the rules on sources remember too much for a bound on all placements');
      index.set(key, at);
      this.nodes.push({ slot, active, edges: [], afterLoad: [] });
      states.push([state, out]);
      accepted.push(slot > this.slotCount && automaton.accepts(state) && active === this.inService);
      this.layers[slot].push(at);
      return at;
    };
    const states: [number, number][] = [];
    reach(1, automaton.start, 0, 0);
    for (let slot = 1; slot <= this.slotCount; slot++) {
      for (const at of this.layers[slot]) {
        const node = this.nodes[at];
        const [state, out] = states[at];
        const empty = automaton.leaveEmpty(state, slot);
        if (empty !== BROKEN) {
          node.edges.push({ to: reach(slot + 1, empty, node.active, out), piece: -1, active: false });
        }
        this.pieces.forEach((piece, p) => {
          if (piece.permittedBottoms[slot] === 0 || slot + piece.heightSlots - 1 > this.slotCount) return;
          const next = automaton.place(state, p, slot);
          if (next === BROKEN) return;
          const top = slot + piece.heightSlots;
          const feeds = this.feeds(piece);
          if (feeds && node.active < this.inService) {
            node.edges.push({ to: reach(top, next, node.active + 1, out), piece: p, active: true });
          }
          if (!feeds || (this.rule === 'one-source-out' && out === 0)) {
            const taken = feeds ? 1 : out;
            node.edges.push({ to: reach(top, next, node.active, taken), piece: p, active: false });
          }
        });
        for (const height of heights) {
          let after = state;
          for (let s = slot; s < slot + height && after !== BROKEN; s++) after = automaton.leaveEmpty(after, s);
          node.afterLoad[height] = after === BROKEN || slot + height - 1 > this.slotCount
            ? -1 : reach(slot + height, after, node.active, out);
        }
      }
    }
    this.prune(accepted);
  }

  /** Takes out edges that lead to no complete placement. */
  private prune(accepted: readonly boolean[]): void {
    const alive = [...accepted];
    for (let slot = this.slotCount; slot >= 1; slot--) {
      this.layers[slot] = this.layers[slot].filter((at) => {
        const node = this.nodes[at];
        const kept = node.edges.filter(({ to }) => alive[to]);
        node.edges.splice(0, node.edges.length, ...kept);
        node.afterLoad.forEach((to, height) => {
          if (to < 0 || !alive[to]) node.afterLoad[height] = -1;
        });
        alive[at] = kept.length > 0 || node.afterLoad.some((to) => to !== undefined && to >= 0);
        return alive[at];
      });
    }
    this.layers[this.slotCount + 1] = this.layers[this.slotCount + 1].filter((at) => alive[at]);
  }

  /**
   * The most that any placement of the class adds up to; −∞ where the class holds none.
   * @param trace whether {@link tracedPlacement} shall be asked afterwards
   */
  most(terms: ProgramTerms, part: PlacementClass, bins: number, trace = false): number {
    this.prepare(bins, trace);
    const { family, total, lowestSource, highestSource } = part;
    const { slotCount, layers, nodes, values, reached } = this;
    const shares = family.options.map((_, o) => {
      const { min, max } = powerWithin(family, total, o);
      return { lo: min / total.max, hi: max / total.min };
    });
    values[0][0] = 0;
    reached[0] = 1;
    for (let slot = 1; slot <= slotCount; slot++) {
      const [low, high] = this.window(family, total, slot - 1);
      for (const at of layers[slot]) {
        const node = nodes[at];
        const value = values[at];
        if (reached[at] === 0) continue;
        value.fill(NOTHING, 0, low);
        value.fill(NOTHING, high + 1);
        for (const { to, piece, active } of node.edges) {
          if (piece < 0) {
            if (family.mayLeaveEmpty) this.step(at, to, terms, slot, slot, slot, 0, -2);
            continue;
          }
          const { heightSlots, unitType } = this.pieces[piece];
          const contact = slot + unitType.contactSlot - 1;
          if (active && node.active === 0 && (contact < lowestSource.min || contact > lowestSource.max)) continue;
          if (active && node.active === this.inService - 1
            && (contact < highestSource.min || contact > highestSource.max)) continue;
          const added = (active ? terms.source : terms.idleSource)[piece][contact - 1];
          this.step(at, to, terms, slot, contact, slot + heightSlots - 1, added, -3 - 2 * piece - (active ? 0 : 1));
        }
        family.options.forEach(({ type, heightSlots, bottoms }, option) => {
          const to = node.afterLoad[heightSlots];
          if (to < 0 || bottoms[slot] === 0) return;
          const contact = slot + type.contactSlot - 1;
          const { lo, hi } = shares[option];
          if (lo > 1) return;
          this.load(at, to, terms, slot, contact, slot + heightSlots - 1, lo, Math.min(1, hi), option);
        });
      }
    }
    let best = NOTHING;
    for (const at of layers[slotCount + 1]) best = Math.max(best, values[at][bins]);
    return best;
  }

  private prepare(bins: number, trace: boolean): void {
    if (this.bins !== bins) {
      this.bins = bins;
      this.values = this.nodes.map(() => new Float64Array(bins + 1).fill(NOTHING));
      this.reached = new Uint8Array(this.nodes.length);
      this.keyed = new Float64Array(bins + 1);
      this.from = [];
    }
    if (trace && this.from.length === 0) this.from = this.nodes.map(() => new Int32Array(3 * (bins + 1)));
    this.tracing = trace;
    for (let at = 0; at < this.nodes.length; at++) if (this.reached[at] === 1) this.values[at].fill(NOTHING);
    this.reached.fill(0);
  }

  private tracing = false;

  /** Bins that X may be in after so many slots. */
  private window(family: LoadFamily, total: PlacementClass['total'], slots: number): [number, number] {
    const { bins, slotCount } = this;
    const { atOneEnd, leastPerSlot, freeSlots, options } = family;
    let low = 0;
    let high = 1;
    if (atOneEnd !== null) {
      low = 1 - atOneEnd[slotCount - slots] / total.min;
      high = atOneEnd[slots] / total.min;
    }
    // Where no slot may stay empty, every slot that sources do not take holds its least.
    const overhang = Math.max(...options.map(({ heightSlots }) => heightSlots)) - 1;
    const sourceSlots = slotCount - freeSlots;
    const least = (count: number) => (leastPerSlot * Math.max(0, count - sourceSlots - overhang)) / total.max;
    low = Math.max(low, least(slots));
    high = Math.min(high, 1 - least(slotCount - slots));
    return [Math.max(0, Math.floor(low * bins - 1e-9)), Math.min(bins, Math.floor(high * bins + 1e-9))];
  }

  /** An empty slot or a source: X stays. */
  private step(
    at: number, to: number, terms: ProgramTerms, bottom: number, contact: number, top: number, added: number, kind: number,
  ): void {
    const { bins, values, nodes, slotCount } = this;
    this.reached[to] = 1;
    const value = values[at];
    const target = values[to];
    const before = terms.segment[nodes[at].active];
    const after = terms.segment[nodes[to].active];
    for (let g = 0; g <= bins; g++) {
      if (value[g] === NOTHING) continue;
      let sum = value[g] + added;
      for (let j = bottom; j < contact; j++) sum += before[(j - 1) * (bins + 1) + g];
      for (let j = contact; j <= top && j < slotCount; j++) sum += after[(j - 1) * (bins + 1) + g];
      if (sum > target[g]) {
        target[g] = sum;
        if (this.tracing) this.note(to, g, at, g, kind);
      }
    }
  }

  /** A load of share lo to hi. */
  private load(
    at: number, to: number, terms: ProgramTerms, bottom: number, contact: number, top: number, lo: number, hi: number,
    option: number,
  ): void {
    const { bins, values, nodes, keyed, queue, slotCount } = this;
    const value = values[at];
    const target = values[to];
    const segment = terms.segment[nodes[at].active];
    const offset = terms.loadOffset[option][contact - 1];
    const slope = terms.loadSlope[option][contact - 1];
    const fewest = Math.max(0, Math.floor(lo * bins + WHOLE));
    const most = Math.ceil(hi * bins - WHOLE);
    let first = bins + 1;
    let last = -1;
    for (let g = 0; g <= bins; g++) {
      let sum = value[g];
      if (sum > NOTHING) {
        for (let j = bottom; j < contact; j++) sum += segment[(j - 1) * (bins + 1) + g];
        if (g < first) first = g;
        last = g;
      }
      keyed[g] = sum;
    }
    if (last < 0) return;
    this.reached[to] = 1;
    // A move by d bins may be any share within a bin of d/bins, and within lo..hi.
    const worth = (d: number) => offset + (slope >= 0
      ? slope * Math.min(hi, (d + 1) / bins) : slope * Math.max(lo, (d - 1) / bins));
    // Where the share is not cut off at lo or hi it is linear in d: a sliding window finds the best of those.
    const from = slope >= 0 ? fewest : Math.max(fewest, Math.ceil(lo * bins) + 1);
    const until = slope >= 0 ? Math.min(most, Math.floor(hi * bins) - 1) : most;
    const perBin = slope / bins;
    const shift = offset + (slope >= 0 ? perBin : -perBin);
    const rest: number[] = [];
    for (let d = fewest; d <= most; d++) if (d < from || d > until) rest.push(d);
    let head = 0;
    let tail = 0;
    let next = first;
    for (let g = first + fewest; g <= Math.min(bins, last + most); g++) {
      let best = NOTHING;
      let source = -1;
      if (from <= until) {
        for (; next <= last && next <= g - from; next++) {
          if (keyed[next] === NOTHING) continue;
          const key = keyed[next] - perBin * next;
          while (tail > head && keyed[queue[tail - 1]] - perBin * queue[tail - 1] <= key) tail--;
          queue[tail++] = next;
        }
        while (head < tail && queue[head] < g - until) head++;
        if (head < tail) {
          source = queue[head];
          best = keyed[source] + perBin * (g - source) + shift;
        }
      }
      for (const d of rest) {
        const s = g - d;
        if (s < first || s > last || keyed[s] === NOTHING) continue;
        const sum = keyed[s] + worth(d);
        if (sum > best) {
          best = sum;
          source = s;
        }
      }
      if (source < 0) continue;
      for (let j = contact; j <= top && j < slotCount; j++) best += segment[(j - 1) * (bins + 1) + g];
      if (best > target[g]) {
        target[g] = best;
        if (this.tracing) this.note(to, g, at, source, option);
      }
    }
  }

  private note(to: number, g: number, at: number, source: number, kind: number): void {
    const from = this.from[to];
    from[3 * g] = at;
    from[3 * g + 1] = source;
    from[3 * g + 2] = kind;
  }

  /** Units of a placement that comes near the last traced value, from the bottom up. */
  tracedPlacement(): ProgramUnit[] {
    const { values, bins, nodes } = this;
    let at = -1;
    for (const end of this.layers[this.slotCount + 1]) if (at < 0 || values[end][bins] > values[at][bins]) at = end;
    const units: ProgramUnit[] = [];
    let g = bins;
    while (at > 0) {
      const [before, source, kind] = this.from[at].subarray(3 * g, 3 * g + 3);
      if (kind >= 0) {
        const share = (g - source) / bins;
        units.push({ piece: -1, option: kind, bottomSlot: nodes[before].slot, share, inService: false });
      } else if (kind <= -3) {
        const piece = (-3 - kind) >> 1;
        units.push({ piece, option: -1, bottomSlot: nodes[before].slot, share: 0, inService: (-3 - kind) % 2 === 0 });
      }
      g = source;
      at = before;
    }
    return units.reverse();
  }
}
