/** Stages of a rated power as bars: library, C and SciPy on one logarithmic axis. */
import { pageParts, slotcast } from './library.mjs';
import { digits } from './printed.mjs';
import { STAGE_WORDS } from './stages.mjs';

const { PALETTE } = slotcast;
const { axis, frame } = pageParts;

/** px of a stage. */
const ROW = 62;
const MARGIN = { l: 10, r: 26, t: 26, b: 54 };
/** Who, in order from the top of a row, with a ground of its own: apart in grey too. */
const SERIES = [
  { key: 'scipy', name: 'SciPy', color: PALETTE.grid, line: PALETTE.quiet },
  { key: 'library', name: 'library', color: PALETTE.bars, line: PALETTE.supply },
  { key: 'c', name: 'C', color: PALETTE.supply, line: PALETTE.supply },
];
const BAR = 0.19;
/** µs; shorter is not told apart from nothing. */
const LEAST = 0.1;
const TICKS = [0.1, 1, 10, 100, 1000, 10_000];

/** @param stages `{ library, c, scipy }`, each µs by stage; c and scipy null where they were not measured */
export function stagesFigure(stages) {
  const shown = SERIES.filter(({ key }) => stages[key] !== null);
  // The plotting library counts rows from the bottom; the first stage stands on top.
  const keys = Object.keys(STAGE_WORDS).reverse();
  const title = titleOf(stages);
  const most = Math.max(...shown.flatMap(({ key }) => Object.values(stages[key])));
  const range = [Math.log10(LEAST), Math.log10(2 * most)];
  const data = shown.map(({ key, name, color, line }, k) => {
    const own = keys.flatMap((stage, row) => {
      const us = stages[key][stage];
      return us === undefined ? [] : [{ row, us, words: `${STAGE_WORDS[stage]}, ${name}: ${digits(us)} µs` }];
    });
    return {
      type: 'bar', orientation: 'h', name,
      x: own.map(({ us }) => Math.max(LEAST, us)),
      y: own.map(({ row }) => row - k * BAR),
      width: own.map(() => 0.9 * BAR),
      marker: { color, line: { color: line, width: 1 } },
      hovertext: own.map(({ words }) => words), hoverinfo: 'text',
    };
  });
  const label = { xref: 'paper', x: 0, xanchor: 'left', align: 'left', showarrow: false };
  return {
    title,
    description: `µs per rated power, deep bar of 44 slots, one operating state. ${shown.map(({ key, name }) =>
      `${name}: ${keys.filter((stage) => stages[key][stage] !== undefined).reverse()
        .map((stage) => `${STAGE_WORDS[stage]} ${digits(stages[key][stage])}`).join(', ')}.`).join(' ')} `
      + 'A stage’s time is what a pass takes longer when the stage runs three times more; SciPy’s are its own clock’s.',
    data,
    layout: frame(title, keys.length * ROW + MARGIN.t + MARGIN.b, MARGIN, {
      barmode: 'overlay',
      xaxis: axis('time per rated power, µs', {
        type: 'log', range, tickvals: TICKS, ticktext: TICKS.map((us) => us.toLocaleString('en-US')),
      }),
      yaxis: { visible: false, range: [-0.6, keys.length - 0.3], fixedrange: true },
      annotations: [
        ...keys.map((stage, row) => ({
          ...label, y: row, yref: 'y', yanchor: 'bottom', yshift: 7, text: STAGE_WORDS[stage],
          font: { size: 12.5, color: PALETTE.ink },
        })),
        ...shown.map(({ name }, k) => ({
          ...label, y: 1, yref: 'paper', yanchor: 'bottom', yshift: 6, xshift: 18 + 78 * k, text: name,
          font: { size: 12, color: PALETTE.ink },
        })),
      ],
      shapes: shown.map(({ color, line }, k) => ({
        type: 'rect', xref: 'paper', yref: 'paper', xsizemode: 'pixel', ysizemode: 'pixel', xanchor: 0, yanchor: 1,
        x0: 78 * k, x1: 12 + 78 * k, y0: 9, y1: 21, fillcolor: color, line: { color: line, width: 1 },
      })),
    }),
  };
}

function titleOf({ library, c }) {
  const sum = (times) => Object.values(times).reduce((a, b) => a + b, 0);
  if (c === null) {
    const [longest, us] = Object.entries(library).sort(([, a], [, b]) => b - a)[0];
    return `${Math.round((100 * us) / sum(library))} % of a rated power is “${STAGE_WORDS[longest]}”`;
  }
  // Where most microseconds would be gained if the library were as fast as C.
  const losses = Object.entries(library).map(([stage, us]) => ({ stage, lost: us - c[stage] }));
  const [{ stage }] = losses.sort((a, b) => b.lost - a.lost);
  return `A rated power takes ${(sum(library) / sum(c)).toFixed(1)} times as long as in C, `
    + `and loses most in “${STAGE_WORDS[stage]}”`;
}
