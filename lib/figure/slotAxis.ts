import { axis } from './frame.js';

/** px above and below the rack in every picture that stands beside another: slots line up. */
export const SLOT_MARGIN = { top: 44, bottom: 52 } as const;

/** px of one slot: a rack fits on a printed page, and a small one does not look lost. */
export function slotPixels(slotCount: number): number {
  return Math.max(1.6, Math.min(26, Math.max(12, 240 / slotCount), 800 / slotCount));
}

/** px from the upper edge of a picture to the upper edge of a unit whose lowest slot is `slot`. */
export function slotTop(slot: number, slotCount: number, heightSlots = 1): number {
  return SLOT_MARGIN.top + (slotCount - slot - heightSlots + 1) * slotPixels(slotCount);
}

/** Slots that carry their number: the first and every fifth; wider apart in tall racks. */
export function slotTicks(slotCount: number): number[] {
  const step = slotCount <= 60 ? 5 : slotCount <= 150 ? 10 : 50;
  const ticks = slotCount < step ? Array.from({ length: slotCount }, (_, i) => i + 1) : [1];
  for (let slot = step; slot <= slotCount && slotCount >= step; slot += step) ticks.push(slot);
  return ticks;
}

/** The vertical axis of slots, 1 at the bottom. */
export function slotAxis(slotCount: number): Readonly<Record<string, unknown>> {
  return axis('slot, 1 at the bottom', {
    range: [0.5, slotCount + 0.5], tickvals: slotTicks(slotCount), ticks: '', showgrid: true,
  });
}
