import type { LadderSolution } from '../ladder/index.js';
import { forPicture, peakCurrent } from './barProfile.js';
import type { Figure } from './figure.js';
import { axis, frame, titled } from './frame.js';
import { formatNumber } from './numberFormat.js';
import { PALETTE } from './palette.js';
import { SLOT_MARGIN, slotAxis, slotPixels } from './slotAxis.js';

/**
 * Current along the bar, one bar per segment: to the right upwards, to the left downwards on the supply pole; the
 * return pole carries the same the other way.
 *
 * @param name what the solution belongs to, for the title; left out where the page says so
 */
export function currentFigure(solution: LadderSolution, name = ''): Figure {
  const { segmentCurrent } = solution;
  const slotCount = segmentCurrent.length + 1;
  const peak = peakCurrent(solution);
  const size = peak === null ? '0' : formatNumber(Math.abs(peak.value), 0);
  const where = peak === null ? '' : `between slots ${peak.slot} and ${peak.slot + 1}`;
  const title = titled(name, peak === null
    ? 'a bar of one slot carries no current along it' : `at most ${size} A along the bar, ${where}`);
  return {
    title,
    description: peak === null ? `${title}.` : `Current along the bar: largest ${size} A ${where}, `
      + `${peak.value < 0 ? 'downwards' : 'upwards'} on the supply pole, the other way on the return pole.`,
    data: [{
      type: 'bar', orientation: 'h', name: 'current',
      x: Array.from(segmentCurrent, forPicture),
      y: Array.from(segmentCurrent, (_, i) => i + 1.5),
      width: Array.from(segmentCurrent, () => 1),
      marker: { color: PALETTE.bars, line: { color: PALETTE.supply, width: 0.6 } },
      hovertext: Array.from(segmentCurrent, (current, i) =>
        `slots ${i + 1} to ${i + 2}: ${formatNumber(Math.abs(current), 0)} A ${current < 0 ? 'downwards' : 'upwards'}`),
      hoverinfo: 'text',
    }],
    layout: frame(title, slotCount * slotPixels(slotCount) + SLOT_MARGIN.top + SLOT_MARGIN.bottom,
      { l: 40, r: 14, t: SLOT_MARGIN.top, b: SLOT_MARGIN.bottom }, {
        bargap: 0,
        xaxis: axis('current, A (+ is up)', { nticks: 4, zeroline: true, zerolinecolor: PALETTE.ink }),
        yaxis: slotAxis(slotCount),
      }),
  };
}
