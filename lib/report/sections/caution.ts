import type { Section } from '../content.js';
import { html } from '../html.js';

/** What a reader must know before acting on a number. */
export function caution(): Section {
  return {
    id: 'caution',
    heading: 'Before you use these numbers',
    body: html`<div class="caution">
<p><strong>This is a screening calculation, not a proof.</strong> A rating is proven by a temperature-rise test of the
built rack to the standard that applies to it.</p>
<p><strong>Energised busbars and fault currents can kill or burn.</strong> A low voltage makes a bar no less
dangerous: a tool across its poles draws an arc and throws molten metal. Short-circuit strength and protection are not
part of this study.</p>
<p>Local codes and licensed practice decide what may be built, labelled and worked on.</p>
</div>
`,
  };
}
