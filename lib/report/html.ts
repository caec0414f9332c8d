/** Markup that is safe by construction: whatever is put into a template is text unless it is {@link Html} itself. */
import { escapeMarkup } from '../figure/index.js';

/** Finished markup. */
export class Html {
  constructor(readonly text: string) {}
}

type Part = Html | string | number | readonly Html[];

/** A template of markup; strings and numbers put into it are escaped. */
export function html(strings: TemplateStringsArray, ...parts: readonly Part[]): Html {
  let text = strings[0];
  parts.forEach((part, i) => {
    text += markup(part) + strings[i + 1];
  });
  return new Html(text);
}

function markup(part: Part): string {
  if (part instanceof Html) return part.text;
  if (typeof part === 'object') return part.map((one) => one.text).join('');
  return escapeMarkup(String(part));
}

/** A name from a file, kept from turning its neighbours round where it is written right to left. */
export function nameOf(text: string): Html {
  return html`<bdi>${text}</bdi>`;
}
