import type { CountRange, LoadsDraw } from '../rack/studyModel.js';
import { AlikePlacement } from './alikePlacement.js';
import type { LoadDemand, LoadsPlacer } from './loadsPlacer.js';
import { NO_PLACEMENT } from './loadsPlacer.js';
import type { SoughtLoads } from './loadSearch.js';
import { permittedBottoms, withinCap, type RuleBook } from './ruleBook.js';
import type { SlotAutomaton } from './slotAutomaton.js';
import type { StandingUnits } from './standingUnits.js';
import type { RandomStream } from './randomStream.js';
import type { UnitType } from './unitTypes.js';
import { kilowatts, plural } from './words.js';

/** How a total is divided over k alike units, and which places that leaves them. */
export interface Division {
  /** Why k units cannot share the total, whatever their places, as a sentence's end; null where they can. */
  hopeless(count: number): string | null;
  /** The bands' caps as a condition on the places of k units; asked for only where a band is capped. */
  condition(count: number): SlotAutomaton;
  /** The same for the search that sources take part in; null where no band is capped. */
  search(count: number): Pick<SoughtLoads, 'condition' | 'worth'>;
  /** Whether the units may stand at these lowest slots by the bands' caps. */
  accepts(count: number, bottoms: Int32Array): boolean;
  /** Fills the first `count` powers, W, for units at these lowest slots. */
  divide(count: number, bottoms: Int32Array, stream: RandomStream, powers: Float64Array): void;
  describe(): string;
}

/**
 * A total divided over k alike units: k is uniform over its range; given k, the places are uniform over all placements
 * that the rules allow beside the sources.
 */
export class SplitLoads implements LoadsPlacer {
  readonly demands: readonly LoadDemand[];
  private readonly placement: AlikePlacement;
  private readonly bottoms: Int32Array;
  private readonly powers: Float64Array;

  constructor(
    private readonly book: RuleBook,
    private readonly draw: Extract<LoadsDraw, { draw: 'even' | 'random-split' }>,
    private readonly type: UnitType,
    private readonly division: Division,
  ) {
    const { slotCount } = book;
    this.placement = new AlikePlacement(book, type.index, type.heightSlots);
    this.bottoms = new Int32Array(slotCount);
    this.powers = new Float64Array(slotCount);
    const { min, max } = draw.count;
    this.demands = Array.from({ length: max - min + 1 }, (_, at) => this.demandFor(min + at));
  }

  begin(stream: RandomStream): number {
    const { min, max } = this.draw.count;
    return min === max ? 0 : stream.integerBelow(max - min + 1);
  }

  place(demand: number, standing: StandingUnits, stream: RandomStream): number {
    const count = this.draw.count.min + demand;
    const { placement, bottoms, powers, division, type } = this;
    placement.prepare(standing);
    if (count > placement.most) return NO_PLACEMENT;
    if (this.book.powerInBand.length === 0) placement.draw(count, stream, bottoms);
    else if (!this.placeUnderCaps(count, stream)) return NO_PLACEMENT;
    division.divide(count, bottoms, stream, powers);
    for (let at = 0; at < count; at++) standing.put(type.index, bottoms[at], type.heightSlots, powers[at]);
    return 0;
  }

  describe(): string[] {
    const { count, totalPower } = this.draw;
    return [
      `loads: ${rangeInWords(count)} of "${this.type.id}", ${kilowatts(totalPower)} in all ` +
        `${this.division.describe()}, at uniformly drawn places`,
    ];
  }

  private placeUnderCaps(count: number, stream: RandomStream): boolean {
    const { placement, bottoms, division } = this;
    const accepted = (places: Int32Array): boolean => division.accepts(count, places);
    return placement.drawWhere(count, stream, bottoms, accepted, () => division.condition(count));
  }

  private demandFor(count: number): LoadDemand {
    const { index, heightSlots } = this.type;
    return {
      words: `${plural(count, 'unit')} of "${this.type.id}" (${plural(heightSlots, 'slot')} each)`,
      hopeless: this.division.hopeless(count),
      sought: (): SoughtLoads[] => [
        {
          type: index,
          heightSlots,
          maxCount: count,
          permittedBottoms: permittedBottoms(this.book, index, heightSlots),
          ...this.division.search(count),
        },
      ],
    };
  }
}

/** Why k units cannot keep the cap per slot even when they share the total evenly; null where they can. */
export function capPerSlotHopeless(book: RuleBook, type: UnitType, count: number, totalPower: number): string | null {
  const { powerPerSlot } = book;
  if (withinCap(totalPower / (count * type.heightSlots), powerPerSlot)) return null;
  const fewest = Math.ceil(totalPower / (powerPerSlot * type.heightSlots) - 1e-9);
  return (
    `${kilowatts(totalPower)} over ${plural(count, 'unit')} is ${kilowatts(totalPower / (count * type.heightSlots))} ` +
    `per slot and the cap is ${kilowatts(powerPerSlot)}; at least ${plural(fewest, 'unit')} are needed`
  );
}

function rangeInWords({ min, max }: CountRange): string {
  return min === max ? plural(min, 'unit') : `${min} to ${max} units (each number equally likely)`;
}
