import { Content, type Section } from './content.js';
import { checkInput, type ReportInput } from './input.js';
import { pageScripts, pageText } from './page.js';
import { plottingLibrary } from './plottingLibrary.js';
import { answer } from './sections/answer.js';
import { binding } from './sections/binding.js';
import { caution } from './sections/caution.js';
import { classes } from './sections/classes.js';
import { correlations } from './sections/correlations.js';
import { model } from './sections/model.js';
import { notRated } from './sections/notRated.js';
import { percentiles } from './sections/percentiles.js';
import { placements } from './sections/placements.js';
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
  checkInput(input);
  const content = new Content(input);
  const sections = [
    answer(content), caution(), percentiles(content), binding(content), classes(content), placements(content),
    worstTable(content), correlations(content), notRated(content), model(content), reproduce(content),
  ].filter((section): section is Section => section !== null);
  const text = pageText(input.summary.study.name, studied(content), sections);
  return pieces(text, content);
}

function* pieces(text: string, content: Content): Iterable<string> {
  yield text;
  yield '<script>';
  yield plottingLibrary();
  yield '</script>\n';
  yield pageScripts(content);
}
