import type { RandomStream } from './randomStream.js';

const EXACT = 2 ** 53;

/**
 * Placements of alike units whose lowest slots lie at least `step` apart, on permitted places.
 *
 * Counted from the top: f(s, r) placements of r units in slot s and above, f(s, r) = f(s+1, r), plus f(s+step, r−1)
 * where a unit may stand in s. Drawn by unranking one whole random number, exactly uniform, while the count is below
 * 2⁵³; beyond, each choice takes its own random number.
 */
export class SpacedPlacements {
  /** `[slot × units]`, rows of `units + 1`. */
  private table = new Float64Array(0);
  /** The table holds up to so many units; −1: nothing yet. */
  private units = -1;

  /** @param permitted `[bottomSlot]`, 1-based; read anew after `forget` */
  constructor(
    private readonly slotCount: number,
    private readonly step: number,
    private readonly permitted: Uint8Array,
  ) {}

  /** To be called when `permitted` has changed. */
  forget(): void {
    this.units = -1;
  }

  count(units: number): number {
    this.fillTable(units);
    return this.table[this.at(1, units)];
  }

  /** Lowest slots into `bottoms`, ascending; there must be a placement. */
  draw(units: number, stream: RandomStream, bottoms: Int32Array): void {
    this.fillTable(units);
    const { table } = this;
    let rank = -1;
    let slot = 1;
    for (let left = units; left > 0; slot++) {
      const value = table[this.at(slot, left)];
      if (rank < 0 && value < EXACT) rank = stream.integerBelow(value);
      const choice = rank >= 0 ? rank : stream.double() * value;
      const without = table[this.at(slot + 1, left)];
      if (choice < without) continue;
      if (rank >= 0) rank -= without;
      bottoms[units - left] = slot;
      left--;
      slot += this.step - 1;
    }
  }

  private at(slot: number, units: number): number {
    return Math.min(slot, this.slotCount + 1) * (this.units + 1) + units;
  }

  private fillTable(units: number): void {
    if (units <= this.units) return;
    this.units = units;
    const { slotCount, permitted, step } = this;
    const width = units + 1;
    if (this.table.length < (slotCount + 2) * width) this.table = new Float64Array((slotCount + 2) * width);
    const { table } = this;
    const last = slotCount + 1;
    table.fill(0, last * width, (last + 1) * width);
    table[last * width] = 1;
    for (let slot = slotCount; slot >= 1; slot--) {
      const row = slot * width;
      const next = Math.min(slot + step, last) * width;
      table[row] = 1;
      for (let r = 1; r <= units; r++) {
        table[row + r] = table[row + width + r] + (permitted[slot] === 1 ? table[next + r - 1] : 0);
      }
    }
  }
}
