import { formatLevel, formatNumber, formatShare, sensitivityFigure, sentenceCase, tightenWords } from '../figure/index.js';
import type { SensitivityDocument } from '../study/index.js';
import { PageFigures, type Section, table } from './content.js';
import { type Html, html, nameOf } from './html.js';
import { pagePieces, pageText } from './page.js';
import { caution } from './sections/caution.js';

/** A sensitivity study as one page that opens offline, in pieces for writing one after the other. */
export function sensitivityPage(document: SensitivityDocument): Iterable<string> {
  const figures = new PageFigures();
  const { study, rack, percentile, below } = document;
  const p = `${formatLevel(percentile.percent)} %`;
  const sections: Section[] = [
    { id: 'tighten', heading: 'Which tolerance to tighten first', body: tightenPart(document) },
    caution(),
    {
      id: 'spread',
      heading: 'What the spread is made of',
      body: html`${notRatedPart(document)}${
        document.notes.power === null
          ? figures.figure('spread', sensitivityFigure(document, 'power'))
          : html`<p>${sentenceCase(document.notes.power)}.</p>
`
      }`,
    },
    {
      id: 'below',
      heading: `What brings it below ${formatNumber(below.thresholdKw, 1)} kW`,
      body: html`<p>${p} of scenarios fall below that power; ${below.scenarios} of those drawn here did.</p>
${
  document.notes.below === null
    ? figures.figure('below', sensitivityFigure(document, 'below'))
    : html`<p>${sentenceCase(document.notes.below)}.</p>
`
}`,
    },
    {
      id: 'reproduce',
      heading: 'How to reproduce this',
      body: html`<p><code class="command">${document.command ?? 'made from code: sensitivity of the library'}</code></p>
<p>Parts of the variance after ${document.methods.first} (first order) and ${document.methods.total} (total);
intervals: ${document.methods.intervals}.</p>
`,
    },
  ];
  const head = html`<header><p class="kicker">Sensitivity of a rack busbar's rated power</p>
<h1>${nameOf(study.name)}</h1>
<p>Rack ${nameOf(rack.name)}: mean rated power ${formatNumber(document.meanKw, 1)} kW, standard deviation
${formatNumber(document.standardDeviationKw, 1)} kW; ${p} of scenarios fall below
${formatNumber(percentile.ratedKw, 1)} kW, the rest carry more.</p></header>
`;
  return pagePieces(pageText(study.name, head, sections, 'sensitivity'), figures);
}

function notRatedPart({ notRated }: SensitivityDocument): Html {
  if (notRated.ratings === 0) return html``;
  return html`<p class="warning">${notRated.ratings} ratings failed, ${notRated.base} of them of base scenarios
(${formatShare(notRated.basePercent)} %); they count as 0 kW.${
    notRated.isTooMany ? ' That is more than the study allows: no number here may be used.' : ''
  }</p>
`;
}

function tightenPart(document: SensitivityDocument): Html {
  const { tolerances, allTolerances, percentile, confidencePercent } = document;
  const finding = tightenWords(document);
  if (finding === null) return html`<p>No uncertain quantity varies: there is no tolerance to tighten.</p>
`;
  const p = `${formatLevel(percentile.percent)} % percentile`;
  return html`<p><strong>${finding}</strong></p>
${table(
  `Change of the ${p}, kW, with ${formatLevel(confidencePercent)} % intervals`,
  ['Tolerance', 'Spread halved', 'No spread', 'All values shifted', 'Changes it by'],
  [
    ...tolerances.map(({ words, halved, removed, perUnit }) => [
      words,
      gain(halved),
      gain(removed),
      perUnit === null ? '–' : `by +${perUnit.unit}`,
      perUnit === null ? '–' : gain(perUnit),
    ]),
    ['all together', gain(allTolerances.halved), gain(allTolerances.removed), '–', '–'],
  ],
)}<p class="note">The same scenarios with and without each change; values are kept about their median. A shift of
sharing weights changes nothing, since only their ratios count.</p>
`;
}

function gain({ changeKw, lowerKw, upperKw }: SensitivityDocument['allTolerances']['halved']): string {
  const [change, lower, upper] = [changeKw, lowerKw, upperKw].map((kilowatts) => formatNumber(kilowatts, 2));
  return `${change} (${lower} to ${upper})`;
}
