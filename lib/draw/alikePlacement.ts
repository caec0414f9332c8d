import { ArrangementGraph, type Piece, type PieceWeights } from './arrangementGraph.js';
import { rulesBetween, type RuledPiece } from './pieceRules.js';
import { countsOf } from './placementAutomata.js';
import type { RandomStream } from './randomStream.js';
import type { RuleBook } from './ruleBook.js';
import { allOf, TooManyStates, type SlotAutomaton } from './slotAutomaton.js';
import { SpacedPlacements } from './spacedPlacements.js';
import type { StandingUnits } from './standingUnits.js';

/** Placements tried before a condition that the quick count does not know is counted exactly. */
const TRIES = 64;
/** Tried where they cannot be counted. */
const LAST_TRIES = 2000;

/**
 * Uniform placements of alike load units among what stands already, every rule on places kept.
 *
 * Three ways to count, chosen by the rules between the units themselves: one-slot units that do not mind each other
 * (any subset of the places), units that keep a distance or are higher than a slot (see SpacedPlacements), units kept
 * together (one block). Exact while the number of
 * placements is below 2⁵³, to 2⁻⁵³ per choice beyond.
 */
export class AlikePlacement {
  /** `[bottomSlot]`, 1-based: 1 where one unit may stand, as `prepare` found it. */
  readonly permitted: Uint8Array;
  /** The permitted bottoms, in no kept order once something was drawn; the first `placeCount` entries. */
  readonly places: Int32Array;
  placeCount = 0;
  /** The most units that can stand, distance and block rules kept. */
  most = 0;
  private readonly distance: number;
  private readonly oneBlock: boolean;
  private readonly step: number;
  private readonly spaced: SpacedPlacements;
  /** `[bottomSlot]`: how many units can stand on each other from here up. */
  private readonly chain: Int32Array;
  private readonly marked: Uint8Array;

  constructor(
    private readonly book: RuleBook,
    private readonly type: number,
    private readonly heightSlots: number,
  ) {
    const { slotCount } = book;
    this.permitted = new Uint8Array(slotCount + 2);
    this.places = new Int32Array(slotCount);
    this.chain = new Int32Array(slotCount + heightSlots + 2);
    this.marked = new Uint8Array(slotCount + 2);
    let distance = book.mayNotTouch[type * book.permittedSlots.length + type];
    for (const rule of book.apart) if (rule.members[type] === 1) distance = Math.max(distance, rule.slotsBetween);
    this.distance = distance;
    this.step = heightSlots + distance;
    this.spaced = new SpacedPlacements(slotCount, this.step, this.permitted);
    this.oneBlock = book.together.some((members) => members[type] === 1);
  }

  /**
   * Looks at what stands.
   * @param tiled true: only places that do not overlap, taken from the bottom of each free stretch
   */
  prepare(standing: StandingUnits, tiled = false): void {
    const { permitted, places, heightSlots, type, book } = this;
    this.placeCount = 0;
    for (let slot = 1; slot <= book.slotCount; slot++) {
      permitted[slot] = standing.fits(type, slot, heightSlots) ? 1 : 0;
      if (permitted[slot] === 0) continue;
      places[this.placeCount++] = slot;
      if (tiled) for (let covered = 1; covered < heightSlots; covered++) permitted[++slot] = 0;
    }
    this.spaced.forget();
    const room = Math.floor((standing.freeSlots - book.minFreeSlots) / heightSlots);
    this.most = Math.max(0, Math.min(room, this.mostByDistance()));
    if (this.oneBlock) this.most = Math.min(this.most, this.longestChain());
  }

  /** How many placements of `units` units there are. */
  count(units: number): number {
    if (units === 0) return 1;
    if (units > this.most) return 0;
    if (this.oneBlock) return this.blockCount(units);
    if (this.step > 1) return this.spaced.count(units);
    let count = 1;
    for (let k = 0; k < units; k++) count = (count * (this.placeCount - k)) / (k + 1);
    return count;
  }

  /** Draws one placement of `units` ≤ `most` units, each equally likely; lowest slots into `bottoms`, ascending. */
  draw(units: number, stream: RandomStream, bottoms: Int32Array): void {
    if (units > this.most) throw new RangeError(`${units} units do not fit, ${this.most} do`);
    if (this.oneBlock && units > 0) this.drawBlock(units, stream, bottoms);
    else if (this.step > 1) this.spaced.draw(units, stream, bottoms);
    else this.drawSubset(units, stream, bottoms);
  }

