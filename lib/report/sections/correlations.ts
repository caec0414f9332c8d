import { formatNumber } from '../../figure/index.js';
import type { ScenarioQuantity } from '../../rack/index.js';
import { type Content, type Section, table } from '../content.js';
import { html } from '../html.js';

const QUANTITY_WORDS: Record<ScenarioQuantity, string> = {
  contactFactor: 'contact resistance (factor)',
  filmFactor: 'film coefficient (factor)',
  emissivity: 'emissivity',
  areaFactor: 'conductor area (factor)',
  inlet: 'inlet temperature',
};

/** Rank correlation of rated power with each drawn quantity. */
export function correlations({ input }: Content): Section {
  const rows = input.summary.rankCorrelations;
  const body = rows.length === 0
    ? html`<p>No quantity with one value per scenario was drawn from a range, so there is nothing to correlate.</p>
`
    : html`<div class="keep"><p>Spearman’s rank correlation of rated power with each quantity drawn once per scenario: 1 where the rated
power always grows with it, −1 where it always falls, near 0 where the order of the one says nothing about the other.
Where the placement moves the rated power more than these quantities do, all of them read small.</p>
${table('Rank correlation with rated power', ['Quantity', 'Coefficient', 'In words'],
    rows.map(({ quantity, coefficient }) => [
      QUANTITY_WORDS[quantity],
      coefficient === null ? 'not defined' : formatNumber(coefficient, 2),
      coefficient === null ? 'one of the two never varied' : correlationWords(coefficient),
    ]))}</div>`;
  return { id: 'correlations', heading: 'Which uncertain quantity goes with rated power', body };
}

function correlationWords(coefficient: number): string {
  const size = Math.abs(coefficient);
  if (size < 0.1) return 'hardly any';
  const strength = size < 0.3 ? 'weak' : size < 0.6 ? 'clear' : 'strong';
  return `${strength}: more of it, ${coefficient > 0 ? 'higher' : 'lower'} rated power`;
}
