import type { LoadsDraw } from '../rack/studyModel.js';
import { shareInBand, withinCap, type RuleBook } from './ruleBook.js';
import type { SlotAutomaton } from './slotAutomaton.js';
import { slotLimits } from './slotLimits.js';
import { capPerSlotHopeless, SplitLoads, type Division } from './splitLoads.js';

/**
 * Draw `even`: the total in equal parts.
 *
 * With equal powers a cap on a band is a cap on the slots taken there, so that the allowed placements can be counted.
 */
export function evenLoads(book: RuleBook, draw: Extract<LoadsDraw, { draw: 'even' }>): SplitLoads {
  const type = book.types.load(draw.id, 'loads.id');
  const { heightSlots } = type;
  const { totalPower } = draw;
  const condition = (count: number): SlotAutomaton =>
    slotLimits(heightSlots, slotsWithin(book, totalPower / (count * heightSlots)));
  const division: Division = {
    hopeless: (count) => capPerSlotHopeless(book, type, count, totalPower),
    condition,
    search: (count) => ({ condition: book.powerInBand.length > 0 ? condition(count) : null, worth: null }),
    accepts: (count, bottoms) =>
      book.powerInBand.every((band) => {
        let units = 0;
        for (let at = 0; at < count; at++) units += shareInBand(band, bottoms[at], heightSlots);
        return withinCap((units * totalPower) / count, band.power);
      }),
    divide: (count, _bottoms, _stream, powers) => {
      powers.fill(totalPower / count, 0, count);
    },
    describe: () => 'in equal parts',
  };
  return new SplitLoads(book, draw, type, division);
}

/** The caps on bands as caps on slots, when every taken slot draws this power (W). */
export function slotsWithin(
  book: RuleBook,
  powerPerSlot: number,
): { readonly fromSlot: number; readonly toSlot: number; readonly slots: number }[] {
  return book.powerInBand.map(({ fromSlot, toSlot, power }) => {
    let slots = 0;
    while (slots < toSlot - fromSlot + 1 && withinCap((slots + 1) * powerPerSlot, power)) slots++;
    return { fromSlot, toSlot, slots };
  });
}
