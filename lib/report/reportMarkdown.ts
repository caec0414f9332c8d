/** A report as Markdown: made from the report's own markup, so that both say the same. */
import { tables } from '@joplin/turndown-plugin-gfm';
import TurndownService from 'turndown';
import type { ReportInput } from './input.js';
import { reportText } from './reportHtml.js';

/** Folder of the pictures beside the Markdown file. */
export const PICTURE_FOLDER = 'figures';

/**
 * The report as Markdown. Figures become pictures in {@link PICTURE_FOLDER} where there is one, and their finding with
 * the sentence under it everywhere. Text from files stands as text: nothing in it can become markup.
 *
 * @param pictures ids of the figures of which there is a picture
 * @throws as `reportHtml`
 */
export function reportMarkdown(input: ReportInput, pictures: ReadonlySet<string>): string {
  const service = new TurndownService({
    headingStyle: 'atx', bulletListMarker: '-', emDelimiter: '*', codeBlockStyle: 'fenced',
  });
  service.use(tables);
  const escapeMarkdown = service.escape.bind(service);
  // Markdown passes markup on as it stands.
  service.escape = (text) => escapeMarkdown(text).replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/>/g, '&gt;');
  service.remove((node) => ['SCRIPT', 'STYLE', 'NOSCRIPT', 'NAV'].includes(node.nodeName));
  service.addRule('picture', {
    filter: 'figure',
    replacement: (_, node) => pictureOf(node as unknown as MarkupNode, pictures, service),
  });
  const { text } = reportText(input);
  return `${service.turndown(text.slice(text.indexOf('<body>'))).trim()}\n`;
}

/** What is read of an element: the parser brings its own types. */
interface MarkupNode {
  getAttribute(name: string): string | null;
  querySelector(selector: string): { readonly textContent: string | null } | null;
}

function pictureOf(figure: MarkupNode, pictures: ReadonlySet<string>, service: TurndownService): string {
  const id = (figure.getAttribute('id') ?? '').slice('figure-'.length);
  const words = (selector: string) =>
    service.escape((figure.querySelector(selector)?.textContent ?? '').replace(/\s+/g, ' ').trim());
  const [caption, note] = [words('figcaption'), words('.note')];
  const picture = pictures.has(id) ? `![${caption}](${PICTURE_FOLDER}/${id}.png)\n\n` : '';
  return `\n\n**${caption}**\n\n${picture}${note}\n\n`;
}
