import { escapeMarkup } from './escapeMarkup.js';

/**
 * Any text as a title, label or hint of the plotting library, which reads a subset of HTML there but, unlike HTML,
 * knows a quotation mark by its number only.
 * @example escapeLabel('<b>"A"</b>') // '&lt;b&gt;&#34;A&#34;&lt;/b&gt;'
 */
export function escapeLabel(text: string): string {
  return escapeMarkup(text).replace(/&quot;/g, '&#34;');
}
