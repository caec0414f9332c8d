import { convergenceFigure, distributionFigure, formatCount, formatLevel, formatNumber } from '../../figure/index.js';
import type { PercentileRow } from '../../study/index.js';
import { type Content, type Section, table } from '../content.js';
import { type Html, html } from '../html.js';
import { sortedRatedKw } from '../input.js';

const REPLICATES = ', which is not known exactly of the replicates of a sampling design: scenarios within one depend on each other, '
  + 'and the interval comes from how the share of scenarios below a power differs between them';

/** Percentiles with intervals, method, ranks and coverage; tolerance bounds; the distribution. */
export function percentiles(content: Content): Section {
  const { summary, sample } = content.input;
  const { study } = summary;
  const notes = groupedNotes(summary.percentiles);
  const refused = summary.percentilesRefused.map(({ percent, leastScenarios }) =>
    html`<p class="warning">The ${formatLevel(percent)} % percentile is refused: it lies beyond the ends of
${formatCount(study.scenariosRun)} scenarios; at least ${formatCount(leastScenarios)} are needed, and more for an interval.</p>
`);
  const stopping = study.stopping === null ? html``
    : html`<p>The study ran until a requested precision: ${study.stopping}.</p>
`;
  const body = html`${summary.percentiles.length === 0 ? refused.length > 0 ? html`` : html`<p>The study asks for no percentile.</p>
` : table('Percentiles of rated power',
    ['Fall below', 'Carry more', 'Rated, kW', 'Interval, kW', 'Method', 'Ranks', 'Coverage'],
    summary.percentiles.map((row) => percentileCells(content, row)))}${refused}<p>The interval says how far the percentile of a
much longer study of the same draw may lie from the one found, at ${formatLevel(study.confidencePercent)} %
confidence. Ranks are the two scenarios, counted from the lowest of ${formatCount(study.scenariosRated)}, whose rated
powers end the interval; coverage is the confidence reached with them${study.sampling === 'plain' ? '' : REPLICATES}. Percentile definition: Hyndman and Fan
${study.percentileDefinition.replace('-', ' ')}.</p>
${notes.length === 0 ? html`` : html`<ul class="notes">
${notes.map((note) => html`<li>${note}.</li>
`)}</ul>
`}${stopping}${toleranceBounds(content)}${
    content.figure('distribution', distributionFigure(summary, sortedRatedKw(sample)))}${convergence(content)}`;
  return { id: 'percentiles', heading: 'Percentiles and distribution', body };
}

/** Whether the sample was large enough, as a picture; nothing where no percentile was asked for. */
function convergence(content: Content): Html {
  const { summary, sample } = content.input;
  if (summary.percentiles.length === 0) return html``;
  return content.figure('convergence', convergenceFigure(summary, sample));
}

function percentileCells(content: Content, row: PercentileRow): (Html | string)[] {
  const { lowerKw, upperKw, lowerRank, upperRank, coveragePercent } = row;
  return [
    `${formatLevel(row.percent)} %`,
    `${formatLevel(100 - row.percent)} %`,
    html`<strong>${content.kw(row.ratedKw)}</strong>`,
    lowerKw === null || upperKw === null ? 'none' : `${content.kw(lowerKw)} to ${content.kw(upperKw)}`,
    row.method,
    lowerRank === null || upperRank === null ? '–' : `${formatCount(lowerRank)} and ${formatCount(upperRank)}`,
    coveragePercent === null ? '–' : `${formatNumber(coveragePercent, 2)} %`,
  ];
}

/** Each note once, after the percentiles it belongs to. */
function groupedNotes(rows: readonly PercentileRow[]): string[] {
  const groups = new Map<string, string[]>();
  for (const { percent, note } of rows) {
    if (note !== null) groups.set(note, [...(groups.get(note) ?? []), `${formatLevel(percent)} %`]);
  }
  return [...groups].map(([note, percents]) => `${percents.join(', ')}: ${note}`);
}

function toleranceBounds(content: Content): Html {
  const { toleranceBounds: bounds, study } = content.input.summary;
  if (bounds.length === 0) return html``;
  return html`<h3>Tolerance bounds</h3>
<p>One-sided bounds (Wilks 1941): with the stated confidence, at least this share of scenarios carries more than the
bound.</p>
${table('One-sided tolerance bounds', ['Share that carries more', 'Confidence', 'Bound, kW', 'Rank'],
    bounds.map(({ exceededByPercent, confidencePercent, boundKw, rank, leastScenarios }) => [
      `${formatLevel(exceededByPercent)} %`,
      `${formatLevel(confidencePercent)} %`,
      boundKw === null ? missingBound(study.sampling, leastScenarios) : html`<strong>${content.kw(boundKw)}</strong>`,
      rank === null ? '–' : formatCount(rank),
    ]))}`;
}

function missingBound(sampling: string, leastScenarios: number): string {
  return sampling === 'plain'
    ? `none: needs at least ${formatCount(leastScenarios)} scenarios`
    : 'none: needs independent scenarios (sampling design plain)';
}
