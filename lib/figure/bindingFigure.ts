import { LIMIT_WORDS } from '../ladder/index.js';
import type { Summary } from '../study/index.js';
import { sentenceCase } from './bindingWords.js';
import type { Figure } from './figure.js';
import { axis, frame } from './frame.js';
import { formatCount, formatLevel, formatShare } from './numberFormat.js';
import { PALETTE } from './palette.js';
import { rowLabel } from './rowLabel.js';

const ROW = 50;

/** How often each limit binds, in per cent of the rated scenarios, with the interval of each share. */
export function bindingFigure({ limits, study }: Pick<Summary, 'limits' | 'study'>): Figure {
  // The plotting library counts rows from the bottom; the most frequent belongs on top.
  const rows = [...limits].reverse();
  const first = limits[0];
  const words = limits.map(({ limit, sharePercent, lowerPercent, upperPercent }) => {
    const [share, lower, upper] = [sharePercent, lowerPercent, upperPercent].map(formatShare);
    return `${LIMIT_WORDS[limit]} ${share} % (${lower} to ${upper} %)`;
  });
  const title = limits.length === 1
    ? `${sentenceCase(LIMIT_WORDS[first.limit])} binds in every scenario`
    : `${sentenceCase(LIMIT_WORDS[first.limit])} binds in ${formatShare(first.sharePercent)} % of scenarios`;
  return {
    title,
    description: `What binds how often among ${formatCount(study.scenariosRated)} rated scenarios, with intervals at `
      + `${formatLevel(study.confidencePercent)} % confidence each: ${words.join(', ')}.`,
    data: [{
      type: 'bar', orientation: 'h', name: 'share of scenarios',
      x: rows.map(({ sharePercent }) => sharePercent),
      y: rows.map((_, i) => i),
      width: rows.map(() => 0.34),
      marker: { color: PALETTE.bars },
      error_x: {
        type: 'data', symmetric: false, color: PALETTE.mark, thickness: 2, width: 5,
        array: rows.map(({ sharePercent, upperPercent }) => upperPercent - sharePercent),
        arrayminus: rows.map(({ sharePercent, lowerPercent }) => sharePercent - lowerPercent),
      },
      hovertext: [...words].reverse(), hoverinfo: 'text',
    }],
    layout: frame(title, rows.length * ROW + 64, { l: 10, r: 22, t: 10, b: 54 }, {
      xaxis: axis('share of rated scenarios, %', { range: [0, 103], tickvals: [0, 25, 50, 75, 100] }),
      yaxis: { visible: false, range: [-0.45, rows.length - 0.25], fixedrange: true },
      annotations: rows.map(({ limit, sharePercent }, i) =>
        rowLabel(i, `${LIMIT_WORDS[limit]}  <b>${formatShare(sharePercent)} %</b>`)),
    }),
  };
}
