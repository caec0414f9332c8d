/** Pieces of SVG text; coordinates in px. */
import { escapeMarkup } from './escapeMarkup.js';

/** A rectangle; `style` holds further attributes. */
export function rect(x: number, y: number, width: number, height: number, style: string): string {
  return `<rect x="${fixed(x)}" y="${fixed(y)}" width="${fixed(width)}" height="${fixed(height)}" ${style}/>`;
}

/** A line of text, centred in height on `y`; the content is escaped, `style` holds further attributes. */
export function text(x: number, y: number, content: string, style: string): string {
  // Isolated, so that a name in another direction of writing does not turn its neighbours round.
  return `<text x="${fixed(x)}" y="${fixed(y)}" dominant-baseline="central" style="unicode-bidi:isolate" ${style}>`
    + `${escapeMarkup(content)}</text>`;
}

/** At most `letters` code points, the last one an ellipsis where some were cut. */
export function shortened(label: string, letters: number): string {
  const all = Array.from(label);
  return all.length <= letters ? label : `${all.slice(0, Math.max(1, letters - 1)).join('')}…`;
}

/** Two decimals at most. */
export function fixed(value: number): string {
  return String(Math.round(value * 100) / 100);
}
