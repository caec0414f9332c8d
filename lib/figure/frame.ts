import { sentenceCase } from './bindingWords.js';
import { escapeLabel } from './escapeLabel.js';
import { type Layout, type Margin, titleHeight } from './figure.js';
import { FONT_FAMILY, PALETTE } from './palette.js';

/** Letters per line of a title: what a plot of 340 px holds, in wide fonts too. */
const TITLE_LETTERS = 36;

/** Breaks plain text at spaces into lines of a label: the plotting library does not wrap text, and reads markup. */
export function breakLabel(text: string, letters: number): string {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    if (line !== '' && line.length + 1 + word.length > letters) {
      lines.push(line);
      line = word;
    } else {
      line = line === '' ? word : `${line} ${word}`;
    }
  }
  return [...lines, line].map(escapeLabel).join('<br>');
}

/** A finding with what it belongs to before it, or by itself as a sentence. */
export function titled(name: string, finding: string): string {
  return name === '' ? sentenceCase(finding) : `${name}: ${finding}`;
}

/** What all figures share. `margin` and `height` are those of the plot without its title. */
export function frame(title: string, height: number, margin: Margin, rest: Readonly<Record<string, unknown>>): Layout {
  const text = breakLabel(title, TITLE_LETTERS);
  const room = titleHeight(text.split('<br>').length);
  return {
    height: height + room,
    margin: { ...margin, t: margin.t + room, autoexpand: false },
    title: {
      text, x: 0, xref: 'container', xanchor: 'left', y: 1, yref: 'container', yanchor: 'top', pad: { t: 20, l: 8 },
      font: { size: 15, color: PALETTE.ink, weight: 600 },
    },
    font: { family: FONT_FAMILY, size: 12, color: PALETTE.ink },
    paper_bgcolor: PALETTE.paper,
    plot_bgcolor: PALETTE.paper,
    autosize: true,
    showlegend: false,
    // A finger or a wheel over a figure scrolls the page.
    dragmode: false,
    hoverlabel: { font: { family: FONT_FAMILY, size: 12 } },
    ...rest,
  };
}

/** An axis with its quantity and unit; `tickangle` 0 keeps numbers upright at any width. */
export function axis(title: string, rest: Readonly<Record<string, unknown>> = {}): Readonly<Record<string, unknown>> {
  return {
    title: { text: title, font: { size: 12, color: PALETTE.quiet }, standoff: 6 },
    tickfont: { size: 11, color: PALETTE.quiet },
    gridcolor: PALETTE.grid,
    zeroline: false,
    linecolor: PALETTE.quiet,
    ticks: 'outside',
    ticklen: 4,
    tickcolor: PALETTE.quiet,
    tickangle: 0,
    fixedrange: true,
    ...rest,
  };
}
