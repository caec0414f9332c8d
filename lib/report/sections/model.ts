import type { Content, Section } from '../content.js';
import { html, nameOf } from '../html.js';
import { rackData } from './rackData.js';

/** Model, assumptions, limits of validity, and the rack as it was computed. */
export function model(content: Content): Section {
  const { draws } = content.input;
  return {
    id: 'model',
    heading: 'Model, assumptions and rack data',
    body: html`${draws === undefined || draws.length === 0 ? html`` : html`<h3>What was drawn</h3>
<ul>
${draws.map((line) => html`<li>${nameOf(line)}</li>
`)}</ul>
`}<h3>What is computed</h3>
<ul>
<li>The bar is a ladder: one node per slot on each pole, at mid-height, joined by the resistance of the conductor at
its own temperature. Kirchhoff’s laws and the balance of heat close to a part in a thousand million.</li>
<li>Loads draw constant power, so their current grows as the voltage falls. Sources share as the rack data say.</li>
<li>Current and heat spread from contacts at the front edge over the depth of the bar: that makes heat, and the middle
of a contact is hotter than the mean over the depth. The limits of the bar are held at its hottest point.</li>
<li>Heat enters from the conductor, the contacts and the units’ own heat paths; it leaves by conduction along the bar,
convection and radiation, in steady state.</li>
<li>Every limit is checked at every slot, on both poles, in every operating state; the first one reached as the load
grows gives the rated power.</li>
</ul>
<h3>What is not</h3>
<ul>
<li>The bar is one-dimensional but for closed forms around contacts at its front edge; against finite elements in height
and depth these leave 0.15 K and 0.3 % of the rated power of the demonstration racks. The plates of a pole share the
current evenly, and spreading around bolts is not resolved.</li>
<li>Steady state only: no warm-up, no short overload, no fault current, no ripple.</li>
<li>The air beside the bar follows the rule given in the rack data; its flow is not computed.</li>
<li>Contacts and joints have the resistances given or drawn; ageing, loosening and corrosion act only as far as the
draw holds them.</li>
<li>Cables, protection and the inside of the units are outside the model.</li>
</ul>
${rackData(content)}`,
  };
}
