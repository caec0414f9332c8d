import {
  bindingWords, formatLevel, formatNumber, formatShare, intervalWords, leadingPercentile, percentileWords, sentenceCase, spreadChoice,
} from '../../figure/index.js';
import { LIMIT_WORDS } from '../../ladder/index.js';
import type { Content, Section } from '../content.js';
import { type Html, html } from '../html.js';

const MOST_LINES = 7;

/** The answer in plain words. */
export function answer(content: Content): Section {
  const { summary } = content.input;
  const { percentiles, study, lowestKw, highestKw, limits } = summary;
  const lead = leadingPercentile(percentiles);
  const others = spreadChoice(percentiles.filter((row) => row !== lead), MOST_LINES - 1);
  const worst = summary.worst[0];
  const nothing = lowestKw === 0 ? 'At 0 kW not even the smallest load is carried within the limits. ' : '';
  const sentence = (row: (typeof percentiles)[number]): string =>
    `${sentenceCase(percentileWords(row, content.decimals))} `
      + `(${intervalWords(row, study.confidencePercent, content.decimals)}).`;
  const body = html`${lead === null ? html`` : html`<p class="lead">${sentence(lead)}</p>
`}${others.length === 0 ? html`` : html`<ul class="answers">
${others.map((row) => html`<li>${sentence(row)}</li>
`)}</ul>
`}${others.length + 1 < percentiles.length ? html`<p>The table below holds all ${percentiles.length} percentiles.</p>
` : html``}<p>A low percentile is a low number that most scenarios exceed. These shares count the scenarios drawn
here: they hold for racks in use as far as the draw resembles what is installed.</p>
<p><strong>Lowest found: ${content.kw(lowestKw)} kW</strong> in scenario ${worst.index}, limited by
${bindingWords(worst)}; highest ${content.kw(highestKw)} kW. ${nothing}The lowest found is only the worst of this
sample. It is not a proven floor: a longer sample will meet lower ones.</p>
${bothSides(content)}<p>What binds most often is ${LIMIT_WORDS[limits[0].limit]}, in ${formatShare(limits[0].sharePercent)} % of the
scenarios (${formatLevel(study.confidencePercent)} % confidence: ${formatShare(limits[0].lowerPercent)} to
${formatShare(limits[0].upperPercent)} %).</p>
${notRatedWarning(content)}`;
  return { id: 'answer', heading: 'The answer', body };
}

/** The worst placement from both sides and the label, where they were sought. */
function bothSides({ input }: Content): Html {
  if (input.label === undefined) {
    return html`<p>Searching for the worst placement, and proving a power that every allowed placement carries, are not
part of a sample; neither was done for this report (see <a href="#label">the label</a>).</p>
`;
  }
  const { floor, worstFound, recommendations } = input.label.document;
  const proven = floor === null ? 'No floor was proven.'
    : `Floor: ${formatNumber(Math.floor(floor.floorKw * 10) / 10, 1)} kW, proven for every allowed placement, ${floor.ranges}.`;
  return html`<p><strong>${proven}</strong> Worst found by a search: ${formatNumber(worstFound.ratedKw, 1)} kW. The true worst lies
between the two.</p>
<ul>
${recommendations.map(({ words }) => html`<li>${words}</li>
`)}</ul>
`;
}

function notRatedWarning({ input }: Content): Html {
  const { notRated, study } = input.summary;
  if (notRated.count === 0) return html``;
  return html`<p class="warning"><strong>${notRated.count} of ${study.scenariosRun} scenarios could not be
rated</strong> (${formatShare(notRated.sharePercent)} %). No number above counts them; see
<a href="#not-rated">scenarios not rated</a> before using any of them.</p>
`;
}
