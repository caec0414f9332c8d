import { countOf, formatCount, formatShare } from '../../figure/index.js';
import type { Content, Section } from '../content.js';
import { html } from '../html.js';

/** Scenarios without a rated power; no section where there are none. */
export function notRated({ input }: Content): Section | null {
  const { notRated: missing, study } = input.summary;
  if (missing.count === 0) return null;
  const more = missing.count - missing.indices.length;
  const failed = !missing.isTooMany ? html`` : html`<p><strong>The study has failed: it allows
${formatShare(missing.mostPercent)} %. No number of this report may be used.</strong></p>
`;
  const others = more > 0 ? ` and ${formatCount(more)} more, in the scenario table` : '';
  return {
    id: 'not-rated',
    heading: 'Scenarios not rated',
    body: html`<div class="warning"><p><strong>${countOf(missing.count, 'scenario')} of
${formatCount(study.scenariosRun)} (${formatShare(missing.sharePercent)} %) could not be placed, fed or
rated.</strong> In the percentiles and the tolerance bounds they count as carrying nothing; all other numbers leave
them out.</p>
${failed}<ul>${missing.indices.map((index, k) => html`<li>scenario ${index}: ${missing.reasons[k]}</li>
`)}</ul>
<p>The first ${formatCount(missing.indices.length)} are shown${others}.</p></div>
`,
  };
}
