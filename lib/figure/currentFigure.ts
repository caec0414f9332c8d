import { describeState, type LadderSolution } from '../ladder/index.js';
import { forPicture, peakCurrent } from './barProfile.js';
import type { Figure, Trace } from './figure.js';
import { axis, frame, titled } from './frame.js';
import { lineKey } from './lineKey.js';
import { formatNumber, lessWords } from './numberFormat.js';
import { PALETTE } from './palette.js';
import { SLOT_MARGIN, slotAxis, slotPixels } from './slotAxis.js';

// Dark enough to be seen over the bars.
const OTHER_LINE = { color: PALETTE.quiet, width: 1, shape: 'vhv' };
const RETURN_LINE = { color: PALETTE.return, width: 2, dash: '6px,3px', shape: 'vhv' };

/**
 * Current along the bar, one bar per segment on the supply pole: to the right upwards, to the left downwards. The
 * return pole carries the same the other way, as a dashed line.
 *
 * @param name what the solution belongs to, for the title; left out where the page says so
 * @param others the same placement and load in its other operating states, supply pole, drawn thin
 */
export function currentFigure(
  solution: LadderSolution, name = '', others: readonly LadderSolution[] = [],
): Figure {
  const { segmentCurrent } = solution;
  const slotCount = segmentCurrent.length + 1;
  const peak = peakCurrent(solution);
  const size = peak === null ? '0' : formatNumber(Math.abs(peak.value), 0);
  const where = peak === null ? '' : `between slots ${peak.slot} and ${peak.slot + 1}`;
  const title = titled(name, peak === null
    ? 'a bar of one slot carries no current along it' : `at most ${size} A along the bar, ${where}`);
  const between = Array.from(segmentCurrent, (_, i) => i + 1.5);
  const step = (current: Float64Array, sign: number, rest: object): Trace => ({
    type: 'scatter', mode: 'lines', x: Array.from(current, (amperes) => forPicture(sign * amperes)), y: between,
    ...rest,
  });
  const data: Trace[] = [
    {
      type: 'bar', orientation: 'h', name: 'supply',
      x: Array.from(segmentCurrent, forPicture),
      y: between,
      width: between.map(() => 1),
      marker: { color: PALETTE.bars, line: { color: PALETTE.supply, width: 0.6 } },
      hovertext: Array.from(segmentCurrent, (current, i) =>
        `slots ${i + 1} to ${i + 2}: ${formatNumber(Math.abs(current), 0)} A ${current < 0 ? 'downwards' : 'upwards'}`),
      hoverinfo: 'text',
    },
    ...others.map((other) => step(other.segmentCurrent, 1, {
      name: 'other states', line: OTHER_LINE,
      hovertemplate: `%{x:.0f} A (${describeState(other.state)})<extra></extra>`,
    })),
    step(segmentCurrent, -1, { name: 'return', line: RETURN_LINE, hovertemplate: 'return %{x:.0f} A<extra></extra>' }),
  ];
  // The two poles mirror each other.
  const widest = 1.06 * Math.max(1, ...[solution, ...others].map((one) => Math.abs(peakCurrent(one)?.value ?? 0)));
  const key = [
    { name: 'supply', line: { color: PALETTE.bars, width: 7 } }, { name: 'return', line: RETURN_LINE },
    ...(others.length > 0 ? [{ name: 'other states', line: OTHER_LINE }] : []),
  ];
  return {
    title,
    description: peak === null ? `${title}.` : `Current along the bar: largest ${size} A ${where}, `
      + `${peak.value < 0 ? 'downwards' : 'upwards'} on the supply pole, the other way on the return pole.`
      + otherWords(others, Math.abs(peak.value)),
    data: peak === null ? data.slice(0, 1) : data,
    layout: frame(title, slotCount * slotPixels(slotCount) + SLOT_MARGIN.top + SLOT_MARGIN.bottom,
      { l: 40, r: 14, t: SLOT_MARGIN.top, b: SLOT_MARGIN.bottom }, {
        bargap: 0,
        xaxis: axis('current, A (+ is up)', {
          range: [-widest, widest], nticks: 4, zeroline: true, zerolinecolor: PALETTE.ink,
        }),
        yaxis: slotAxis(slotCount),
        ...lineKey(key, 1),
      }),
  };
}

function otherWords(others: readonly LadderSolution[], shown: number): string {
  const peaks = others.map(peakCurrent).flatMap((peak) => (peak === null ? [] : [Math.abs(peak.value)]));
  if (peaks.length === 0) return '';
  const most = Math.max(...peaks);
  return ` In ${others.length === 1 ? 'the other operating state' : `the ${others.length} other operating states`} at `
    + `the same load at most ${formatNumber(most, 0)} A, ${lessWords(shown, most, 0, 'A')}.`;
}
