import { bindingFigure, countOf, formatCount, formatLevel, formatShare, slotHeatFigure } from '../../figure/index.js';
import { describeState, LIMIT_WORDS, type LimitName } from '../../ladder/index.js';
import type { ShareSummaryRow } from '../../study/index.js';
import { type Content, type Section, table } from '../content.js';
import { type Html, html } from '../html.js';

/** Whose limit it is, so that the reader sees what more copper can move. */
const GROUPS: readonly { readonly words: string; readonly limits: readonly LimitName[] }[] = [
  { words: 'the bar itself (rise or temperature)', limits: ['bar-rise', 'bar-temperature', 'no-steady-state'] },
  { words: 'the contacts', limits: ['contact-temperature', 'load-contact-current'] },
  { words: 'the sources (their own limits, not the bar’s)', limits: ['source-current', 'source-power'] },
  { words: 'the voltage at the loads', limits: ['lowest-load-voltage', 'voltage-collapse'] },
];

/** What binds, how often, in which state and at which slot. */
export function binding(content: Content): Section {
  const { summary } = content.input;
  const { limits, states, study, rack } = summary;
  const groups = GROUPS.map(({ words, limits: names }) => ({
    words, count: limits.reduce((sum, row) => sum + (names.includes(row.limit) ? row.count : 0), 0),
  })).filter(({ count }) => count > 0).sort((a, b) => b.count - a.count);
  const parts = groups.map(({ words, count }) => `${words} in ${formatShare((100 * count) / study.scenariosRated)} %`);
  const listed = [parts.slice(0, -1).join(', '), ...parts.slice(-1)].filter((part) => part !== '').join(' and ');
  const body = html`<div class="keep"><p>Of ${countOf(study.scenariosRated, 'rated scenario')}, the limit that binds
belongs to ${listed}.</p>
<div class="pair">
<div>${table('What binds', ['Limit', ...SHARE_HEAD], limits.map((row) => [LIMIT_WORDS[row.limit], ...shareCells(row)]))}
${rack.operatingStates.length === 1
    ? html`<p>The rack has one operating state to survive: ${stateWords(rack.operatingStates[0])}.</p>
`
    : html`${table('Operating state in which it binds', ['State', ...SHARE_HEAD],
      states.map((row) => [stateWords(row.state), ...shareCells(row)]))}`}<p class="note">Each interval holds on its
own at ${formatLevel(study.confidencePercent)} % confidence (Clopper and Pearson 1934), not all rows at once.</p>
${content.figure('binding', bindingFigure(summary))}</div>
${content.figure('slot-heat', slotHeatFigure(summary))}</div></div>
`;
  return { id: 'binding', heading: 'What binds', body };
}

const SHARE_HEAD = ['Scenarios', 'Share, %', 'Interval, %'];

function shareCells(row: ShareSummaryRow): (Html | string)[] {
  const interval = `${formatShare(row.lowerPercent)} to ${formatShare(row.upperPercent)}`;
  return [formatCount(row.count), formatShare(row.sharePercent), interval];
}

/** An operating state as a rule, whichever source is out. */
export function stateWords(rule: Parameters<typeof describeState>[0]['rule']): string {
  return rule === 'one-source-out' ? 'one source out' : describeState({ rule, outSlot: 0 });
}
