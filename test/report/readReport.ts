/** Reading a report's markup in tests: text of an element, rows of a table. */

/** Text of markup, with references resolved and white space collapsed, as a reader sees it. */
export function textOf(markup: string): string {
  return markup
    .replace(/<(script|style)\b[^>]*>[\s\S]*?<\/\1>/g, ' ')
    .replace(/<[^>]*>/g, '')
    .replace(/&lt;/g, '<').replace(/&gt;/g, '>').replace(/&quot;/g, '"').replace(/&#39;/g, "'").replace(/&amp;/g, '&')
    .replace(/\s+/g, ' ')
    .trim();
}

/** Cells of the body of the table with this caption, as text, [row][cell]. */
export function tableRows(page: string, caption: string): string[][] {
  const table = page.split('<table>').find((part) => part.includes(`<caption>${caption}</caption>`));
  const body = table?.match(/<tbody>([\s\S]*?)<\/tbody>/)?.[1];
  if (body === undefined) throw new Error(`no table "${caption}"`);
  return [...body.matchAll(/<tr>([\s\S]*?)<\/tr>/g)]
    .map(([, row]) => [...row.matchAll(/<t[hd][^>]*>([\s\S]*?)<\/t[hd]>/g)].map(([, cell]) => textOf(cell)));
}

/** Text of a section. */
export function sectionText(page: string, id: string): string {
  const section = page.match(new RegExp(`<section id="${id}">([\\s\\S]*?)</section>`))?.[1];
  if (section === undefined) throw new Error(`no section "${id}"`);
  return textOf(section);
}

/** The page without the plotting library's own text. */
export function ownMarkup(page: string): string {
  return page.replace(/<script>[\s\S]{1000000,}?<\/script>/, '');
}
