import type { PlacedUnit } from '../draw/index.js';
import type { Replay } from '../study/index.js';
import { bindingWords } from './bindingWords.js';
import { type DrawnUnit, drawnUnits, emptySlots } from './drawnUnit.js';
import { elevationStrips } from './elevationStrips.js';
import { escapeMarkup } from './escapeMarkup.js';
import { countOf } from './numberFormat.js';
import { titled } from './frame.js';
import { FONT_FAMILY, PALETTE } from './palette.js';
import { SLOT_MARGIN, slotPixels, slotTicks, slotTop } from './slotAxis.js';
import { fixed, rect, shortened, text } from './svgParts.js';

/** px; the drawing is never shown smaller. */
export const ELEVATION_WIDTH = 240;
const RACK = { left: 24, width: 141 };
const ARROW_LEFT = 167;
const SMALLEST_TEXT = 9;
/** Mean width of a letter over its size. */
const LETTER = 0.56;

/**
 * Front view of a rack as an SVG element of fixed size: units where they stand, slot 1 at the bottom, and beside them
 * both poles of the bar with the temperature of the hotter one in °C. Power shelves are hatched, battery shelves
 * dotted with round corners, loads filled from the left in proportion to their power per slot; each carries its name.
 * A triangle marks the slot where the limit binds. Slots line up with {@link temperatureFigure}.
 *
 * @param id prefix of the element's inner ids, unique in the page; letters, digits and dashes
 * @param name what the placement is, e.g. `Worst of the sample`; left out where the page says so
 */
export function rackElevation(replay: Replay, slotCount: number, id: string, name = ''): string {
  const { rated, solutions } = replay;
  const solution = solutions[0]?.status === 'solved' ? solutions[0] : null;
  const pixels = slotPixels(slotCount);
  const height = slotCount * pixels + SLOT_MARGIN.top + SLOT_MARGIN.bottom;
  const top = (slot: number, heightSlots = 1) => slotTop(slot, slotCount, heightSlots);
  const units = drawnUnits(replay, solution);
  const description = elevationWords(replay, name);
  const parts = [
    patterns(id),
    rect(RACK.left - 2, SLOT_MARGIN.top - 2, RACK.width + 4, slotCount * pixels + 4,
      `fill="none" stroke="${PALETTE.quiet}"`),
    ...slotTicks(slotCount).map((slot) => text(RACK.left - 6, top(slot) + pixels / 2, String(slot),
      `text-anchor="end" fill="${PALETTE.quiet}" font-size="10"`)),
    ...emptySlots(replay, slotCount).map((slot) =>
      rect(RACK.left, top(slot), RACK.width, pixels, `fill="${PALETTE.paper}" stroke="${PALETTE.grid}"`)),
    ...units.map((drawn) => unitShape(drawn, top(drawn.unit.bottomSlot, drawn.unit.heightSlots), pixels, id)),
    text(1, SLOT_MARGIN.top - 12, 'slot', `fill="${PALETTE.quiet}" font-size="11"`),
  ];
  if (solution !== null) parts.push(...elevationStrips(solution, pixels, rated.slot));
  if (rated.slot > 0) {
    const y = top(rated.slot) + pixels / 2;
    parts.push(`<path d="M${ARROW_LEFT} ${fixed(y)}l7 -5v10z" fill="${PALETTE.limit}"/>`);
    parts.push(`<path d="M${RACK.left} ${fixed(height - SLOT_MARGIN.bottom + 17)}l8 -5v10z" fill="${PALETTE.limit}"/>`);
    parts.push(text(RACK.left + 13, height - SLOT_MARGIN.bottom + 17, 'the limit binds here',
      `fill="${PALETTE.ink}" font-size="11"`));
  }
  return `<svg xmlns="http://www.w3.org/2000/svg" class="elevation" role="img" aria-labelledby="${id}-title" `
    + `width="${ELEVATION_WIDTH}" height="${fixed(height)}" viewBox="0 0 ${ELEVATION_WIDTH} ${fixed(height)}" `
    + `font-family="${FONT_FAMILY}"><title id="${id}-title">${escapeMarkup(description)}</title>`
    + `${parts.join('')}</svg>`;
}

/** The elevation in a sentence. */
export function elevationWords({ scenario, rated }: Replay, name = ''): string {
  const count = (kind: PlacedUnit['kind']) => scenario.units.filter((unit) => unit.kind === kind).length;
  const words = [
    ...(count('power-shelf') > 0 ? [countOf(count('power-shelf'), 'power shelf', 'power shelves')] : []),
    ...(count('battery-shelf') > 0 ? [countOf(count('battery-shelf'), 'battery shelf', 'battery shelves')] : []),
    countOf(count('load'), 'load'),
  ];
  const { rule, outSlot } = rated.state;
  const what = scenario.index < 0 ? 'the rack from the front' : `scenario ${scenario.index} from the front`;
  return `${titled(name, what)}: ${words.join(', ')}; what binds is `
    + `${bindingWords({ ...rated, state: rule, outSlot })}.`;
}

function unitShape({ unit, label, density }: DrawnUnit, y: number, pixels: number, id: string): string {
  const height = unit.heightSlots * pixels;
  const { left, width } = RACK;
  const size = Math.min(10, height - 1.5);
  const written = (x: number, room: number, weight: number) => {
    if (size < SMALLEST_TEXT) return '';
    const letters = Math.floor(room / (LETTER * size));
    return text(x, y + height / 2, shortened(label, letters),
      `fill="${PALETTE.ink}" font-size="${fixed(size)}" font-weight="${weight}"`);
  };
  const place = `slot ${unit.bottomSlot}, ${countOf(unit.heightSlots, 'slot')} high`;
  const hint = `<title>${escapeMarkup(`${unit.equipment}, ${label}, ${place}`)}</title>`;
  if (unit.kind === 'load') {
    const { fill, bar, edge } = PALETTE.load;
    return `<g>${hint}${rect(left, y, width, height, `fill="${fill}"`)}`
      + `${rect(left, y, width * density, height, `fill="${bar}"`)}`
      + rect(left, y, width, height, `fill="none" stroke="${edge}" stroke-width="0.8"`)
      + `${written(left + 5, width - 8, 400)}</g>`;
  }
  const { fill, edge } = unit.kind === 'power-shelf' ? PALETTE.powerShelf : PALETTE.batteryShelf;
  const pattern = unit.kind === 'power-shelf' ? 'hatch' : 'dots';
  const radius = unit.kind === 'battery-shelf' ? ` rx="${fixed(Math.min(6, height / 2))}"` : '';
  return `<g>${hint}${rect(left, y, width, height, `fill="${fill}" stroke="${edge}" stroke-width="1.6"${radius}`)}`
    + rect(left + 1, y + 1, 20, height - 2, `fill="url(#${id}-${pattern})"${radius}`)
    + `${written(left + 25, width - 28, 600)}</g>`;
}

function patterns(id: string): string {
  return `<defs><pattern id="${id}-hatch" width="5" height="5" patternUnits="userSpaceOnUse" `
    + 'patternTransform="rotate(45)">'
    + `<path d="M0 0V5" stroke="${PALETTE.powerShelf.edge}" stroke-width="3"/></pattern>`
    + `<pattern id="${id}-dots" width="5" height="5" patternUnits="userSpaceOnUse">`
    + `<circle cx="2.5" cy="2.5" r="1.5" fill="${PALETTE.batteryShelf.edge}"/></pattern></defs>`;
}
