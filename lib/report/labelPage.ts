import type { LabelDocument, LabelSample } from '../label/index.js';
import type { Rack } from '../rack/index.js';
import { PageFigures, type Section } from './content.js';
import type { ExplainedPlacement } from './explainedPlacement.js';
import { html, nameOf } from './html.js';
import { pagePieces, pageText } from './page.js';
import { caution } from './sections/caution.js';
import { decisionParts, rulesPart, strandedPart } from './sections/labelDecision.js';
import { placementPart } from './sections/placement.js';

export interface LabelPageInput {
  readonly rack: Rack;
  readonly document: LabelDocument;
  /** The sample that the decision was made from. */
  readonly sample: LabelSample;
  /** Placements that carry least, the worst found first, each with why it carries so little. */
  readonly worst: readonly ExplainedPlacement[];
}

/** The label decision as one page that opens offline, in pieces for writing one after the other. */
export function labelPage({ rack, document, sample, worst }: LabelPageInput): Iterable<string> {
  const figures = new PageFigures();
  const kw = (value: number) => value.toFixed(1);
  const sections: Section[] = [
    { id: 'label', heading: 'Which label', body: html`${decisionParts(document, sample, figures)}${rulesPart(document)}` },
    caution(),
    {
      id: 'worst',
      heading: 'The worst placements',
      body: html`${worst.map(({ heading, replay, explanation }, k) =>
        placementPart(replay, rack, figures, { id: `worst-${k + 1}`, heading, explanation, contacts: k === 0, kw }))}`,
    },
    { id: 'stranded', heading: 'Unused power', body: strandedPart(document) },
    {
      id: 'reproduce',
      heading: 'How to reproduce this',
      body: html`<p><code class="command">${document.command ?? 'made from code: decideLabel of the library'}</code></p>
`,
    },
  ];
  const head = html`<header><p class="kicker">Label decision for a rack busbar</p>
<h1>${nameOf(document.study.name)}</h1>
<p>Rack ${nameOf(rack.name)}: which number may stand on its label.</p></header>
`;
  return pagePieces(pageText(document.study.name, head, sections, 'label'), figures);
}
