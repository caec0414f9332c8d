import { countOf, formatCount, formatLevel, formatNumber } from '../../figure/index.js';
import type { Content } from '../content.js';
import { type Html, html, nameOf } from '../html.js';

/** Title and what was studied. */
export function studied({ input }: Content): Html {
  const { study, rack, inputs } = input.summary;
  return html`<header>
<p class="kicker">Rated power of a rack busbar over its placements</p>
<h1>${nameOf(study.name)}</h1>
<p>Rack: <strong>${nameOf(rack.name)}</strong>, ${countOf(rack.slotCount, 'slot')} of ${formatLevel(rack.pitchMm)} mm,
${formatNumber(rack.copperKg, 1)} kg of busbar, ${formatLevel(rack.setV)} V DC, inlet air ${formatLevel(rack.inletC)}
°C.</p>
<p>${formatCount(study.scenariosRun)} scenarios were drawn as ${nameOf(inputs[0]?.path ?? 'the study file')} says,
each one placement of sources and loads with one draw of all that is uncertain;
${study.scenariosRated === study.scenariosRun ? 'all' : formatCount(study.scenariosRated)} were rated. <b>Rated
power</b> is the largest total load, in the placement’s own proportions, at which every limit holds in every operating
state.</p>
<p class="note"><strong>Screening calculation.</strong> A rating is proven by a temperature-rise test; energised busbars
and fault currents can kill or burn. <a href="#caution">Read the cautions</a> before using a number.</p>
</header>
`;
}
