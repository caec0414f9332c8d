import { InputError } from '../rack/errors.js';
import type { LoadsDraw } from '../rack/studyModel.js';
import { AlikePlacement } from './alikePlacement.js';
import { slotsWithin } from './evenLoads.js';
import { NO_PLACEMENT, type LoadDemand, type LoadsPlacer } from './loadsPlacer.js';
import type { RandomStream } from './randomStream.js';
import { permittedBottoms, shareInBand, withinCap, type RuleBook } from './ruleBook.js';
import type { SlotAutomaton } from './slotAutomaton.js';
import { slotLimits } from './slotLimits.js';
import type { StandingUnits } from './standingUnits.js';
import type { UnitType } from './unitTypes.js';
import { kilowatts } from './words.js';

const TRIES = 64;

/**
 * Draw `all-or-nothing`: every free place full (at the cap) with the given chance, else empty, independently, given
 * that at least one is full and the rules hold.
 *
 * A place is a slot the load may take; for a load of several slots each free stretch is cut into places from its
 * bottom. With m of the M places full a placement weighs chance^m·(1−chance)^(M−m): m is drawn with the number of
 * allowed placements of m units times that weight, then the placement uniformly. Caps on bands are met by rejection
 * and, after 64 rejections, by weighing the allowed placements alone; both are exact. With chance 1 as many places are
 * full as the rules allow.
 */
export class AllOrNothingLoads implements LoadsPlacer {
  readonly demands: readonly LoadDemand[];
  private readonly type: UnitType;
  private readonly placement: AlikePlacement;
  private readonly bottoms: Int32Array;
  private readonly logWeights: Float64Array;
  private readonly pieces: Int32Array;

  /** @throws InputError when the chance is outside 0 < chance ≤ 1 */
  constructor(
    private readonly book: RuleBook,
    private readonly draw: Extract<LoadsDraw, { draw: 'all-or-nothing' }>,
  ) {
    if (!(draw.chanceFull > 0 && draw.chanceFull <= 1)) {
      const found = String(draw.chanceFull);
      throw new InputError([
        { file: 'study', path: 'loads.chanceFull', found, allowed: 'above 0, up to 1 is allowed' },
      ]);
    }
    this.type = book.types.load(draw.id, 'loads.id');
    const { index, heightSlots } = this.type;
    this.placement = new AlikePlacement(book, index, heightSlots);
    this.bottoms = new Int32Array(book.slotCount);
    this.pieces = new Int32Array(book.slotCount);
    this.logWeights = new Float64Array(book.slotCount + 1);
    this.demands = [
      {
        words: `one unit of "${draw.id}" at ${kilowatts(draw.cap)}`,
        hopeless: withinCap(draw.cap / heightSlots, book.powerPerSlot)
          ? null
          : `each unit draws ${kilowatts(draw.cap / heightSlots)} per slot and the cap is ` +
            kilowatts(book.powerPerSlot),
        sought: () => {
          const bottoms = permittedBottoms(book, index, heightSlots);
          bottoms.forEach((allowed, bottom) => {
            if (allowed === 1 && !this.keepsBands(Int32Array.of(bottom), 1)) bottoms[bottom] = 0;
          });
          return [{ type: index, heightSlots, maxCount: 1, permittedBottoms: bottoms, condition: null, worth: null }];
        },
      },
    ];
  }

  begin(): number {
    return 0;
  }

  place(_demand: number, standing: StandingUnits, stream: RandomStream): number {
    const { placement, bottoms, type, draw } = this;
    placement.prepare(standing, true);
    const full = placement.most === 0 ? 0 : this.drawFull(stream);
    if (full === 0) return NO_PLACEMENT;
    for (let at = 0; at < full; at++) standing.put(type.index, bottoms[at], type.heightSlots, draw.cap);
    return 0;
  }

  describe(): string[] {
    const { id, cap, chanceFull } = this.draw;
    return [`loads: every free place holds "${id}" at ${kilowatts(cap)} with chance ${chanceFull}, at least one does`];
  }

  /** Fills `bottoms`. @returns how many, 0 where the caps on bands leave none */
  private drawFull(stream: RandomStream): number {
    const { placement, bottoms } = this;
    const certain = this.draw.chanceFull === 1;
    if (!certain) this.weighNumbers();
    for (let attempt = 0; attempt < TRIES; attempt++) {
      const full = certain ? placement.most : this.drawNumber(stream);
      placement.draw(full, stream, bottoms);
      if (this.keepsBands(bottoms, full)) return full;
    }
    return certain ? this.drawFullest(stream) : this.drawWeighed(stream);
  }

  /** As many full places as the caps on bands allow. */
  private drawFullest(stream: RandomStream): number {
    for (let full = this.placement.most; full > 0; full--) {
      const graph = this.placement.graph({ min: full, max: full }, this.bandLimits());
      if (graph.total > 0) return graph.draw(stream, this.pieces, this.bottoms);
    }
    return 0;
  }

  private drawWeighed(stream: RandomStream): number {
    const { placement } = this;
    const { chanceFull } = this.draw;
    const anyNumber = { min: 1, max: placement.most };
    // Only the ratio of the two matters; the root keeps both ends of it inside what a double holds.
    const root = Math.sqrt(chanceFull / (1 - chanceFull));
    const graph = placement.graph(anyNumber, this.bandLimits(), { placed: root, left: 1 / root });
    if (graph.total > 0 && graph.total < Infinity) return graph.draw(stream, this.pieces, this.bottoms);
    if (placement.graph(anyNumber, this.bandLimits()).total === 0) return 0;
    throw new RangeError(
      `loads.chanceFull: found ${chanceFull}; under these caps on bands a chance nearer to 1/2, or 1, is allowed`,
    );
  }

  private bandLimits(): SlotAutomaton {
    const { heightSlots } = this.type;
    return slotLimits(heightSlots, slotsWithin(this.book, this.draw.cap / heightSlots));
  }

  /** ln of (placements of m units)·chance^m·(1−chance)^(M−m), less a constant, for m = 1..most. */
  private weighNumbers(): void {
    const { placement, logWeights } = this;
    const { chanceFull } = this.draw;
    placement.count(placement.most); // once for the largest: the smaller ones come from the same table
    for (let m = 1; m <= placement.most; m++) {
      const full = m * Math.log(chanceFull);
      const empty = m < placement.placeCount ? (placement.placeCount - m) * Math.log1p(-chanceFull) : 0;
      logWeights[m] = Math.log(placement.count(m)) + full + empty;
    }
  }

  private drawNumber(stream: RandomStream): number {
    const { logWeights } = this;
    const { most } = this.placement;
    let largest = -Infinity;
    for (let m = 1; m <= most; m++) largest = Math.max(largest, logWeights[m]);
    let sum = 0;
    for (let m = 1; m <= most; m++) sum += Math.exp(logWeights[m] - largest);
    let left = stream.double() * sum;
    for (let m = 1; m < most; m++) {
      left -= Math.exp(logWeights[m] - largest);
      if (left < 0) return m;
    }
    return most;
  }

  private keepsBands(bottoms: Int32Array, count: number): boolean {
    const { heightSlots } = this.type;
    return this.book.powerInBand.every((band) => {
      let units = 0;
      for (let at = 0; at < count; at++) units += shareInBand(band, bottoms[at], heightSlots);
      return withinCap(units * this.draw.cap, band.power);
    });
  }
}
