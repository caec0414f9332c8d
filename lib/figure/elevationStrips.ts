import type { LadderSolution } from '../ladder/index.js';
import { hotterPoleC } from './barProfile.js';
import { formatNumber } from './numberFormat.js';
import { heatColour, PALETTE } from './palette.js';
import { SLOT_MARGIN, slotTop } from './slotAxis.js';
import { rect, text } from './svgParts.js';

const STRIP = { left: 175, width: 11, gap: 2 };
const NUMBER_LEFT = 205;
/** px between two numbers. */
const LINE = 11;
/** K; bars that differ less along their length get one shade. */
const SAME = 0.05;

/** Both poles of the bar beside a rack, darker where warmer, and the temperature of the hotter one in °C, as SVG. */
export function elevationStrips(solution: LadderSolution, pixels: number, bindingSlot: number): string[] {
  const poles = [solution.supplyHottest, solution.returnHottest];
  const hotter = hotterPoleC(solution);
  const slotCount = hotter.length;
  const all = poles.flatMap((pole) => Array.from(pole));
  const [low, high] = [Math.min(...all), Math.max(...all)];
  const shade = (kelvin: number) => heatColour(high - low > SAME ? (kelvin - low) / (high - low) : 0.5);
  const left = (pole: number) => STRIP.left + pole * (STRIP.width + STRIP.gap);
  const every = Math.ceil(LINE / pixels);
  const strips = poles.flatMap((pole, p) => Array.from(pole, (kelvin, i) =>
    // A little higher than a slot, so that no paper shows between two shades.
    rect(left(p), slotTop(i + 1, slotCount), STRIP.width, pixels + 0.4, `fill="${shade(kelvin)}"`)));
  const numbers = hotter.map((celsius, i) => {
    const binds = i + 1 === bindingSlot;
    return i % every === 0 || binds
      ? text(NUMBER_LEFT, slotTop(i + 1, slotCount) + pixels / 2, formatNumber(celsius, 1),
        `fill="${PALETTE.ink}" font-size="10"${binds ? ' font-weight="700"' : ''}`)
      : '';
  });
  const edges = poles.map((_, p) => rect(left(p), SLOT_MARGIN.top, STRIP.width, slotCount * pixels,
    `fill="none" stroke="${PALETTE.quiet}" stroke-width="0.7"`));
  const head = (x: number, word: string) =>
    text(x, SLOT_MARGIN.top - 12, word, `fill="${PALETTE.quiet}" font-size="11"`);
  return [...strips, ...numbers, ...edges, head(left(0) + 2, 'S'), head(left(1) + 2, 'R'), head(NUMBER_LEFT, '°C')];
}
