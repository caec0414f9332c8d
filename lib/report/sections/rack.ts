import type { Content, Section } from '../content.js';
import { html, nameOf } from '../html.js';
import { rackData } from './rackData.js';

/** The rack as it was computed, and what was drawn. */
export function rackAndAssumptions(content: Content): Section {
  const { draws } = content.input;
  return {
    id: 'rack',
    heading: 'The rack and what was assumed',
    body: html`${rackData(content)}${draws === undefined || draws.length === 0 ? html`` : html`<h3>What was drawn</h3>
<ul>
${draws.map((line) => html`<li>${nameOf(line)}</li>
`)}</ul>
`}`,
  };
}
