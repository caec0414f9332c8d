import type { Content, Section } from '../content.js';
import { html } from '../html.js';
import { placementPart } from './placement.js';

/** The placements that carry least, explained, and the median, each with its pictures. */
export function placements(content: Content): Section {
  const { lowest, median, label, rack } = content.input;
  const kw = (value: number) => content.kw(value);
  const shown = [
    ...(label === undefined ? [] : [{ id: 'found', ...label.worst }]),
    ...lowest.map((one, k) => ({ id: `lowest-${k + 1}`, ...one })),
    { id: 'median', heading: 'Median placement, for comparison', replay: median, explanation: '' },
  ];
  return {
    id: 'placements',
    heading: 'The worst placements, explained',
    body: html`<p>Rise is counted above the air beside each slot. In the front view, hatched units are power shelves,
dotted ones with round corners battery shelves, and loads are filled from the left by their power per slot (full: the
densest of the rack); S and R are the supply and the return pole, darker where warmer, and the numbers give the hotter
of the two. Thin lines and hollow marks show the other operating states at the same total load. A placement’s proportions are kept as its load
grows to the rated power, so a unit may be shown with more than its catalogue says it can draw.</p>
${shown.map(({ id, heading, replay, explanation }, k) =>
  placementPart(replay, rack, content, { id, heading, explanation, contacts: k === 0, kw }))}`,
  };
}
