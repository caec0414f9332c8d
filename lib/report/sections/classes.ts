import { classFigure, formatCount, formatShare } from '../../figure/index.js';
import { type Content, type Section, table } from '../content.js';
import { html } from '../html.js';

/** Rated power by class of placement. */
export function classes(content: Content): Section {
  const { summary } = content.input;
  const rows = [...summary.classes].reverse();
  return {
    id: 'classes',
    heading: 'Rated power by class of placement',
    body: html`<div class="keep"><p>Placements are classed by the thirds of the rack’s height that hold the contacts
of its sources.</p>
${content.figure('classes', classFigure(summary))}</div>${table('Rated power by class of placement',
    ['Class', 'Scenarios', 'Share, %', 'Lowest found, kW', 'Median, kW', 'Highest found, kW'], rows.map((row) => [
      row.placementClass, formatCount(row.count), formatShare(row.sharePercent), content.kw(row.lowestKw),
      content.kw(row.medianKw), content.kw(row.highestKw),
    ]))}`,
  };
}
