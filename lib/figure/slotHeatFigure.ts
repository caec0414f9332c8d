import type { Summary } from '../study/index.js';
import type { Figure } from './figure.js';
import { axis, frame } from './frame.js';
import { countOf, formatCount, formatShare } from './numberFormat.js';
import { PALETTE } from './palette.js';
import { SLOT_MARGIN, slotAxis, slotPixels } from './slotAxis.js';

/** A slot stands out where it binds at least this many times as often as it would if all slots were alike. */
const STANDS_OUT = 2.5;

/** How often each slot binds, in per cent of the rated scenarios, over the height of the rack. */
export function slotHeatFigure({ bindingSlotCounts, study }: Pick<Summary, 'bindingSlotCounts' | 'study'>): Figure {
  const slotCount = bindingSlotCounts.length;
  const rated = study.scenariosRated;
  const placed = bindingSlotCounts.reduce((sum, count) => sum + count, 0);
  const busiest = bindingSlotCounts.indexOf(Math.max(...bindingSlotCounts));
  const share = (count: number) => (100 * count) / rated;
  const most = formatShare(share(bindingSlotCounts[busiest]));
  const title = placed === 0
    ? 'No limit binds at a single slot'
    : bindingSlotCounts[busiest] >= (STANDS_OUT * placed) / slotCount
      ? `Slot ${busiest + 1} stands out: it binds in ${most} % of scenarios`
      : `No single slot stands out: the most frequent, slot ${busiest + 1}, binds in ${most} %`;
  const elsewhere = rated - placed;
  return {
    title,
    description: `How often each of ${formatCount(slotCount)} slots binds. ${title}.`
      + (elsewhere > 0 ? ` In ${countOf(elsewhere, 'scenario')} no single slot can be named.` : ''),
    data: [{
      type: 'bar', orientation: 'h', name: 'share of scenarios',
      x: bindingSlotCounts.map(share),
      y: bindingSlotCounts.map((_, i) => i + 1),
      width: bindingSlotCounts.map(() => 0.8),
      marker: { color: PALETTE.bars },
      hovertext: bindingSlotCounts.map((count, i) =>
        `slot ${i + 1}: ${countOf(count, 'scenario')}, ${formatShare(share(count))} %`),
      hoverinfo: 'text',
    }],
    layout: frame(title, slotCount * slotPixels(slotCount) + 12 + SLOT_MARGIN.bottom,
      { l: 40, r: 16, t: 12, b: SLOT_MARGIN.bottom }, {
        xaxis: axis('share of rated scenarios, %', { rangemode: 'tozero', nticks: 6 }),
        yaxis: slotAxis(slotCount),
      }),
  };
}
