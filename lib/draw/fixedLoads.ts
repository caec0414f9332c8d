import type { LoadsDraw } from '../rack/studyModel.js';
import type { RuledUnit } from './brokenRules.js';
import type { LoadDemand, LoadsPlacer } from './loadsPlacer.js';
import type { RuleBook } from './ruleBook.js';
import { StandingUnits } from './standingUnits.js';
import { kilowatts, plural } from './words.js';

/**
 * Draw `fixed`: hand-picked loads. Nothing is drawn; the sources are arranged around them, uniformly over the
 * arrangements that these loads leave (they stand before the sources, not after).
 */
export class FixedLoads implements LoadsPlacer {
  readonly demands: readonly LoadDemand[];
  /** The loads as units, for checking them against the rules by themselves. */
  readonly units: readonly RuledUnit[];
  private readonly types: readonly number[];

  /** @throws InputError when a load is not in the catalogue */
  constructor(
    private readonly book: RuleBook,
    private readonly draw: Extract<LoadsDraw, { draw: 'fixed' }>,
  ) {
    const types = draw.units.map(({ id }, at) => book.types.load(id, `loads.units[${at}].id`));
    this.types = types.map((type) => type.index);
    this.units = draw.units.map(({ id, bottomSlot, power }, at) => ({
      kind: 'load',
      equipment: id,
      bottomSlot,
      heightSlots: types[at].heightSlots,
      power,
    }));
    this.demands = [{ words: 'the hand-picked loads', hopeless: null, sought: () => [] }];
  }

  /** The loads alone in the rack. */
  standing(): StandingUnits {
    const standing = new StandingUnits(this.book);
    this.place(0, standing);
    return standing;
  }

  begin(): number {
    return 0;
  }

  place(_demand: number, standing: StandingUnits): number {
    this.units.forEach(({ bottomSlot, heightSlots, power }, at) => {
      standing.put(this.types[at], bottomSlot, heightSlots, power);
    });
    return 0;
  }

  describe(): string[] {
    const total = this.draw.units.reduce((sum, unit) => sum + unit.power, 0);
    return [`loads: ${plural(this.units.length, 'hand-picked unit')}, ${kilowatts(total)} in all`];
  }
}
