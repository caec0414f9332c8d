import { escapeLabel } from './escapeLabel.js';
import type { Figure, Trace } from './figure.js';
import { axis, breakLabel, frame } from './frame.js';
import { PALETTE } from './palette.js';

export interface CurveAxis {
  /** Quantity with its unit. */
  readonly label: string;
  readonly logarithmic?: boolean;
}

export interface Curve {
  readonly name: string;
  /** `[point]`: x and y, ascending in x. */
  readonly points: readonly (readonly [number, number])[];
  /** Pattern of a line as in the plotting library, e.g. `dot` or `7px,4px`; left out: one that no other line has. */
  readonly dash?: string;
}

export interface CurvesInput {
  /** The finding. */
  readonly title: string;
  readonly description: string;
  readonly x: CurveAxis;
  readonly y: CurveAxis;
  readonly curves: readonly Curve[];
  /** Single values, e.g. published ones, over the curves. */
  readonly points?: readonly Omit<Curve, 'dash'>[];
}

const LINES = [
  { color: PALETTE.supply, width: 2.5, dash: 'solid' }, { color: PALETTE.return, width: 2.5, dash: '7px,4px' },
  { color: PALETTE.air, width: 2.5, dash: '2px,3px' }, { color: PALETTE.limit, width: 2.5, dash: '12px,3px,2px,3px' },
] as const;
const SYMBOLS = ['circle', 'diamond', 'x', 'square'] as const;
const WRITTEN = ['●', '◆', '✕', '■'] as const;
/** Letters of a name in the key, per line. */
const KEY_LETTERS = 38;
const PLOT = 260;
const LINE = 15;
const GAP = 3;
const SAMPLE = 28;
const MARGIN = { l: 62, r: 20, b: 50 };

/**
 * Curves with single values over them, e.g. the model's over a published table. Up to four curves and four sets of
 * values, told apart by line pattern and symbol; each has lines above the plot that say what it is.
 * @throws RangeError for more than that, and for a value that its axis cannot show
 */
export function curvesFigure({ title, description, x, y, curves, points = [] }: CurvesInput): Figure {
  if (curves.length > LINES.length || points.length > SYMBOLS.length) {
    throw new RangeError(
      `${curves.length} curves and ${points.length} sets of values: at most ${LINES.length} and ${SYMBOLS.length}`,
    );
  }
  for (const one of [...curves, ...points]) requireShown(one, x, y);
  const lines = curves.map(({ dash }, k) => ({ ...LINES[k], ...(dash === undefined ? {} : { dash }) }));
  const names = [...curves, ...points].map(({ name }) => breakLabel(name, KEY_LETTERS));
  const heights = names.map((name) => LINE * name.split('<br>').length + GAP);
  const height = heights.reduce((sum, one) => sum + one, 8);
  // px from the upper edge of the plot up to the top of a row.
  const topOf = (row: number) => height - heights.slice(0, row).reduce((sum, one) => sum + one, 0);
  const place = { xref: 'paper', yref: 'paper', x: 0, y: 1, showarrow: false, xanchor: 'left', yanchor: 'top' };
  const font = { size: 12, color: PALETTE.ink };
  const data = [
    ...curves.map(({ name, points: own }, k): Trace => (
      { ...xy(own), type: 'scatter', mode: 'lines', name: escapeLabel(name), line: lines[k], hoverinfo: 'x+y+name' })),
    ...points.map(({ name, points: own }, k): Trace => ({
      ...xy(own), type: 'scatter', mode: 'markers', name: escapeLabel(name), hoverinfo: 'x+y+name',
      marker: { symbol: SYMBOLS[k], size: 8, color: PALETTE.limit, line: { color: PALETTE.paper, width: 0.6 } },
    })),
  ];
  return {
    title,
    description,
    data,
    layout: frame(title, PLOT + height + MARGIN.b, { ...MARGIN, t: height }, {
      xaxis: axis(escapeLabel(x.label), scale(x, data.flatMap((trace) => trace.x))),
      yaxis: axis(escapeLabel(y.label), scale(y, data.flatMap((trace) => trace.y))),
      shapes: lines.map((line, k) => {
        const middle = topOf(k) - LINE / 2 - 1;
        return {
          type: 'line', line, xref: 'paper', yref: 'paper', xsizemode: 'pixel', ysizemode: 'pixel', xanchor: 0,
          yanchor: 1, x0: 0, x1: SAMPLE, y0: middle, y1: middle,
        };
      }),
      annotations: names.flatMap((text, row) => [
        ...(row < curves.length ? [] : [{
          ...place, text: WRITTEN[row - curves.length], xshift: 8, yshift: topOf(row),
          font: { ...font, color: PALETTE.limit },
        }]),
        { ...place, text, xshift: SAMPLE + 5, yshift: topOf(row), align: 'left', font },
      ]),
    }),
  };
}

function xy(points: Curve['points']): { readonly x: number[]; readonly y: number[] } {
  return { x: points.map(([at]) => at), y: points.map(([, value]) => value) };
}

function requireShown({ name, points }: Pick<Curve, 'name' | 'points'>, x: CurveAxis, y: CurveAxis): void {
  points.forEach((point, i) => {
    for (const [k, one] of [x, y].entries()) {
      const isShown = Number.isFinite(point[k]) && (one.logarithmic !== true || point[k] > 0);
      if (isShown) continue;
      const allowed = one.logarithmic === true
        ? 'a finite number above 0, since the axis is logarithmic,' : 'a finite number';
      throw new RangeError(`"${name}", point ${i}, ${one.label}: found ${point[k]}; ${allowed} is needed`);
    }
  });
}

/** A logarithmic axis has whole decades as ticks, or 1, 2 and 5 where it holds few of them. */
function scale({ logarithmic }: CurveAxis, values: readonly number[]): Readonly<Record<string, unknown>> {
  if (logarithmic !== true) return {};
  const decades = values.length === 0 ? 1 : Math.log10(Math.max(...values) / Math.min(...values));
  return { type: 'log', exponentformat: 'power', dtick: decades < 2 ? 'D2' : Math.max(1, Math.ceil(decades / 6)) };
}
