import { Content, type Section } from './content.js';
import { checkInput, type ReportInput } from './input.js';
import { pagePieces, pageText } from './page.js';
import { answer } from './sections/answer.js';
import { binding } from './sections/binding.js';
import { caution } from './sections/caution.js';
import { classes } from './sections/classes.js';
import { correlations } from './sections/correlations.js';
import { labelDecision } from './sections/labelDecision.js';
import { modelLimits } from './sections/limits.js';
import { method } from './sections/method.js';
import { notRated } from './sections/notRated.js';
import { percentiles } from './sections/percentiles.js';
import { placements } from './sections/placements.js';
import { rackAndAssumptions } from './sections/rack.js';
import { reproduce } from './sections/reproduce.js';
import { studied } from './sections/studied.js';
import { worstTable } from './sections/worstTable.js';

/**
 * The report of a study: one HTML file of less than 6 MB that opens offline and loads nothing, in pieces for writing
 * one after the other. Numbers are those of the summary, rounded once.
 *
 * @throws ReportInputError, before the first piece, where the parts stem from different studies
 */
export function reportHtml(input: ReportInput): Iterable<string> {
  const { text, content } = reportText(input);
  return pagePieces(text, content);
}

/**
 * The report without its scripts, and its figures.
 * @throws as {@link reportHtml}
 */
export function reportText(input: ReportInput): { readonly text: string; readonly content: Content } {
  checkInput(input);
  const content = new Content(input);
  const sections = [
    answer(content), rackAndAssumptions(content), method(content.input.summary.study.sampling), percentiles(content), binding(content), classes(content),
    correlations(content), notRated(content), placements(content), worstTable(content), labelDecision(content),
    modelLimits(), caution(), reproduce(content),
  ].filter((section): section is Section => section !== null);
  return { text: pageText(input.summary.study.name, studied(content), sections), content };
}
