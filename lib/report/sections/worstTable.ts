import { bindingWords } from '../../figure/index.js';
import { type Content, type Section, table } from '../content.js';
import { html } from '../html.js';

/** The lowest of the sample with one-line pictures. */
export function worstTable(content: Content): Section {
  const { worst } = content.input.summary;
  return {
    id: 'lowest',
    heading: worst.length === 1
      ? 'The lowest placement of the sample' : `The ${worst.length} lowest placements of the sample`,
    body: html`<div class="keep"><p>One line is one rack, bottom slot at the left: <b>S</b> power shelf, <b>B</b>
battery shelf, <b>1</b> to <b>9</b> a load by its power per slot (9 is the densest of that rack), <b>.</b> an empty
slot; a unit of several slots repeats its mark. Shares of the load and names of the units are in
<code>summary.json</code>.</p>
${table('Lowest placements found',
    ['Rank', 'Scenario', 'Rated, kW', 'Placement, bottom to top', 'What binds'], worst.map((row, i) => [
      String(i + 1),
      String(row.index),
      html`<strong>${content.kw(row.ratedKw)}</strong>`,
      html`<code class="picture">${row.picture}</code>`,
      bindingWords(row),
    ]))}</div>`,
  };
}
