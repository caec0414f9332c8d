import counts from '../../ladder/validation/counts.json';
import type { Section } from '../content.js';
import { html } from '../html.js';

/** What the model leaves out, and what it was held against. */
export function modelLimits(): Section {
  const { met, notMet, fromMemory } = counts;
  return {
    id: 'model',
    heading: 'Limits of the model, and its validation',
    body: html`<h3>What is not computed</h3>
<ul>
<li>The bar is one-dimensional but for closed forms around contacts at its front edge; against finite elements in height
and depth these leave 0.15 K and 0.3 % of the rated power of the demonstration racks. The plates of a pole share the
current evenly, and spreading around bolts is not resolved.</li>
<li>Rated powers are steady ones: short peaks are the business of <code>slotcast peak</code>; no fault current, no ripple.</li>
<li>The air beside the bar follows the rule given in the rack data; its flow is not computed.</li>
<li>Contacts and joints have the resistances given or drawn; ageing, loosening and corrosion act only as far as the
draw holds them.</li>
<li>Cables, protection and the inside of the units are outside the model.</li>
</ul>
<h3>What it was held against</h3>
<p>Every change of the program is checked against ${String(met + notMet)} published values: bar ratings of ATIS T1.311
and handbooks, closed forms for bars and feeders, worked examples of heat transfer, tables of statistics. It meets
${String(met)} of them within tolerances stated beforehand; ${String(notMet)} are not met (the shortfalls are stated:
narrow and multiple bars in tall vertical runs, and re-rating of bars that radiate much); ${String(fromMemory)} are quoted
from memory. Three independent programs (a general equation solver, a circuit simulator and finite elements) solve the
same racks. All values, sources and differences stand in <code>lib/ladder/VALIDATION.md</code> of the program.</p>
`,
  };
}
