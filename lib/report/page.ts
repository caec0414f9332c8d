import { withoutTitle } from '../figure/index.js';
import type { PageFigures, Section } from './content.js';
import { type Html, html } from './html.js';
import { plottingLibrary } from './plottingLibrary.js';
import { scriptJson } from './scriptText.js';
import { STYLE } from './style.js';

/** Nothing outside the file may be loaded, whatever it contains. */
const POLICY = "default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline'; img-src data: blob:";

/** Draws the figures, and marks the page when all of them are there. */
const DRAW = `
(function () {
  var figures = JSON.parse(document.getElementById('figures').textContent);
  Promise.all(figures.map(function (figure) {
    return Plotly.newPlot('chart-' + figure.id, figure.data, figure.layout, { displayModeBar: false, responsive: true });
  })).then(function () { document.documentElement.setAttribute('data-drawn', String(figures.length)); });
})();
`;

/** From the start of the document to the end of its text. */
export function pageText(title: string, head: Html, sections: readonly Section[], what = 'rated power'): string {
  const links = sections.map(({ id, heading }) => html`<li><a href="#${id}">${heading}</a></li>
`);
  const bodies = sections.map(({ id, heading, body }) => html`<section id="${id}">
<h2>${heading}</h2>
${body}</section>
`);
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${POLICY}">
<meta name="viewport" content="width=device-width, initial-scale=1">
${html`<title>${title}: ${what}</title>`.text}
<link rel="icon" href="data:,">
<style>${STYLE}</style>
</head>
<body>
<div class="page">
<nav aria-label="Contents"><p>Contents</p><ol>
${links.map(({ text }) => text).join('')}</ol></nav>
<main>
${head.text}<noscript><p class="warning">The figures need JavaScript, which is switched off; text and tables are
complete without them.</p></noscript>
${bodies.map(({ text }) => text).join('')}</main>
</div>
`;
}

/** A page for writing piece by piece: its text, the plotting library, then what draws the figures. */
export function* pagePieces(text: string, figures: PageFigures): Iterable<string> {
  yield text;
  yield '<script>';
  yield plottingLibrary();
  yield '</script>\n';
  yield pageScripts(figures);
}

/** The figures as data, and the script that draws them; follows the plotting library. */
function pageScripts({ figures }: PageFigures): string {
  const data = figures.map(({ id, figure }) => {
    const { data: traces, layout } = withoutTitle(figure);
    return { id, data: traces, layout };
  });
  return `<script type="application/json" id="figures">${scriptJson(data)}</script>
<script>${DRAW}</script>
</body>
</html>
`;
}
