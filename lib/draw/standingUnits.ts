import { shareInBand, type RuleBook } from './ruleBook.js';

/**
 * What stands where while one placement is being built. Reused from scenario to scenario; slots 1-based.
 */
export class StandingUnits {
  /** Units so far; the arrays below hold that many. */
  count = 0;
  readonly type: Int32Array;
  readonly bottomSlot: Int32Array;
  readonly heightSlots: Int32Array;
  /** W as drawn, 0 for a source. */
  readonly power: Float64Array;
  freeSlots: number;
  /** `[slot]`: type + 1 of the unit that takes the slot, 0 where it is free (also just outside the rack). */
  readonly typeInSlot: Int32Array;
  /** `[band]` of the rule book: W drawn in the band. */
  private readonly bandPower: Float64Array;
  private readonly permittedSlots: readonly Uint8Array[];
  /** Whether any rule looks at what stands near a unit. */
  private readonly neighboursMatter: boolean;

  constructor(readonly book: RuleBook) {
    const { slotCount } = book;
    this.type = new Int32Array(slotCount);
    this.bottomSlot = new Int32Array(slotCount);
    this.heightSlots = new Int32Array(slotCount);
    this.power = new Float64Array(slotCount);
    this.typeInSlot = new Int32Array(slotCount + 2);
    this.bandPower = new Float64Array(book.powerInBand.length);
    this.permittedSlots = book.permittedSlots;
    this.neighboursMatter = book.mayNotTouch.includes(1) || book.apart.length > 0 || book.together.length > 0;
    this.freeSlots = slotCount;
  }

  clear(): void {
    this.typeInSlot.fill(0);
    this.bandPower.fill(0);
    this.freeSlots = this.book.slotCount;
    this.count = 0;
  }

  /** Puts a unit; the caller has made sure that it fits. */
  put(type: number, bottomSlot: number, heightSlots: number, power: number): void {
    const at = this.count++;
    this.type[at] = type;
    this.bottomSlot[at] = bottomSlot;
    this.heightSlots[at] = heightSlots;
    this.power[at] = power;
    // A loop: to call a fill takes longer for so few.
    for (let slot = bottomSlot; slot < bottomSlot + heightSlots; slot++) this.typeInSlot[slot] = type + 1;
    this.freeSlots -= heightSlots;
    if (this.bandPower.length > 0) this.addToBands(bottomSlot, heightSlots, power);
  }

  /** Takes out every unit after the first `count`. */
  keepFirst(count: number): void {
    for (let at = count; at < this.count; at++) {
      const bottomSlot = this.bottomSlot[at];
      this.typeInSlot.fill(0, bottomSlot, bottomSlot + this.heightSlots[at]);
      this.freeSlots += this.heightSlots[at];
    }
    this.count = count;
    // Summed again rather than subtracted: a difference would carry rounding from one placement to the next.
    this.bandPower.fill(0);
    for (let at = 0; at < count; at++) this.addToBands(this.bottomSlot[at], this.heightSlots[at], this.power[at]);
  }

  /** Whether one more unit may stand here by every rule but those on power. */
  fits(type: number, bottomSlot: number, heightSlots: number): boolean {
    const { book, typeInSlot } = this;
    const topSlot = bottomSlot + heightSlots - 1;
    if (bottomSlot < 1 || topSlot > book.slotCount || this.freeSlots - heightSlots < book.minFreeSlots) return false;
    const permitted = this.permittedSlots[type];
    for (let slot = bottomSlot; slot <= topSlot; slot++) {
      if (typeInSlot[slot] !== 0 || permitted[slot] === 0) return false;
    }
    if (!this.neighboursMatter) return true;
    const typeCount = this.permittedSlots.length;
    const below = typeInSlot[bottomSlot - 1];
    const above = typeInSlot[topSlot + 1];
    if (below !== 0 && book.mayNotTouch[type * typeCount + below - 1] === 1) return false;
    if (above !== 0 && book.mayNotTouch[type * typeCount + above - 1] === 1) return false;
    return this.keepsDistance(type, bottomSlot, topSlot) && this.joinsBlock(type, below, above);
  }

  /**
   * As fits, and sooner where no rule looks beyond the place, for one that listPlaces has named when fewer units stood.
   */
  stillFits(type: number, bottomSlot: number, heightSlots: number): boolean {
    if (this.neighboursMatter || this.book.minFreeSlots > 0) return this.fits(type, bottomSlot, heightSlots);
    const { typeInSlot } = this;
    let taken = 0;
    for (let slot = bottomSlot; slot < bottomSlot + heightSlots; slot++) taken |= typeInSlot[slot];
    return taken === 0;
  }

  /**
   * Lists every place at which one more unit may stand by every rule but those on power, lowest first.
   * @param places at least as long as the rack has slots
   * @returns how many there are
   */
  listPlaces(type: number, heightSlots: number, places: Int32Array): number {
    const { book, typeInSlot } = this;
    if (this.freeSlots - heightSlots < book.minFreeSlots) return 0;
    const permitted = this.permittedSlots[type];
    const { neighboursMatter } = this;
    let count = 0;
    // Slots in a row that are free and permitted, up to the one looked at. Both 0 or 1: sums and products take a third of
    // the time of branches that no processor foresees.
    let run = 0;
    for (let top = 1; top <= book.slotCount; top++) {
      const isFree = (typeInSlot[top] - 1) >>> 31;
      run = (run + 1) * (isFree & permitted[top]);
      const bottom = top - heightSlots + 1;
      if (neighboursMatter && run >= heightSlots && !this.fits(type, bottom, heightSlots)) continue;
      places[count] = bottom;
      count += (heightSlots - 1 - run) >>> 31;
    }
    return count;
  }

  /** W: the most this unit may draw by the caps on bands, Infinity where none covers it. */
  roomInBands(bottomSlot: number, heightSlots: number): number {
    const bands = this.book.powerInBand;
    let room = Infinity;
    for (let band = 0; band < bands.length; band++) {
      const share = shareInBand(bands[band], bottomSlot, heightSlots);
      if (share > 0) room = Math.min(room, (bands[band].power - this.bandPower[band]) / share);
    }
    return room;
  }

  private addToBands(bottomSlot: number, heightSlots: number, power: number): void {
    const bands = this.book.powerInBand;
    for (let band = 0; band < bands.length; band++) {
      this.bandPower[band] += power * shareInBand(bands[band], bottomSlot, heightSlots);
    }
  }

  private keepsDistance(type: number, bottomSlot: number, topSlot: number): boolean {
    const { book, typeInSlot } = this;
    for (const { members, slotsBetween } of book.apart) {
      if (members[type] === 0) continue;
      const from = Math.max(1, bottomSlot - slotsBetween);
      const to = Math.min(book.slotCount, topSlot + slotsBetween);
      for (let slot = from; slot <= to; slot++) {
        if (typeInSlot[slot] !== 0 && members[typeInSlot[slot] - 1] === 1) return false;
      }
    }
    return true;
  }

  /** Under a `together` rule a further member must touch the block that stands already. */
  private joinsBlock(type: number, below: number, above: number): boolean {
    for (const members of this.book.together) {
      if (members[type] === 0) continue;
      const touches = (below !== 0 && members[below - 1] === 1) || (above !== 0 && members[above - 1] === 1);
      if (!touches && this.anyStands(members)) return false;
    }
    return true;
  }

  private anyStands(members: Uint8Array): boolean {
    for (let at = 0; at < this.count; at++) if (members[this.type[at]] === 1) return true;
    return false;
  }
}
