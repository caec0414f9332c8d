import { formatCount, formatLevel, formatNumber, formatShare, labelRiskFigure } from '../../figure/index.js';
import {
  type LabelDocument, labelJson, type LabelJson, type LabelSample, labelTable, recommendLabel,
} from '../../label/index.js';
import { LIMIT_WORDS } from '../../ladder/index.js';
import { type Content, type PageFigures, type Section, table } from '../content.js';
import { type Html, html, nameOf } from '../html.js';

/** Share that a label from the sample alone has to carry, per cent. */
const CARRIED = 99;

/** What the label may say: the decision made with search and floor, or what the sample alone supports. */
export function labelDecision(content: Content): Section {
  const { label, sample } = content.input;
  return {
    id: 'label',
    heading: 'Which number may stand on the label',
    body: label === undefined
      ? html`<p class="warning">No worst placement was searched and no floor proven for this report: what follows rests on
the sample alone, and speaks only for racks like those drawn. <code>slotcast label</code> adds both, and
<code>slotcast report</code> then takes them up.</p>
${decisionParts(sampleDecision(content), sample, content)}`
      : html`${decisionParts(label.document, sample, content)}${rulesPart(label.document)}${
        strandedPart(label.document)}`,
  };
}

/** The decision that a sample supports without search and floor. */
function sampleDecision({ input: { sample, summary } }: Content): LabelJson {
  const percentiles = summary.percentiles.map(({ percent }) => percent / 100).filter((p) => p > 0 && p < 1);
  const labels = labelTable({ sample, floor: null, worstFound: null, percentiles });
  const basis = { kind: 'share', carriedPercent: CARRIED, confidencePercent: 100 * sample.confidence } as const;
  return labelJson({ table: labels, recommendations: [recommendLabel(labels, basis)] });
}

type Decision = Pick<
  LabelJson, 'floor' | 'worstFound' | 'recommendations' | 'percentileNote' | 'boundNote' | 'labels'
>;

/** Recommendations, both sides of the worst placement, and the candidates. */
export function decisionParts(label: Decision, sample: LabelSample, figures: PageFigures): Html {
  const { floor, worstFound } = label;
  const proven = floor === null ? 'none proven' : `${floorWords(floor.floorKw, 2)} kW (${floor.kind}; ${floor.ranges})`;
  const met = worstFound.kind === 'sample' ? 'Lowest of the sample' : 'Worst found';
  return html`<ul>
${label.recommendations.map(({ words }) => html`<li>${words}</li>
`)}</ul>
<p>Floor: ${proven}. ${met}: ${formatNumber(worstFound.ratedKw, 2)} kW. ${floor === null ? ''
    : 'The true worst lies between the two. '}${label.percentileNote} ${label.boundNote}</p>
${figures.figure('label-risk', labelRiskFigure(label, sample))}${candidateTable(label)}`;
}

function candidateTable(label: Decision): Html {
  const exceeded = label.labels.some(({ worstFoundExcess }) => worstFoundExcess !== null);
  return html`${table('Candidate labels', [
    'Label, kW', 'Carry it', 'Do not, at most', 'Every placement', 'Binds most often',
    ...(exceeded ? ['Worst found would exceed'] : []),
  ], label.labels.map((row) => [
    formatLevel(row.labelKw), percent(row.carryingPercent), percent(row.notCarryingUpperPercent), row.verdict,
    row.mostOftenBinding === null ? '–' : LIMIT_WORDS[row.mostOftenBinding.limit],
    ...(exceeded ? [row.worstFoundExcess === null ? '–' : row.worstFoundExcess.words] : []),
  ]))}<p class="note">Proven: the floor reaches the label. Refuted: an allowed placement was met that does not carry it.
Open: neither. Carry it: share of the scenarios; do not, at most: upper bound of the share that does not.</p>
`;
}

/** What each candidate rule buys; nothing where the study has none. */
export function rulesPart({ rules, impossibleRules }: Pick<LabelDocument, 'rules' | 'impossibleRules'>): Html {
  if (rules.length < 2 && impossibleRules.length === 0) return html``;
  const percents = rules[0].percentiles;
  return html`<h3>What rules buy</h3>
${table('Rules', [
    'Rule', 'Floor, kW', 'Worst found, kW', 'Gap, %', ...percents.map(({ percent: p }) => `${formatLevel(p)} %, kW`),
    'Label, kW', 'Buys, kW',
  ], rules.map((row) => [
    nameOf(row.name), row.floorKw === null ? '–' : floorWords(row.floorKw), kw(row.worstFoundKw), kw(row.gapPercent),
    ...row.percentiles.map(({ ratedKw }) => kw(ratedKw)), kw(row.labelKw), kw(row.buysLabelKw),
  ]))}<ul>
${rules.map(({ name, words }) => html`<li>${nameOf(name)}: ${words}</li>
`)}${impossibleRules.map(({ name, reason }) => html`<li>${nameOf(name)} is impossible: ${reason}</li>
`)}</ul>
`;
}

/** What one label leaves unused. */
export function strandedPart(label: Pick<LabelJson, 'strandedPower'>): Html {
  return html`<h3>What one label leaves unused</h3>
${label.strandedPower.map((found) => html`<p>${found.words}</p>
${found.classes.length === 0 ? html`` : table('Labels by class of placement',
    ['Class', 'Scenarios', 'Label, kW', 'Frees, kW', 'Why none'],
    found.classes.map((row) => [
      row.placementClass, formatCount(row.scenarios), kw(row.labelKw), kw(row.freedKw), row.reason ?? '',
    ]))}`)}`;
}

const percent = (value: number | null) => (value === null ? '–' : `${formatShare(value)} %`);
const kw = (value: number | null) => (value === null ? '–' : value.toFixed(1));

/** Never above what is proven. */
function floorWords(floorKw: number, decimals = 1): string {
  return formatNumber(Math.floor(floorKw * 10 ** decimals) / 10 ** decimals, decimals);
}
