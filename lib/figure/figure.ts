/** One picture as plain JSON: what a plotting library draws, its finding, and the same in a sentence. */
export interface Figure {
  /** What the picture shows, as a finding. Plain text, also in `layout.title` with its lines broken. */
  readonly title: string;
  /** The same content in a sentence or two, plain text. */
  readonly description: string;
  readonly data: readonly Trace[];
  readonly layout: Layout;
}

/** A trace of the plotting library; only what this project sets. */
export interface Trace {
  readonly type: 'bar' | 'scatter';
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly name?: string;
  readonly [option: string]: unknown;
}

/** px around the plot; fixed, so that pictures side by side line up. */
export interface Margin {
  readonly l: number;
  readonly r: number;
  readonly t: number;
  readonly b: number;
  readonly autoexpand?: false;
}

/** A layout of the plotting library; only what this project reads again. */
export interface Layout {
  readonly height: number;
  readonly margin: Margin;
  readonly title?: { readonly text: string; readonly [option: string]: unknown };
  readonly shapes?: readonly Readonly<Record<string, unknown>>[];
  readonly annotations?: readonly Readonly<Record<string, unknown>>[];
  readonly [option: string]: unknown;
}

const TITLE_LINE = 20;
const TITLE_ROOM = 20;

/** px that a title of so many lines takes above the plot. */
export function titleHeight(lines: number): number {
  return lines * TITLE_LINE + TITLE_ROOM;
}

/** The figure without its title and the room for it, for pages that write the title themselves. */
export function withoutTitle(figure: Figure): Figure {
  const { title, ...layout } = figure.layout;
  if (title === undefined) return figure;
  const room = titleHeight(title.text.split('<br>').length);
  return {
    ...figure,
    layout: { ...layout, height: layout.height - room, margin: { ...layout.margin, t: layout.margin.t - room } },
  };
}
