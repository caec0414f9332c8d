import type { Section } from '../content.js';
import { html } from '../html.js';

const PLAIN_INTERVALS = html`Percentiles and their intervals come from the ordered rated powers and assume no shape of their distribution.`;
const DESIGN_INTERVALS = html`Percentiles come from the ordered rated powers, their intervals from how the share of scenarios
below a power differs between the replicates of the sampling design (Woodruff 1952); neither assumes a shape of the distribution.`;

/**
 * How a rated power is computed, and how the shares are.
 * @param sampling as the summary says it
 */
export function method(sampling: string): Section {
  return {
    id: 'method',
    heading: 'How it was computed',
    body: html`<ul>
<li>The bar is a ladder: one node per slot on each pole, at mid-height, joined by the resistance of the conductor at
its own temperature. Kirchhoff’s laws and the balance of heat close to a part in a thousand million.</li>
<li>Loads draw constant power, so their current grows as the voltage falls. Sources share as the rack data say.</li>
<li>Heat enters from the conductor, the contacts and the units’ own heat paths; it leaves by conduction along the bar,
convection and radiation, in steady state.</li>
<li>Current and heat spread from contacts at the front edge over the depth of the bar: that makes heat, and the middle
of a contact is hotter than the mean over the depth. The limits of the bar are held at its hottest point.</li>
<li>Every limit is checked at every slot, on both poles, in every operating state; the first one reached as the load
grows, in the placement’s own proportions, gives the rated power.</li>
<li>Each scenario is one placement with one draw of all that is uncertain, made from the seed and its index alone.
${sampling === 'plain' ? PLAIN_INTERVALS : DESIGN_INTERVALS}</li>
</ul>
`,
  };
}
