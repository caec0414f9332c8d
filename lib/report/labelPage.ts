import { elevationWords, labelRiskFigure, rackElevation, temperatureFigure } from '../figure/index.js';
import type { LabelJson, LabelTable } from '../label/index.js';
import { LIMIT_WORDS } from '../ladder/index.js';
import type { Rack } from '../rack/index.js';
import type { Replay } from '../study/index.js';
import { PageFigures, type Section, table } from './content.js';
import { Html, html, nameOf } from './html.js';
import { pageScripts, pageText } from './page.js';
import { plottingLibrary } from './plottingLibrary.js';
import { caution } from './sections/caution.js';

export interface ExplainedPlacement {
  readonly heading: string;
  readonly replay: Replay;
  readonly explanation: string;
}

export interface LabelPageInput {
  /** Name of the study. */
  readonly study: string;
  readonly rack: Rack;
  readonly table: LabelTable;
  readonly json: LabelJson;
  /** Placements that carry least, the worst found first, each with why it carries so little. */
  readonly worst: readonly ExplainedPlacement[];
  /** Candidate rules that leave no placement. */
  readonly impossibleRules?: readonly { readonly name: string; readonly reason: string }[];
  readonly command: string;
}

/** The label decision as one page that opens offline, in pieces for writing one after the other. */
export function labelPage(input: LabelPageInput): Iterable<string> {
  const figures = new PageFigures();
  const { json, impossibleRules: impossible = [] } = input;
  const sections: Section[] = [
    { id: 'answer', heading: 'Which label', body: answer(input) },
    caution(),
    { id: 'risk', heading: 'Label against risk', body: html`${figures.figure('label-risk', labelRiskFigure(input.table))}${labels(json)}` },
    { id: 'worst', heading: 'The worst placements', body: html`${input.worst.map((one, k) => placement(one, k, input.rack, figures))}` },
    ...(json.rules.length > 1 || impossible.length > 0
      ? [{ id: 'rules', heading: 'What rules buy', body: rules(json, impossible) }] : []),
    { id: 'stranded', heading: 'What one label leaves unused', body: stranded(json) },
    { id: 'reproduce', heading: 'How to reproduce this', body: html`<div class="scroll" tabindex="0" role="region" aria-label="Command"><pre>${input.command}</pre></div>
` },
  ];
  const head = html`<h1>${nameOf(input.study)}</h1>
<p>Rack ${nameOf(input.rack.name)}: which number may stand on its label.</p>
`;
  return pieces(pageText(input.study, head, sections, 'label'), figures);
}

function* pieces(text: string, figures: PageFigures): Iterable<string> {
  yield text;
  yield '<script>';
  yield plottingLibrary();
  yield '</script>\n';
  yield pageScripts(figures);
}

function answer({ json }: LabelPageInput): Html {
  const floor = json.floor === null ? 'none proven' : `${json.floor.floorKw} kW (${json.floor.kind}; ${json.floor.ranges})`;
  return html`<ul>
${json.recommendations.map(({ words }) => html`<li>${words}</li>
`)}</ul>
<p>Floor: ${floor}. ${json.worstFound.kind === 'sample' ? 'Lowest of the sample' : 'Worst found'}:
${json.worstFound.ratedKw} kW. The true worst lies between the two.</p>
<p>${json.percentileNote} ${json.boundNote}</p>
`;
}

function placement({ heading, replay, explanation }: ExplainedPlacement, k: number, rack: Rack, figures: PageFigures): Html {
  const [shown] = replay.solutions;
  const temperature = shown?.status === 'solved'
    ? figures.figure(`worst-${k + 1}-temperature`, temperatureFigure(shown, rack.limits)) : html``;
  return html`<h3>${heading}</h3>
<p>${explanation}</p>
<div class="placement"><figure id="figure-worst-${k + 1}-rack" class="rack">
${new Html(rackElevation(replay, rack.slotCount, `worst-${k + 1}-rack`))}
<p class="note">${elevationWords(replay)}</p>
</figure>
${temperature}</div>
`;
}

const percent = (value: number | null) => (value === null ? '–' : `${Number(value.toPrecision(3))} %`);

function labels(json: LabelJson): Html {
  return table('Candidate labels', ['Label, kW', 'Carry it', 'Do not, at most', 'Verdict', 'Binds most often', 'Worst found would exceed'],
    json.labels.map((row) => [
      String(row.labelKw), percent(row.carryingPercent), percent(row.notCarryingUpperPercent), row.verdictWords,
      row.mostOftenBinding === null ? '–' : LIMIT_WORDS[row.mostOftenBinding.limit], row.worstFoundExcess === null ? '–' : row.worstFoundExcess.words,
    ]));
}

function rules(json: LabelJson, impossible: readonly { readonly name: string; readonly reason: string }[]): Html {
  const kw = (value: number | null) => (value === null ? '–' : value.toFixed(1));
  const percents = json.rules[0].percentiles;
  return html`${table('Rules', [
    'Rule', 'Floor, kW', 'Worst found, kW', 'Gap, %', ...percents.map(({ percent: p }) => `${p} %, kW`), 'Label, kW', 'Buys, kW',
  ], json.rules.map((row) => [
    row.rule, kw(row.floorKw === null ? null : Math.floor(row.floorKw * 10) / 10), kw(row.worstFoundKw), kw(row.gapPercent), ...row.percentiles.map(({ ratedKw }) => kw(ratedKw)),
    kw(row.labelKw), kw(row.buysLabelKw),
  ]))}<ul>
${json.rules.map(({ words }) => html`<li>${words}</li>
`)}${impossible.map(({ name, reason }) => html`<li>${nameOf(name)} is impossible: ${reason}</li>
`)}</ul>
`;
}

function stranded(json: LabelJson): Html {
  const kw = (value: number | null) => (value === null ? '–' : value.toFixed(1));
  return html`${json.strandedPower.map((found) => html`<p>${found.words}</p>
${found.classes.length === 0 ? html`` : table('Labels by class of placement',
    ['Class', 'Scenarios', 'Label, kW', 'Frees, kW', 'Why none'],
    found.classes.map((row) => [
      row.placementClass, String(row.scenarios), kw(row.labelKw), kw(row.freedKw), row.reason ?? '',
    ]))}`)}`;
}