  /**
   * The same among the placements that a further condition accepts: first by rejection, then, after 64 rejections, by
   * counting the accepted ones alone. Both give each accepted placement equally often.
   * @param condition the same condition as an automaton, for counting
   * @returns false when no placement is accepted
   * @throws TooManyStates when none was met in 2000 more tries and they are too many to count
   */
  drawWhere(
    units: number,
    stream: RandomStream,
    bottoms: Int32Array,
    accepted: (bottoms: Int32Array) => boolean,
    condition: () => SlotAutomaton,
  ): boolean {
    if (units > this.most) return false;
    for (let attempt = 0; attempt < TRIES; attempt++) {
      this.draw(units, stream, bottoms);
      if (accepted(bottoms)) return true;
    }
    let graph: ArrangementGraph;
    try {
      graph = this.graph({ min: units, max: units }, condition());
    } catch (error) {
      if (!(error instanceof TooManyStates)) throw error;
      for (let attempt = 0; attempt < LAST_TRIES; attempt++) {
        this.draw(units, stream, bottoms);
        if (accepted(bottoms)) return true;
      }
      throw error;
    }
    if (!(graph.total > 0)) return false;
    graph.draw(stream, new Int32Array(units), bottoms);
    return true;
  }

  /** Every allowed placement of min..max units that the condition accepts. */
  graph(
    units: { readonly min: number; readonly max: number },
    condition: SlotAutomaton,
    weights: PieceWeights | null = null,
  ): ArrangementGraph {
    const { type, heightSlots, permitted, book } = this;
    const piece: Piece & RuledPiece = { type, heightSlots, permittedBottoms: permitted, maxCount: units.max };
    const automaton = allOf([countsOf([units]), ...rulesBetween(book, [piece]), condition]);
    return new ArrangementGraph(book.slotCount, [piece], automaton, weights);
  }

  private mostByDistance(): number {
    let most = 0;
    let next = 1;
    // Taking the lowest possible place each time leaves the most room for units of one height.
    for (let at = 0; at < this.placeCount; at++) {
      if (this.places[at] < next) continue;
      most++;
      next = this.places[at] + this.step;
    }
    return most;
  }

  private longestChain(): number {
    const { chain, permitted, heightSlots, distance } = this;
    let longest = 0;
    for (let slot = this.book.slotCount; slot >= 1; slot--) {
      const above = distance > 0 ? 0 : chain[slot + heightSlots];
      chain[slot] = permitted[slot] === 1 ? 1 + above : 0;
      longest = Math.max(longest, chain[slot]);
    }
    return longest;
  }

  private blockCount(units: number): number {
    let count = 0;
    for (let slot = 1; slot <= this.book.slotCount; slot++) if (this.chain[slot] >= units) count++;
    return count;
  }

  private drawBlock(units: number, stream: RandomStream, bottoms: Int32Array): void {
    let left = stream.integerBelow(this.blockCount(units));
    let slot = 1;
    while (this.chain[slot] < units || left-- > 0) slot++;
    for (let unit = 0; unit < units; unit++) bottoms[unit] = slot + unit * this.heightSlots;
  }

  /** Partial Fisher–Yates shuffle of the places, then read off in order. */
  private drawSubset(units: number, stream: RandomStream, bottoms: Int32Array): void {
    const { places, placeCount, marked } = this;
    // Whichever is fewer is drawn: the places taken or those left.
    const drawTaken = units * 2 <= placeCount;
    const draws = drawTaken ? units : placeCount - units;
    for (let at = 0; at < draws; at++) {
      const other = at + stream.integerBelow(placeCount - at);
      const place = places[other];
      places[other] = places[at];
      places[at] = place;
      marked[place] = 1;
    }
    let unit = 0;
    for (let slot = 1; slot <= this.book.slotCount; slot++) {
      if (this.permitted[slot] === 1 && (marked[slot] === 1) === drawTaken) bottoms[unit++] = slot;
      marked[slot] = 0;
    }
  }
}
